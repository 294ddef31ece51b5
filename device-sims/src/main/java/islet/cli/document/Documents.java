package islet.cli.document;

import islet.bench.RunRecord;
import islet.bench.Scenario;
import islet.bench.Signal;
import islet.bench.Trace;
import islet.bench.check.RuleTable;
import islet.bench.report.IvPicture;
import islet.bench.report.OneLine;
import islet.bench.report.RunPicture;
import islet.cli.reference.ReferenceText;
import islet.plant.PlantReferences;
import islet.plant.Row;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * Makes all generated files and blocks.
 *
 * @param folder the folder of the documents; README.md stands beside it
 */
public record Documents(Path folder) {

  private static final long TRANSFER_BEFORE = 20_000;
  private static final long TRANSFER_AFTER = 60_000;

  private static final List<String> NEEDED =
      List.of(
          "modes.md",
          "faults.md",
          "mqtt.md",
          "hazards.md",
          "scenarios.md",
          "validation.md",
          "check.md",
          "compare.md");

  /**
   * Refuses a folder that is not one of the documents, before anything is run for them.
   *
   * @throws DocumentException when a document is missing
   */
  public void insistOnDocuments() throws DocumentException {
    for (String name : NEEDED) {
      insistOn(folder.resolve(name));
    }
    insistOn(folder.resolveSibling("README.md"));
  }

  /**
   * The files as they should be.
   *
   * @param scenario the demo's scenario, whose run is shown
   * @param run that run
   * @param verdict what the terminal says of it
   * @param references all reference rows
   * @param config the folder with the scenarios of lessons and comparison
   * @return the text of each file by its path
   * @throws DocumentException when a document's markers and its blocks don't fit
   * @throws IOException when a document that holds generated blocks cannot be read
   */
  public Map<Path, String> texts(
      Scenario scenario, RunRecord run, String verdict, List<Row> references, Path config)
      throws DocumentException, IOException {
    Map<Path, String> texts = new LinkedHashMap<>();
    Path pictures = folder.resolve("pictures");
    Lessons lessons = new Lessons(config);
    texts.put(pictures.resolve("modes.svg"), ModesDocument.picture());
    texts.put(pictures.resolve("ferry-landing.svg"), OneLine.svg(run.site()));
    texts.put(pictures.resolve("iv-curve.svg"), IvPicture.svg(PlantReferences.paperModule()));
    long start = run.startMicros();
    long end = start + scenario.durationMicros();
    texts.put(
        pictures.resolve("evening-outage.svg"),
        RunPicture.run(
            run.trace(),
            run.site(),
            start,
            end,
            "Evening outage at the ferry landing: states, emergency panel, charge, powers"));
    texts.put(
        pictures.resolve("evening-outage-transfer.svg"),
        RunPicture.transfer(
            run.trace(),
            utilityGone(run.trace()),
            TRANSFER_BEFORE,
            TRANSFER_AFTER,
            "Utility and emergency panel voltage around the outage, in milliseconds"));
    fill(
        texts,
        folder.resolve("modes.md"),
        Map.of(
            "steps",
            ModesDocument.steps(run.site()),
            "table",
            ModesDocument.table(),
            "waits",
            ModesDocument.waits()));
    fill(texts, folder.resolve("faults.md"), Map.of("faults", FaultsDocument.tables()));
    Map<String, String> wire = new LinkedHashMap<>();
    wire.put("kinds", WireTables.kinds());
    wire.put("topics", WireTables.topics(run.site().id()));
    wire.put("examples", WireExamples.of(scenario));
    wire.put("messages", WireTables.messages());
    fill(texts, folder.resolve("mqtt.md"), wire);
    fill(
        texts,
        folder.resolve("hazards.md"),
        Map.of("hazards", HazardsDocument.markdown(run.result().hazards())));
    texts.putAll(WireContract.files(folder));
    Map<String, String> names = new LinkedHashMap<>();
    names.put("faults", ScenarioTables.faults());
    names.put("sensors", ScenarioTables.sensors());
    names.put("signals", ScenarioTables.signals());
    names.put("alarms", ScenarioTables.alarms());
    names.put("hazards", ScenarioTables.hazards(run.result().hazards()));
    fill(texts, folder.resolve("scenarios.md"), names);
    fill(
        texts,
        folder.resolve("validation.md"),
        Map.of("references", ReferenceText.markdown(references)));
    fill(
        texts,
        folder.resolve("check.md"),
        Map.of("example", CheckExample.text(config), "rules", RuleTable.markdown()));
    // Documents without planted defects need none of their runs.
    Path defects = folder.resolve("defects.md");
    if (Files.isRegularFile(defects)) {
      fill(texts, defects, Map.of("defects", DefectTable.markdown(config)));
    }
    // Documents without lessons need none of their runs.
    List<Lesson> taught = Files.isDirectory(folder.resolve("lessons")) ? Lessons.all() : List.of();
    for (Lesson lesson : taught) {
      texts.put(pictures.resolve("lesson-" + lesson.name() + ".svg"), lessons.picture(lesson));
      texts.put(pictures.resolve("site-" + lesson.name() + ".svg"), lessons.diagram(lesson));
      fill(
          texts,
          folder.resolve("lessons").resolve(lesson.name() + ".md"),
          Map.of("figures", lessons.figures(lesson), "modes", lessons.modes(lesson)));
    }
    String comparison = ComparisonExample.text(config, run.result().version());
    fill(texts, folder.resolve("compare.md"), Map.of("comparison", "```\n" + comparison + "```\n"));
    fill(texts, folder.resolveSibling("README.md"), Map.of("verdict", "```\n" + verdict + "```\n"));
    return texts;
  }

  private static void fill(Map<Path, String> texts, Path file, Map<String, String> blocks)
      throws DocumentException, IOException {
    insistOn(file);
    String text = Files.readString(file, StandardCharsets.UTF_8);
    texts.put(file, Blocks.fill(file.toString(), text, blocks));
  }

  private static void insistOn(Path file) throws DocumentException {
    if (!Files.isRegularFile(file)) {
      throw new DocumentException(
          file
              + ": found no such document; allowed is a folder with the documents whose generated"
              + " parts are to be made. Give it with --out, such as --out docs.");
    }
  }

  private static long utilityGone(Trace trace) {
    for (int row = 0; row < trace.rows(); row++) {
      if (trace.value(row, Signal.UTILITY_LIVE) == 0) {
        return trace.micros(row);
      }
    }
    throw new IllegalStateException("the demo's run has no outage to show");
  }
}
