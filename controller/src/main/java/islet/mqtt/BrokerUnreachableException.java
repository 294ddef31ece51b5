package islet.mqtt;

/** No MQTT 5 broker answers where one was named; the message is a sentence for the user. */
public final class BrokerUnreachableException extends Exception {

  private static final long serialVersionUID = 1L;

  /** A sentence without a deeper cause. */
  public BrokerUnreachableException(String sentence) {
    super(sentence);
  }

  /** A sentence and what lies behind it. */
  public BrokerUnreachableException(String sentence, Throwable cause) {
    super(sentence, cause);
  }
}
