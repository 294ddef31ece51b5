package islet.cli.document;

import islet.bench.Rehearsal;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.compare.Column;
import islet.bench.compare.CompareText;
import islet.bench.compare.Comparison;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;

/** What the terminal says of the same sag on two sites that answer it differently. */
final class ComparisonExample {

  private static final List<String> NAMES = List.of("sag-ride-through", "sag-separate");

  private ComparisonExample() {}

  /**
   * Runs both and compares them.
   *
   * @param config the folder with the scenarios
   * @param version of this build
   */
  static String text(Path config, String version) {
    List<Column> columns = new ArrayList<>();
    for (String name : NAMES) {
      Path file = config.resolve("scenarios").resolve(name + ".yaml");
      Scenario scenario = ScenarioReader.read(file, OptionalLong.empty());
      columns.add(
          new Column(
              name,
              "scenario config/scenarios/" + name + ".yaml",
              new Rehearsal(scenario).run(done -> {}).record(version).result()));
    }
    return CompareText.of(Comparison.of(columns, version));
  }
}
