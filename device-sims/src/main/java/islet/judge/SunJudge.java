package islet.judge;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import islet.plant.EpwWeather;
import islet.plant.ModuleSpec;
import islet.plant.Place;
import islet.plant.PvSpec;
import islet.plant.SunYear;
import java.io.IOException;
import java.io.InputStream;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * A script in another language as judge of a year of sun. Both sides read the same EPW file and the
 * same datasheet with its published resistances, and both take isotropic sky, one diode and the
 * NOCT relation; everything else, from the sun's position to the search for maximum power, is
 * worked out in other ways.
 */
public final class SunJudge {
  /** The program. */
  public static final String PROGRAM = "python3";

  private static final String SCRIPT = "year_of_sun.py";
  private static final long LONGEST_S = 120;

  /** 2026-01-01T06:00Z: the year's begin by local standard time at UTC−6. */
  private static final long NEW_YEAR = 1_767_247_200L * 1_000_000L;

  private static final JsonFactory JSON = new JsonFactory();

  private SunJudge() {}

  /**
   * The outcome.
   *
   * @param ours by the plant's array
   * @param theirs by the script
   * @param theirsFitted energy by the script with resistances of its own fit, kWh
   * @param zenithDeg the script's own sun at the published example's instant, without refraction, °
   */
  public record Verdict(SunYear ours, SunYear theirs, double theirsFitted, double zenithDeg) {
    /** How far ours lies from theirs, as a share. */
    public double irradiationShare() {
      return ours.irradiationKWhPerM2() / theirs.irradiationKWhPerM2() - 1;
    }

    /** How far ours lies from theirs, as a share. */
    public double energyShare() {
      return ours.energyKWh() / theirs.energyKWh() - 1;
    }
  }

  /**
   * Compares a year of an array at UTC−6.
   *
   * @param pv the array
   * @param place where it stands
   * @param seriesOhm of the module as published, Ω
   * @param shuntOhm of the module as published, Ω
   * @param epw the weather
   * @throws MissingProgramException when the script's language isn't installed
   * @throws IOException when the script fails
   */
  public static Verdict compare(PvSpec pv, Place place, double seriesOhm, double shuntOhm, Path epw)
      throws IOException, MissingProgramException {
    Path folder = Files.createTempDirectory("islet-sun");
    try {
      Map<String, Double> theirs =
          ask(question(pv, place, seriesOhm, shuntOhm), epw.toAbsolutePath(), folder);
      SunYear ours = SunYear.of(pv, place, EpwWeather.read(epw), NEW_YEAR);
      return new Verdict(
          ours,
          new SunYear(number(theirs, "irradiationKWhPerM2"), number(theirs, "energyKWh")),
          number(theirs, "energyOwnFitKWh"),
          number(theirs, "zenithDeg"));
    } finally {
      Folders.delete(folder);
    }
  }

  private static Map<String, Double> ask(String question, Path epw, Path folder)
      throws IOException, MissingProgramException {
    Path script = folder.resolve(SCRIPT);
    try (InputStream in = SunJudge.class.getResourceAsStream(SCRIPT)) {
      if (in == null) {
        throw new IOException("The script " + SCRIPT + " is not among the program's files.");
      }
      Files.copy(in, script);
    }
    List<String> command = List.of(PROGRAM, SCRIPT, epw.toString(), question);
    return numbers(OutsideProgram.run(command, folder, LONGEST_S));
  }

  private static String question(PvSpec pv, Place place, double seriesOhm, double shuntOhm)
      throws IOException {
    StringWriter text = new StringWriter();
    ModuleSpec m = pv.module();
    try (JsonGenerator json = JSON.createGenerator(text)) {
      json.writeStartObject();
      json.writeObjectFieldStart("place");
      json.writeNumberField("latitude", place.latitudeDeg());
      json.writeNumberField("longitude", place.longitudeDeg());
      json.writeNumberField("albedo", place.albedo());
      json.writeEndObject();
      json.writeObjectFieldStart("array");
      json.writeNumberField("tilt", pv.tiltDeg());
      json.writeNumberField("azimuth", pv.azimuthDeg());
      json.writeNumberField("series", pv.series());
      json.writeNumberField("parallel", pv.parallel());
      json.writeEndObject();
      json.writeObjectFieldStart("module");
      json.writeNumberField("isc", m.iscA());
      json.writeNumberField("voc", m.vocV());
      json.writeNumberField("imp", m.impA());
      json.writeNumberField("vmp", m.vmpV());
      json.writeNumberField("cells", m.cells());
      json.writeNumberField("ki", m.kiAPerK());
      json.writeNumberField("kv", m.kvVPerK());
      json.writeNumberField("noct", m.noctC());
      json.writeNumberField("rs", seriesOhm);
      json.writeNumberField("rp", shuntOhm);
      json.writeEndObject();
      json.writeEndObject();
    }
    return text.toString();
  }

  private static Map<String, Double> numbers(String text) throws IOException {
    Map<String, Double> numbers = new HashMap<>();
    try (JsonParser json = JSON.createParser(text)) {
      while (json.nextToken() != null) {
        JsonToken token = json.currentToken();
        if (token == JsonToken.VALUE_NUMBER_FLOAT || token == JsonToken.VALUE_NUMBER_INT) {
          numbers.put(json.currentName(), json.getDoubleValue());
        }
      }
    }
    return numbers;
  }

  private static double number(Map<String, Double> numbers, String name) {
    return numbers.getOrDefault(name, Double.NaN);
  }
}
