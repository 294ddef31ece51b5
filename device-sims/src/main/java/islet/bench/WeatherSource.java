package islet.bench;

import java.nio.file.Path;

/** Where a run's weather comes from. */
public sealed interface WeatherSource {

  /** A weather year in EPW format, hourly, in local standard time. */
  record Epw(Path file) implements WeatherSource {}

  /**
   * A sky without clouds, by place and date.
   *
   * @param temperatureC of the air, all the time
   */
  record ClearSky(double temperatureC) implements WeatherSource {}

  /**
   * The same all the time, day and night.
   *
   * @param ghiWPerM2 global horizontal irradiance in W/m²
   * @param temperatureC of the air
   */
  record Constant(double ghiWPerM2, double temperatureC) implements WeatherSource {}
}
