package islet.bench;

import islet.site.Dimension;
import islet.site.Section;
import java.nio.file.Path;
import java.util.Optional;

/** Reads where a run's weather comes from. */
final class WeatherReader {
  private final Path folder;

  /** Reads paths as starting from a folder. */
  WeatherReader(Path folder) {
    this.folder = folder;
  }

  /** The source; empty when it can't be read. */
  Optional<WeatherSource> weather(Section s) {
    Optional<String> form = s.oneOf("epw", "csv", "clear-sky", "constant");
    boolean constant = form.filter("constant"::equals).isPresent();
    if (constant && s.has("clouds")) {
      s.wrong(
          "clouds",
          "no clouds over a constant sky, which has no sun for them to pass",
          "Take them out, or name epw, csv or clear-sky.");
    }
    if (constant) {
      return Optional.of(s.section("constant", "", WeatherReader::constant));
    }
    double passingS =
        s.has("clouds") ? s.section("clouds", "", WeatherReader::passing) : Double.NaN;
    return form.flatMap(name -> intervals(s, name)).map(source -> under(s, source, passingS));
  }

  private static WeatherSource under(Section s, WeatherSource.Intervals source, double passingS) {
    if (!s.has("clouds")) {
      return source;
    }
    if (source instanceof WeatherSource.ClearSky clear && clear.clearness() == 1) {
      s.wrong(
          "clouds",
          "no clouds under a clear sky without a clearness, whose energy they would take",
          "Give clear-sky a clearness below 1, such as 60 %.");
    }
    return new WeatherSource.Clouds(source, passingS);
  }

  private static double passing(Section s) {
    return s.quantity("passing", Dimension.TIME, 120, 3600, "About how long one takes.");
  }

  private Optional<WeatherSource.Intervals> intervals(Section s, String form) {
    return switch (form) {
      case "epw" ->
          s.existingFile(form, folder, "Name a weather year in EPW format.")
              .map(WeatherSource.Epw::new);
      case "csv" ->
          s.existingFile(form, folder, "Name a table of measured weather.")
              .map(WeatherSource.Csv::new);
      default -> Optional.of(s.section(form, "", WeatherReader::clearSky));
    };
  }

  private static WeatherSource.Constant constant(Section s) {
    return new WeatherSource.Constant(
        s.quantity("ghi", Dimension.IRRADIANCE, 0, 1500, ""), temperature(s, "temperature"));
  }

  private static WeatherSource.ClearSky clearSky(Section s) {
    double warmest = temperature(s, "temperature");
    double coldest = s.has("nightTemperature") ? temperature(s, "nightTemperature") : warmest;
    if (coldest > warmest) {
      s.wrong("nightTemperature", "temperature or less", "It is the coldest of the day, at 3:00.");
    }
    double clearness =
        s.has("clearness")
            ? s.quantity("clearness", Dimension.RATIO, 0.01, 1, "Of a cloudless sky's light.")
            : 1;
    return new WeatherSource.ClearSky(warmest, coldest, clearness);
  }

  private static double temperature(Section s, String name) {
    return s.quantity(name, Dimension.TEMPERATURE, -50, 60, "Of the air.");
  }
}
