package islet.bench.plug;

/** A supervisor from outside threw, or left orders that cannot be sent. Its scans are over. */
public final class SupervisorCrash extends RuntimeException {

  private static final long serialVersionUID = 1L;

  private final String sentence;

  SupervisorCrash(String sentence) {
    super(sentence);
    this.sentence = sentence;
  }

  SupervisorCrash(String sentence, Throwable cause) {
    super(sentence, cause);
    this.sentence = sentence;
  }

  /** What happened, for a person. */
  public String sentence() {
    return sentence;
  }
}
