package islet.bench;

import java.nio.file.Path;

/** Where a run's weather comes from. */
public sealed interface WeatherSource {

  /** A source that knows each interval's energy, but not how it runs within. */
  sealed interface Intervals extends WeatherSource {}

  /** A weather year in EPW format, hourly, in local standard time. */
  record Epw(Path file) implements Intervals {}

  /** Measured weather with a line for each interval, whose columns say what they are. */
  record Csv(Path file) implements Intervals {}

  /**
   * A sky by place and date.
   *
   * @param temperatureC of the air, at its warmest
   * @param nightTemperatureC of the air, at its coldest
   * @param clearness global irradiance over a cloudless sky's, more than 0 to 1
   */
  record ClearSky(double temperatureC, double nightTemperatureC, double clearness)
      implements Intervals {

    /** Without clouds, and the air's temperature the same all the time. */
    public ClearSky(double temperatureC) {
      this(temperatureC, temperatureC, 1);
    }
  }

  /**
   * Clouds that pass within the intervals of another source and leave each its energy.
   *
   * @param passingS about how long one takes
   */
  record Clouds(Intervals over, double passingS) implements WeatherSource {}

  /**
   * The same all the time, day and night.
   *
   * @param ghiWPerM2 global horizontal irradiance in W/m²
   * @param temperatureC of the air
   */
  record Constant(double ghiWPerM2, double temperatureC) implements WeatherSource {}
}
