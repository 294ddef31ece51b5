package islet.live;

/**
 * The machine does not give what a live run needs, for instance a free port; the message is a
 * sentence for the user.
 */
public final class SurroundingsException extends Exception {

  private static final long serialVersionUID = 1L;

  /** A sentence without a deeper cause. */
  public SurroundingsException(String sentence) {
    super(sentence);
  }

  /** A sentence and what lies behind it. */
  public SurroundingsException(String sentence, Throwable cause) {
    super(sentence, cause);
  }
}
