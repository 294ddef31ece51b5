package islet.live.page;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import islet.bench.RunFolder;
import islet.bench.RunResult;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.VerdictReader;
import islet.contract.Decimal;
import islet.site.InputFile;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Path;
import java.util.OptionalLong;

/**
 * A run folder as the page takes it: the description, and one file with the signals, the sequence
 * of events and the hazards' margins. Read once; a folder that changes afterwards is not looked at
 * again.
 *
 * <p>The numbers in it are the folder's own, digit for digit. A trace of more than about 60,000
 * rows is thinned, and {@code every} and {@code nearS} say by how much.
 */
public final class Recording {

  private static final JsonFactory JSON = new JsonFactory();
  private static final int DECIMALS = 6;

  private final String title;
  private final byte[] description;
  private final byte[] json;

  private Recording(String title, byte[] description, byte[] json) {
    this.title = title;
    this.description = description;
    this.json = json;
  }

  /**
   * Reads a folder that a run left behind.
   *
   * @throws islet.site.InputException with a sentence when it is none
   * @throws IOException when it cannot be read
   */
  public static Recording read(Path folder) throws IOException {
    return read(folder, RecordedTrace.MOST_ROWS);
  }

  static Recording read(Path folder, int mostRows) throws IOException {
    RunResult result = VerdictReader.read(folder);
    Scenario scenario = ScenarioReader.read(RunFolder.scenario(folder), OptionalLong.empty());
    long start = scenario.startMicros();
    RecordedEvents events = RecordedEvents.read(new RecordedFile(RunFolder.events(folder)), start);
    RecordedTrace trace =
        RecordedTrace.read(
            new RecordedFile(RunFolder.trace(folder)), start, events.instants(), mostRows);
    ByteArrayOutputStream out = new ByteArrayOutputStream(1 << 20);
    try (JsonGenerator json = JSON.createGenerator(out)) {
      json.writeStartObject();
      json.writeStringField("version", result.version());
      json.writeBooleanField("passed", result.passed());
      RecordedTrace.writeMillis(json, "startAt", start);
      trace.write(json);
      events.write(json);
      margins(json, result, start);
      json.writeEndObject();
    }
    String name = String.valueOf(InputFile.tidy(folder).getFileName());
    return new Recording(scenario.title(), Describer.recording(name, scenario), out.toByteArray());
  }

  /** The worst of the whole run. A verdict of an older version has no shares. */
  private static void margins(JsonGenerator json, RunResult result, long startMicros)
      throws IOException {
    json.writeArrayFieldStart("margins");
    for (HazardVerdict hazard : result.hazards()) {
      boolean occasion = hazard.firstAtSeconds() >= 0;
      json.writeStartObject();
      json.writeStringField("hazard", hazard.id());
      json.writeFieldName("margin");
      json.writeNumber(Decimal.text(hazard.worstMargin(), DECIMALS));
      json.writeStringField("unit", hazard.unit());
      if (Double.isFinite(hazard.share())) {
        json.writeFieldName("share");
        json.writeNumber(Decimal.text(hazard.share(), DECIMALS));
      }
      json.writeBooleanField("occasion", occasion);
      json.writeBooleanField("violated", hazard.verdict() != Outcome.PASS);
      json.writeBooleanField("waived", hazard.verdict() == Outcome.WAIVED);
      json.writeStringField("detail", hazard.detail());
      if (occasion) {
        RecordedTrace.writeMillis(
            json, "worstAt", startMicros + Math.round(hazard.firstAtSeconds() * 1e6));
      }
      json.writeEndObject();
    }
    json.writeEndArray();
  }

  /** What was played, as a person calls it. */
  public String title() {
    return title;
  }

  /** {@code description.json}, in UTF-8. */
  public byte[] description() {
    return description.clone();
  }

  /** {@code recording.json}, in UTF-8. */
  public byte[] json() {
    return json.clone();
  }
}
