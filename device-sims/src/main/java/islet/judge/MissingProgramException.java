package islet.judge;

/** A judge's program isn't installed; the message says which one and what to do. */
public final class MissingProgramException extends Exception {
  private static final long serialVersionUID = 1L;

  private final String why;

  MissingProgramException(String message) {
    super(message);
    this.why = message;
  }

  /** The message: which program, and what to do. */
  public String why() {
    return why;
  }
}
