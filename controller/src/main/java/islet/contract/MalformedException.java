package islet.contract;

/**
 * A payload that is not what its topic promises. The message says what was found and what is
 * allowed.
 */
public final class MalformedException extends Exception {

  private static final long serialVersionUID = 1L;

  /** Without a stack trace: a flood of bad payloads must stay cheap. */
  MalformedException(String message) {
    super(message, null, false, false);
  }
}
