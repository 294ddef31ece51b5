package islet.judge;

import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assumptions.abort;

import java.io.IOException;

/** Outside programs in tests: left out where they are missing, but never on a build server. */
final class Judges {
  private Judges() {}

  /** What an outside program is asked. */
  interface Question<T> {
    T ask() throws IOException, MissingProgramException;
  }

  static <T> T required(Question<T> question) throws IOException {
    try {
      return question.ask();
    } catch (MissingProgramException e) {
      assertNotEquals(
          "true",
          System.getenv("CI"),
          e.why() + " On a build server this test must not be left out.");
      return abort(e.why());
    }
  }
}
