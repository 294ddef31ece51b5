package islet.mqtt;

/** A password, a certificate or a key that cannot be used; the message is a sentence. */
public final class AccessException extends Exception {

  private static final long serialVersionUID = 1L;

  /** A sentence without a deeper cause. */
  public AccessException(String sentence) {
    super(sentence);
  }

  /** A sentence and what lies behind it. */
  public AccessException(String sentence, Throwable cause) {
    super(sentence, cause);
  }
}
