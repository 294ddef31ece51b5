package islet.cli;

import islet.bench.Rehearsal;
import islet.bench.RunRecord;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.cli.document.DocumentException;
import islet.cli.document.Documents;
import islet.cli.reference.References;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.OptionalLong;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Makes the generated parts of the documents. */
@Command(
    name = "document",
    mixinStandardHelpOptions = true,
    description = {
      "Writes the generated parts of the documents: tables from their declarations, figures and"
          + " pictures from runs made now.",
      "Text outside the markers \"<!-- generated: NAME -->\" and \"<!-- end: NAME -->\" stays as it"
          + " is."
    })
final class DocumentCommand implements Callable<Integer> {

  private static final String SCENARIO = "evening-outage";

  @Option(
      names = "--out",
      paramLabel = "DIR",
      description =
          "the folder of the documents; README.md stands beside it (default: ${DEFAULT-VALUE})",
      defaultValue = "docs")
  private Path out = Path.of("docs");

  @Option(
      names = "--config",
      paramLabel = "DIR",
      description = "the folder with sites, profiles and scenarios (default: ${DEFAULT-VALUE})",
      defaultValue = "config")
  private Path config = Path.of("config");

  @Option(
      names = "--check",
      description = "writes nothing; says which files differ, and leaves with 1 when one does")
  private boolean check;

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws IOException {
    PrintWriter print = spec.commandLine().getOut();
    Map<Path, String> texts;
    try {
      texts = texts();
    } catch (DocumentException e) {
      spec.commandLine().getErr().println(e.getMessage());
      return Main.BAD_INPUT;
    }
    boolean same = true;
    for (Map.Entry<Path, String> text : texts.entrySet()) {
      Path file = text.getKey();
      if (Files.isRegularFile(file)
          && Files.readString(file, StandardCharsets.UTF_8).equals(text.getValue())) {
        continue;
      }
      same = false;
      if (check) {
        print.println(file + ": differs from what the code makes now. Run: ./islet document");
      } else {
        Files.createDirectories(file.toAbsolutePath().normalize().resolveSibling(""));
        Files.writeString(file, text.getValue(), StandardCharsets.UTF_8);
        print.println(file + ": written");
      }
    }
    if (same) {
      print.println(texts.size() + " documents are what the code makes now.");
    }
    return same || !check ? Main.PASSED : Main.FAILED;
  }

  private Map<Path, String> texts() throws DocumentException, IOException {
    Documents documents = new Documents(out.normalize());
    documents.insistOnDocuments();
    Path file = config.resolve("scenarios").resolve(SCENARIO + ".yaml");
    Scenario scenario = ScenarioReader.read(file, OptionalLong.empty());
    RunRecord run = new Rehearsal(scenario).run(done -> {}).record(Version.text());
    String verdict = VerdictText.of(run.result(), Path.of("runs", SCENARIO));
    return documents.texts(scenario, run, verdict, References.rows(config), config);
  }
}
