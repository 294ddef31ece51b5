package islet.cli;

import islet.bench.guided.AnswerRules;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.Reader;
import java.util.Optional;
import java.util.function.Function;
import java.util.regex.Pattern;

/** Asks a person, line by line, and asks again when an answer cannot stand. */
final class Dialogue {

  /** There will be no further answers. */
  static final class Ended extends Exception {
    private static final long serialVersionUID = 1L;
  }

  private static final Pattern WORDS = Pattern.compile("\\s+");
  private static final int WIDTH = 92;

  private final BufferedReader in;
  private final PrintWriter out;

  Dialogue(Reader in, PrintWriter out) {
    this.in = new BufferedReader(in);
    this.out = out;
  }

  /** Tells something. */
  void say(String line) {
    out.println(line);
  }

  /** Tells something under a label, in as many lines as it takes. */
  void say(String label, String text) {
    StringBuilder line = new StringBuilder(String.format("  %-9s", label));
    for (String word : WORDS.split(text, -1)) {
      if (line.length() + word.length() >= WIDTH) {
        out.println(line.toString().stripTrailing());
        line = new StringBuilder(" ".repeat(11));
      }
      line.append(word).append(' ');
    }
    out.println(line.toString().stripTrailing());
  }

  /**
   * Asks until the answer can stand.
   *
   * @param read what the answer means; empty when it means nothing
   * @param allowed told before the question is asked again
   * @throws Ended at the end of the input
   */
  <T> T ask(String question, Function<String, Optional<T>> read, String allowed)
      throws IOException, Ended {
    while (true) {
      out.print(question + " ");
      out.flush();
      String line = in.readLine();
      if (line == null) {
        out.println();
        throw new Ended();
      }
      String answer = AnswerRules.tidy(line);
      if (answer.length() > AnswerRules.MOST_LETTERS) {
        out.println(
            "  Found "
                + answer.length()
                + " letters; allowed are at most "
                + AnswerRules.MOST_LETTERS
                + ". Say it shorter.");
        continue;
      }
      Optional<T> meant = read.apply(answer);
      if (meant.isPresent()) {
        return meant.get();
      }
      out.println(
          "  Found " + (answer.isEmpty() ? "nothing" : "\"" + answer + "\"") + "; " + allowed);
    }
  }

  /** Asks for a text that must not be empty. */
  String demand(String question, String allowed) throws IOException, Ended {
    return ask(question, text -> text.isEmpty() ? Optional.empty() : Optional.of(text), allowed);
  }

  /** Asks for a text that may be empty. */
  String ask(String question) throws IOException, Ended {
    return ask(question, Optional::of, "");
  }
}
