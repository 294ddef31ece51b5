package islet.live;

import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.WeatherSource;
import islet.site.InputException;
import islet.site.InputFile;
import islet.site.Problem;
import islet.site.Section;
import islet.site.Site;
import islet.site.SiteReader;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;

/**
 * What a live run plays: a scenario as its file has it, or a site alone, on which nothing happens
 * but the course of the day. A site alone begins at the present time with the utility there and the
 * tie closed, under a clear sky, and goes on until somebody stops it.
 */
public final class SiteOrScenario {

  /** Of the air all the time, °C: the yearly mean of a mild place, invented. */
  public static final double TEMPERATURE_C = 15;

  /** State of charge at the start: a battery in use, not full and far from its floor; invented. */
  public static final double INITIAL_SOC = 0.8;

  /** The longest that a site alone is played, in site time: a year. */
  public static final Duration LONGEST = Duration.ofDays(365);

  /** A row of the trace each minute keeps a long run small. */
  private static final double TRACE_STEP_S = 60;

  private static final long MICROS_PER_SECOND = 1_000_000;

  private enum Content {
    SITE,
    SCENARIO,
    OTHER
  }

  private SiteOrScenario() {}

  /**
   * Reads a scenario or a site, whichever the file holds.
   *
   * @throws InputException with everything that is wrong in it, also when it holds neither
   */
  public static Scenario read(Path file) {
    return switch (Section.read(file, List.of(), SiteOrScenario::content)) {
      case SCENARIO -> ScenarioReader.read(file, OptionalLong.empty());
      case SITE -> of(file, SiteReader.read(file), Instant.now());
      case OTHER ->
          throw new InputException(
              List.of(
                  new Problem(
                      InputFile.shown(file),
                      0,
                      "",
                      "neither a site nor a scenario",
                      "a file of config/sites or config/scenarios, or one of your own like these",
                      "A site has circuits, a scenario names a site.")));
    };
  }

  /** By what only one of the two has; what else is wrong, its own reader says. */
  private static Content content(Section file) {
    List<String> names = file.names();
    if (names.contains("site") || names.contains("events") || names.contains("duration")) {
      return Content.SCENARIO;
    }
    return names.contains("circuits") || names.contains("arrangement")
        ? Content.SITE
        : Content.OTHER;
  }

  /**
   * A site on which nothing happens but the course of the day, from now on.
   *
   * @throws InputException with everything that is wrong in the site file
   */
  public static Scenario alone(Path file) {
    return of(file, SiteReader.read(file), Instant.now());
  }

  /**
   * Reads a scenario or a site, and lets it begin at the present time: what happens in a scenario
   * counts from now, and the sun and the loads are those of this hour.
   *
   * @throws InputException with everything that is wrong in it, also when it holds neither
   */
  public static Scenario beginningNow(Path file) {
    return read(file).beginningAt(Instant.now().getEpochSecond() * MICROS_PER_SECOND);
  }

  static Scenario of(Path file, Site site, Instant start) {
    return new Scenario(
        site.name() + " on a steady utility",
        InputFile.tidy(file),
        InputFile.tidy(file),
        site,
        List.of(),
        start.getEpochSecond() * MICROS_PER_SECOND,
        LONGEST.toSeconds() * MICROS_PER_SECOND,
        1,
        new WeatherSource.ClearSky(TEMPERATURE_C),
        INITIAL_SOC,
        true,
        List.of(),
        List.of(),
        Map.of(),
        TRACE_STEP_S);
  }

  /** Whether a scenario is a site alone. */
  public static boolean isAlone(Scenario scenario) {
    return scenario.file().equals(scenario.siteFile());
  }
}
