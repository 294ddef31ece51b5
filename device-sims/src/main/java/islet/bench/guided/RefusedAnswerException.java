package islet.bench.guided;

/** An answer that cannot stand; the message is a sentence that says what was found and allowed. */
public final class RefusedAnswerException extends Exception {

  private static final long serialVersionUID = 1L;

  private final String field;

  RefusedAnswerException(String field, String sentence) {
    super(sentence);
    this.field = field;
  }

  /** Which part of the answer it is about: {@code verdict}, {@code measured/2}, {@code remark}. */
  public String field() {
    return field;
  }

  /** The sentence. */
  public String sentence() {
    return String.valueOf(getMessage());
  }
}
