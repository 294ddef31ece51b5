package islet.bench;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.bench.RunResult.AlarmEntry;
import islet.bench.RunResult.Entry;
import islet.bench.RunResult.ExpectationVerdict;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.bench.RunResult.Transition;
import islet.bench.plug.Supervisors;
import islet.site.InputException;
import islet.site.InputFile;
import islet.site.Problem;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;

/**
 * Reads a run folder's {@code verdict.json} back. Fields that are not known are left aside, so that
 * a verdict of a newer version can be read as far as it is understood.
 */
public final class VerdictReader {

  private static final String FILE = "verdict.json";
  private static final String ADVICE =
      "Run the case again: rehearse with the scenario.yaml beside it.";

  /** A hundred times a long run's verdict. */
  private static final long MOST_BYTES = 50_000_000;

  private final String file;

  private VerdictReader(String file) {
    this.file = file;
  }

  /** Whether a folder looks like a run's. */
  public static boolean isRunFolder(Path folder) {
    return Files.isRegularFile(folder.resolve(FILE));
  }

  /**
   * Reads the verdict in a run folder.
   *
   * @throws InputException when there is none, or when it is not what a run writes
   */
  public static RunResult read(Path folder) {
    Path path = folder.resolve(FILE);
    VerdictReader reader = new VerdictReader(InputFile.shown(path));
    try {
      if (!Files.isRegularFile(path)) {
        throw reader.wrong(0, "", "no such file", "a run folder with a " + FILE);
      }
      if (Files.size(path) > MOST_BYTES) {
        throw reader.wrong(0, "", Files.size(path) + " bytes", "at most " + MOST_BYTES + " bytes");
      }
      return reader.result(new ObjectMapper().readTree(Files.readAllBytes(path)));
    } catch (JsonProcessingException e) {
      int line = e.getLocation() == null ? 0 : Math.max(0, e.getLocation().getLineNr());
      throw reader.wrong(line, "", "text that is not JSON", "a verdict as a run writes it");
    } catch (IOException e) {
      String found = "a file that can't be read (" + e.getClass().getSimpleName() + ")";
      throw reader.wrong(0, "", found, "a file that may be read");
    }
  }

  private RunResult result(JsonNode json) {
    return new RunResult(
        text(json, "scenario", ""),
        text(json, "site", ""),
        (long) number(json, "seed", ""),
        text(json, "version", ""),
        number(json, "simulatedSeconds", ""),
        outcome(json, "verdict", "") == Outcome.PASS,
        list(json, "hazards", this::hazard),
        list(json, "expectations", this::expectation),
        list(json, "transitions", this::transition),
        entries(json, "energy"),
        entries(json, "cost"),
        list(json, "alarms", this::alarm),
        list(json, "cautions", JsonNode::asText),
        json.path("supervisor").asText(Supervisors.OWN_NAME));
  }

  private HazardVerdict hazard(JsonNode json) {
    String at = "hazards.";
    return new HazardVerdict(
        text(json, "id", at),
        text(json, "title", at),
        outcome(json, "verdict", at),
        number(json, "worstMargin", at),
        text(json, "unit", at),
        number(json, "firstAt", at),
        text(json, "detail", at),
        // Verdicts of older versions have none.
        json.has("share") ? number(json, "share", at) : Double.NaN);
  }

  private ExpectationVerdict expectation(JsonNode json) {
    String at = "expectations.";
    return new ExpectationVerdict(
        text(json, "text", at),
        outcome(json, "verdict", at),
        number(json, "margin", at),
        text(json, "unit", at),
        number(json, "at", at));
  }

  private Transition transition(JsonNode json) {
    String at = "transitions.";
    return new Transition(
        number(json, "atSeconds", at),
        text(json, "from", at),
        text(json, "to", at),
        text(json, "reason", at));
  }

  private AlarmEntry alarm(JsonNode json) {
    String at = "alarms.";
    return new AlarmEntry(
        number(json, "atSeconds", at),
        text(json, "id", at),
        text(json, "priority", at),
        text(json, "text", at),
        text(json, "consequence", at),
        text(json, "action", at));
  }

  private List<Entry> entries(JsonNode json, String name) {
    JsonNode fields = json.path(name);
    if (!fields.isObject()) {
      throw wrong(0, name, shown(fields), "a group of numbers");
    }
    List<Entry> entries = new ArrayList<>();
    fields
        .fieldNames()
        .forEachRemaining(
            field -> entries.add(new Entry(field, number(fields, field, name + "."))));
    return entries;
  }

  private <T> List<T> list(JsonNode json, String name, Function<JsonNode, T> reader) {
    JsonNode items = json.path(name);
    if (!items.isArray()) {
      throw wrong(0, name, shown(items), "a list");
    }
    List<T> list = new ArrayList<>();
    items.forEach(item -> list.add(reader.apply(item)));
    return list;
  }

  private Outcome outcome(JsonNode json, String name, String at) {
    String word = text(json, name, at);
    return switch (word) {
      case "pass" -> Outcome.PASS;
      case "fail" -> Outcome.FAIL;
      case "waived" -> Outcome.WAIVED;
      default -> throw wrong(0, at + name, "\"" + word + "\"", "one of pass, fail, waived");
    };
  }

  private String text(JsonNode json, String name, String at) {
    JsonNode value = json.path(name);
    if (!value.isTextual()) {
      throw wrong(0, at + name, shown(value), "a text");
    }
    return value.asText();
  }

  private double number(JsonNode json, String name, String at) {
    JsonNode value = json.path(name);
    if (!value.isNumber() || !Double.isFinite(value.asDouble())) {
      throw wrong(0, at + name, shown(value), "a number");
    }
    return value.asDouble();
  }

  private static String shown(JsonNode value) {
    if (value.isMissingNode()) {
      return "nothing";
    }
    String text = value.toString();
    return text.length() <= 60 ? text : text.substring(0, 57) + "...";
  }

  private InputException wrong(int line, String field, String found, String allowed) {
    return new InputException(List.of(new Problem(file, line, field, found, allowed, ADVICE)));
  }
}
