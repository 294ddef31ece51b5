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
    return s.oneOf("epw", "clear-sky", "constant").flatMap(form -> weather(s, form));
  }

  private Optional<WeatherSource> weather(Section s, String form) {
    return switch (form) {
      case "epw" ->
          s.existingFile(form, folder, "Name a weather year in EPW format.")
              .map(WeatherSource.Epw::new);
      case "clear-sky" ->
          Optional.of(s.section(form, "", c -> new WeatherSource.ClearSky(temperature(c))));
      default ->
          Optional.of(
              s.section(
                  form,
                  "",
                  c ->
                      new WeatherSource.Constant(
                          c.quantity("ghi", Dimension.IRRADIANCE, 0, 1500, ""), temperature(c))));
    };
  }

  private static double temperature(Section s) {
    return s.quantity("temperature", Dimension.TEMPERATURE, -50, 60, "Of the air.");
  }
}
