package islet.bench;

/**
 * A run folder cannot be written where it was asked for: the input is wrong, and nothing was
 * changed.
 */
public final class RunFolderException extends Exception {

  private static final long serialVersionUID = 1L;

  /** Says what was found, where, what is allowed and what to do. */
  public RunFolderException(String message) {
    super(message);
  }
}
