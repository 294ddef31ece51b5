package islet.bench.guided;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import islet.bench.RunResult;
import islet.bench.Sight;
import islet.contract.Decimal;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.util.List;
import java.util.Locale;

/**
 * A record as {@code record.json}. Its last field is the SHA-256 of every byte before the line on
 * which it stands, so that a later change shows.
 */
public final class RecordJson {

  private static final int DECIMALS = 6;
  private static final JsonFactory JSON = new JsonFactory();

  private RecordJson() {}

  /** The file, sealed. */
  public static byte[] sealed(GuidedRecord record) throws IOException {
    return Seal.put(content(record));
  }

  private static byte[] content(GuidedRecord record) throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream(16_384);
    DefaultIndenter indenter = new DefaultIndenter("  ", "\n");
    DefaultPrettyPrinter printer = new DefaultPrettyPrinter();
    printer.indentObjectsWith(indenter);
    printer.indentArraysWith(indenter);
    try (JsonGenerator json = JSON.createGenerator(out)) {
      json.setPrettyPrinter(printer);
      json.writeStartObject();
      head(json, record);
      settings(json, record.settings());
      json.writeArrayFieldStart("steps");
      for (GuidedRecord.Step step : record.steps()) {
        step(json, step);
      }
      json.writeEndArray();
      hazards(json, record.result().hazards());
      expectations(json, record.result().expectations());
      texts(json, "cautions", record.result().cautions());
      json.writeEndObject();
    }
    return out.toByteArray();
  }

  private static void head(JsonGenerator json, GuidedRecord record) throws IOException {
    RunResult result = record.result();
    json.writeStringField("notice", GuidedRecord.NOTICE);
    json.writeStringField("outcome", record.outcome().name().toLowerCase(Locale.ROOT));
    json.writeStringField("run", result.passed() ? "pass" : "fail");
    json.writeStringField("scenario", result.scenario());
    json.writeStringField("site", result.site());
    json.writeStringField("siteId", record.siteId());
    json.writeStringField("supervisor", result.supervisor());
    json.writeStringField("version", result.version());
    json.writeNumberField("seed", result.seed());
    json.writeStringField("simulatedFrom", record.simulatedFrom());
    number(json, "simulatedSeconds", result.simulatedSeconds());
    json.writeStringField("begun", record.begun());
    json.writeStringField("signedAt", record.signature().when());
    json.writeStringField("name", record.signature().name());
    json.writeStringField("signature", record.signature().text());
    json.writeStringField("scenarioSha256", record.scenarioSha256());
    json.writeArrayFieldStart("files");
    for (GuidedRecord.FileDigest file : record.files()) {
      json.writeStartObject();
      json.writeStringField("name", file.name());
      json.writeStringField("sha256", file.sha256());
      json.writeEndObject();
    }
    json.writeEndArray();
  }

  private static void settings(JsonGenerator json, List<AsFound.Group> groups) throws IOException {
    json.writeArrayFieldStart("settingsAsFound");
    for (AsFound.Group group : groups) {
      json.writeStartObject();
      json.writeStringField("group", group.title());
      json.writeArrayFieldStart("settings");
      for (AsFound.Row row : group.rows()) {
        json.writeStartObject();
        json.writeStringField("name", row.name());
        json.writeStringField("value", row.value());
        json.writeEndObject();
      }
      json.writeEndArray();
      json.writeEndObject();
    }
    json.writeEndArray();
  }

  private static void step(JsonGenerator json, GuidedRecord.Step step) throws IOException {
    Answer answer = step.answer();
    json.writeStartObject();
    json.writeNumberField("step", answer.step());
    number(json, "atSeconds", step.atSeconds());
    json.writeStringField("at", step.at());
    json.writeStringField("do", step.stop().act());
    json.writeStringField("see", step.stop().see());
    json.writeStringField("safety", step.stop().safety());
    json.writeStringField("mode", answer.sight().mode());
    texts(json, "alarms", answer.sight().alarms());
    json.writeArrayFieldStart("values");
    for (int i = 0; i < answer.sight().readings().size(); i++) {
      Sight.Reading reading = answer.sight().readings().get(i);
      json.writeStartObject();
      json.writeStringField("signal", reading.signal());
      json.writeStringField("truth", reading.value());
      json.writeStringField("measured", answer.measured().get(i));
      json.writeStringField("unit", reading.unit());
      json.writeEndObject();
    }
    json.writeEndArray();
    json.writeStringField("verdict", answer.verdict().word());
    json.writeStringField("remark", answer.remark());
    json.writeStringField("who", answer.who());
    json.writeStringField("answeredAt", answer.when());
    json.writeEndObject();
  }

  private static void hazards(JsonGenerator json, List<RunResult.HazardVerdict> hazards)
      throws IOException {
    json.writeArrayFieldStart("hazards");
    for (RunResult.HazardVerdict hazard : hazards) {
      json.writeStartObject();
      json.writeStringField("id", hazard.id());
      json.writeStringField("title", hazard.title());
      json.writeStringField("verdict", word(hazard.verdict()));
      json.writeBooleanField("occasion", hazard.firstAtSeconds() >= 0);
      number(json, "worstMargin", hazard.worstMargin());
      json.writeStringField("unit", hazard.unit());
      json.writeStringField("detail", hazard.detail());
      json.writeEndObject();
    }
    json.writeEndArray();
  }

  private static void expectations(
      JsonGenerator json, List<RunResult.ExpectationVerdict> expectations) throws IOException {
    json.writeArrayFieldStart("expectations");
    for (RunResult.ExpectationVerdict expectation : expectations) {
      json.writeStartObject();
      json.writeStringField("text", expectation.text());
      json.writeStringField("verdict", word(expectation.verdict()));
      number(json, "margin", expectation.margin());
      json.writeStringField("unit", expectation.unit());
      json.writeEndObject();
    }
    json.writeEndArray();
  }

  private static void texts(JsonGenerator json, String name, List<String> texts)
      throws IOException {
    json.writeArrayFieldStart(name);
    for (String text : texts) {
      json.writeString(text);
    }
    json.writeEndArray();
  }

  private static void number(JsonGenerator json, String name, double value) throws IOException {
    json.writeFieldName(name);
    json.writeNumber(Decimal.text(value, DECIMALS));
  }

  private static String word(RunResult.Outcome outcome) {
    return outcome.name().toLowerCase(Locale.ROOT);
  }
}
