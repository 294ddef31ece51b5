package islet.live.page;

/**
 * What is answered to something that a page has sent.
 *
 * @param status 200 when it was taken or had been before, 400 when it is no answer of the page's
 *     form, 409 when it comes at the wrong time, 422 when it cannot stand, 500 when it cannot be
 *     kept
 * @param sentence what was found and what is allowed; empty with 200
 * @param field which part of it the sentence is about; empty for the whole
 */
public record Reply(int status, String sentence, String field) {

  static final int TAKEN = 200;
  static final int MALFORMED = 400;
  static final int NOT_NOW = 409;
  static final int CANNOT_STAND = 422;
  static final int NOT_KEPT = 500;

  static Reply taken() {
    return new Reply(TAKEN, "", "");
  }

  static Reply refused(int status, String sentence) {
    return new Reply(status, sentence, "");
  }
}
