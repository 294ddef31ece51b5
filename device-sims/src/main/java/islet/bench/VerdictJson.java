package islet.bench;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import islet.bench.RunResult.Entry;
import islet.contract.Decimal;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.util.List;
import java.util.Locale;

/** The two JSON files of a run folder. Numbers have fixed decimals: the same bytes on every JDK. */
public final class VerdictJson {

  /** Microseconds, microvolts, microdegrees: finer than anything that is judged. */
  private static final int DECIMALS = 6;

  private static final JsonFactory JSON = new JsonFactory();

  private VerdictJson() {}

  /** {@code verdict.json}: the result, field for field. */
  public static byte[] verdict(RunResult result) throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream(8192);
    try (JsonGenerator json = generator(out)) {
      json.writeStartObject();
      json.writeStringField("scenario", result.scenario());
      json.writeStringField("site", result.site());
      json.writeNumberField("seed", result.seed());
      json.writeStringField("version", result.version());
      number(json, "simulatedSeconds", result.simulatedSeconds());
      json.writeStringField("verdict", result.passed() ? "pass" : "fail");
      hazards(json, result);
      expectations(json, result);
      transitions(json, result);
      entries(json, "energy", result.energy());
      entries(json, "cost", result.cost());
      alarms(json, result);
      json.writeArrayFieldStart("cautions");
      for (String caution : result.cautions()) {
        json.writeString(caution);
      }
      json.writeEndArray();
      json.writeStringField("supervisor", result.supervisor());
      json.writeEndObject();
    }
    out.write('\n');
    return out.toByteArray();
  }

  /** {@code timing.json}. */
  static byte[] timing(Timing timing) throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream(128);
    try (JsonGenerator json = generator(out)) {
      json.writeStartObject();
      number(json, "wallSeconds", timing.wallSeconds());
      json.writeNumberField("steps", timing.steps());
      number(json, "stepsPerSecond", timing.stepsPerSecond());
      json.writeEndObject();
    }
    out.write('\n');
    return out.toByteArray();
  }

  private static JsonGenerator generator(ByteArrayOutputStream out) throws IOException {
    DefaultIndenter indenter = new DefaultIndenter("  ", "\n");
    DefaultPrettyPrinter printer = new DefaultPrettyPrinter();
    printer.indentObjectsWith(indenter);
    printer.indentArraysWith(indenter);
    JsonGenerator json = JSON.createGenerator(out);
    json.setPrettyPrinter(printer);
    return json;
  }

  private static void hazards(JsonGenerator json, RunResult result) throws IOException {
    json.writeArrayFieldStart("hazards");
    for (RunResult.HazardVerdict hazard : result.hazards()) {
      json.writeStartObject();
      json.writeStringField("id", hazard.id());
      json.writeStringField("title", hazard.title());
      json.writeStringField("verdict", word(hazard.verdict()));
      number(json, "worstMargin", hazard.worstMargin());
      json.writeStringField("unit", hazard.unit());
      if (Double.isFinite(hazard.share())) {
        number(json, "share", hazard.share());
      }
      number(json, "firstAt", hazard.firstAtSeconds());
      json.writeStringField("detail", hazard.detail());
      json.writeEndObject();
    }
    json.writeEndArray();
  }

  private static void expectations(JsonGenerator json, RunResult result) throws IOException {
    json.writeArrayFieldStart("expectations");
    for (RunResult.ExpectationVerdict expectation : result.expectations()) {
      json.writeStartObject();
      json.writeStringField("text", expectation.text());
      json.writeStringField("verdict", word(expectation.verdict()));
      number(json, "margin", expectation.margin());
      json.writeStringField("unit", expectation.unit());
      number(json, "at", expectation.atSeconds());
      json.writeEndObject();
    }
    json.writeEndArray();
  }

  private static void transitions(JsonGenerator json, RunResult result) throws IOException {
    json.writeArrayFieldStart("transitions");
    for (RunResult.Transition transition : result.transitions()) {
      json.writeStartObject();
      number(json, "atSeconds", transition.atSeconds());
      json.writeStringField("from", transition.from());
      json.writeStringField("to", transition.to());
      json.writeStringField("reason", transition.reason());
      json.writeEndObject();
    }
    json.writeEndArray();
  }

  private static void alarms(JsonGenerator json, RunResult result) throws IOException {
    json.writeArrayFieldStart("alarms");
    for (RunResult.AlarmEntry alarm : result.alarms()) {
      json.writeStartObject();
      number(json, "atSeconds", alarm.atSeconds());
      json.writeStringField("id", alarm.id());
      json.writeStringField("priority", alarm.priority());
      json.writeStringField("text", alarm.text());
      json.writeStringField("consequence", alarm.consequence());
      json.writeStringField("action", alarm.action());
      json.writeEndObject();
    }
    json.writeEndArray();
  }

  private static void entries(JsonGenerator json, String name, List<Entry> entries)
      throws IOException {
    json.writeObjectFieldStart(name);
    for (Entry entry : entries) {
      number(json, entry.name(), entry.value());
    }
    json.writeEndObject();
  }

  private static void number(JsonGenerator json, String name, double value) throws IOException {
    json.writeFieldName(name);
    json.writeNumber(Decimal.text(value, DECIMALS));
  }

  private static String word(RunResult.Outcome outcome) {
    return outcome.name().toLowerCase(Locale.ROOT);
  }
}
