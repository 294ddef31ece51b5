package islet.cli;

import islet.cli.reference.ReferenceText;
import islet.cli.reference.References;
import islet.plant.Row;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Prints the published values and how closely they are met. */
@Command(
    name = "references",
    mixinStandardHelpOptions = true,
    description = {
      "Works out every published check value anew and prints source, expected and computed value,"
          + " error, tolerance and verdict.",
      "Values marked \"from memory\" were written down without the source at hand; check them"
          + " against your copy before you rely on them.",
      "Two judges are outside programs, ngspice and python3. Where one is missing its rows are not"
          + " run, and the exit code is 3."
    })
final class ReferencesCommand implements Callable<Integer> {

  /** How the rows are printed. */
  enum Format {
    TEXT,
    JSON
  }

  @Option(
      names = "--format",
      paramLabel = "text|json",
      description = "how the rows are printed (default: ${DEFAULT-VALUE})",
      defaultValue = "text")
  private Format format = Format.TEXT;

  @Option(
      names = "--config",
      paramLabel = "DIR",
      description = "the folder with sites and profiles (default: ${DEFAULT-VALUE})",
      defaultValue = "config")
  private Path config = Path.of("config");

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws IOException {
    List<Row> rows = References.all(config);
    PrintWriter print = spec.commandLine().getOut();
    switch (format) {
      case TEXT -> print.print(ReferenceText.plain(rows));
      case JSON -> print.print(ReferenceText.json(rows));
    }
    if (rows.stream().anyMatch(row -> row.notRun().isEmpty() && !row.pass())) {
      return Main.FAILED;
    }
    // A judge that is missing has not passed anything.
    return rows.stream().allMatch(Row::pass) ? Main.PASSED : Main.BAD_SURROUNDINGS;
  }
}
