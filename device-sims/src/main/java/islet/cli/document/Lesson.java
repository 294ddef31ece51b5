package islet.cli.document;

import islet.bench.RunRecord;
import islet.bench.report.RunPicture;
import java.util.List;
import java.util.function.Function;

/**
 * A lesson: its page in docs/lessons, its scenarios, and the picture that answers its question.
 *
 * @param name of the page and the picture
 * @param scenarios in config/scenarios, in the order in which they are compared
 * @param title what the picture shows, in words
 * @param panels the picture, of the runs in the scenarios' order
 */
record Lesson(
    String name,
    List<String> scenarios,
    String title,
    Function<List<RunRecord>, List<RunPicture.Panel>> panels) {
  Lesson {
    scenarios = List.copyOf(scenarios);
  }
}
