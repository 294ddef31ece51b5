package islet.bench;

import islet.plant.ClearSkyWeather;
import islet.plant.ConstantWeather;
import islet.plant.CsvWeather;
import islet.plant.DataFileException;
import islet.plant.DataFiles;
import islet.plant.EpwWeather;
import islet.plant.IntervalWeather;
import islet.plant.PassingClouds;
import islet.plant.Place;
import islet.plant.Weather;
import islet.site.InputException;
import islet.site.InputFile;
import islet.site.Problem;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.List;

/** Makes the weather that a scenario names. */
final class WeatherBuilder {
  /** What no source says and nothing in the plant depends on, m/s. */
  private static final double LIGHT_WIND = 1;

  /** A file that knows less than this apart knows the clouds itself, µs. */
  private static final long CLOUDS_KNOWN = 5 * 60_000_000L;

  private final Scenario scenario;
  private final Place place;
  private final double utcOffsetH;
  private final DataFiles files;

  private WeatherBuilder(Scenario scenario, DataFiles files) {
    this.files = files;
    this.scenario = scenario;
    this.place = SiteParts.place(scenario.site());
    this.utcOffsetH = SiteParts.standardOffsetH(scenario.site(), scenario.startMicros());
  }

  /**
   * The weather over a run.
   *
   * @param files where its file is read, or has been
   * @throws InputException when its file can't be used or doesn't cover the run
   */
  static Weather of(Scenario scenario, DataFiles files) {
    WeatherBuilder builder = new WeatherBuilder(scenario, files);
    WeatherSource source = scenario.weather();
    if (source instanceof WeatherSource.Constant constant) {
      // A constant sky is taken as fully diffuse, so that it doesn't depend on where the sun
      // stands.
      return new ConstantWeather(
          constant.ghiWPerM2(), 0, constant.ghiWPerM2(), constant.temperatureC(), LIGHT_WIND);
    }
    if (source instanceof WeatherSource.Clouds clouds) {
      return builder.clouds(clouds);
    }
    return builder.intervals((WeatherSource.Intervals) source);
  }

  private Weather clouds(WeatherSource.Clouds clouds) {
    IntervalWeather base = intervals(clouds.over());
    Place sun = base instanceof EpwWeather epw ? epw.station() : place;
    if (base.intervalMicros() < CLOUDS_KNOWN) {
      throw new InputException(
          List.of(
              new Problem(
                  InputFile.shown(scenario.file()),
                  0,
                  "weather.clouds",
                  "clouds over a file with a line every "
                      + base.intervalMicros() / 60_000_000L
                      + " min",
                  "clouds over lines 5 minutes or more apart",
                  "Take the clouds out: such a file knows its own.")));
    }
    return new PassingClouds(base, sun, scenario.seed(), clouds.passingS() / 60);
  }

  private IntervalWeather intervals(WeatherSource.Intervals source) {
    try {
      if (source instanceof WeatherSource.Epw epw) {
        return files.epw(epw.file());
      }
      if (source instanceof WeatherSource.Csv csv) {
        return covering(csv.file(), files.csv(csv.file(), place, utcOffsetH));
      }
    } catch (DataFileException e) {
      throw SiteParts.badFile(e);
    }
    WeatherSource.ClearSky clear = (WeatherSource.ClearSky) source;
    return new ClearSkyWeather(
        place,
        utcOffsetH,
        clear.clearness(),
        clear.temperatureC(),
        clear.nightTemperatureC(),
        LIGHT_WIND);
  }

  private CsvWeather covering(Path file, CsvWeather weather) {
    long start = scenario.startMicros();
    long end = start + scenario.durationMicros();
    if (start >= weather.firstMicros() && end <= weather.endMicros()) {
      return weather;
    }
    throw new InputException(
        List.of(
            new Problem(
                InputFile.shown(file),
                0,
                "time",
                "lines from "
                    + local(weather.firstMicros())
                    + " to "
                    + local(weather.endMicros())
                    + " local standard time",
                "a file that covers the run, from " + local(start) + " to " + local(end),
                "Change the scenario's start or duration, or give a longer file.")));
  }

  private String local(long micros) {
    ZoneOffset standard = ZoneOffset.ofTotalSeconds((int) Math.round(utcOffsetH * 3600));
    return DateTimeFormatter.ISO_LOCAL_DATE_TIME.format(
        Instant.ofEpochSecond(Math.floorDiv(micros, 1_000_000L)).atOffset(standard));
  }
}
