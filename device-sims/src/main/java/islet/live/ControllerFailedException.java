package islet.live;

/**
 * The controller under test has not kept to the lockstep, or is gone; the message is a sentence for
 * its writer.
 */
final class ControllerFailedException extends Exception {

  private static final long serialVersionUID = 1L;

  private final boolean gone;

  /**
   * A failure.
   *
   * @param gone whether it has left the broker, rather than gone silent or astray on a link that
   *     stands
   */
  ControllerFailedException(String sentence, boolean gone) {
    super(sentence);
    this.gone = gone;
  }

  /** Whether it has left the broker. */
  boolean gone() {
    return gone;
  }
}
