package islet.bench;

import islet.site.Dimension;
import islet.site.InputFile;
import islet.site.Section;
import islet.site.Setting;
import islet.site.Site;
import islet.site.SiteReader;
import islet.site.Spelling;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.time.zone.ZoneOffsetTransition;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;

/** Reads and checks a scenario file and the site that it names. */
public final class ScenarioReader {
  /** Rows of a trace that fit well into memory and into a spreadsheet. */
  private static final long MOST_TRACE_ROWS = 1_000_000;

  private static final long USUAL_TRACE_ROWS = 17_280;

  private static final long SECOND = 1_000_000L;
  private static final long MAXIMUM_SEED = 999_999_999_999_999_999L;
  private static final String START_FORM =
      "a civil time at the site such as 2026-01-14T15:00, or with its offset 2026-01-14T15:00-06:00";

  private final Path file;
  private final OptionalLong seedOverride;
  private final List<Setting> more;

  private ScenarioReader(Path file, OptionalLong seedOverride, List<Setting> more) {
    this.file = file;
    this.seedOverride = seedOverride;
    this.more = more;
  }

  /**
   * Reads a scenario.
   *
   * @param seedOverride takes the place of the file's seed
   * @throws islet.site.InputException with everything that is wrong in the scenario, in the site
   *     and in the site's profile
   */
  public static Scenario read(Path file, OptionalLong seedOverride) {
    return read(file, seedOverride, List.of());
  }

  /**
   * The same with further settings, which take the place of the scenario's own of the same path.
   *
   * @throws islet.site.InputException as above, and with everything that is wrong in the settings
   */
  public static Scenario read(Path file, OptionalLong seedOverride, List<Setting> more) {
    ScenarioReader reader = new ScenarioReader(file, seedOverride, more);
    return Section.read(file, List.of(), reader::scenario).orElseThrow();
  }

  /** Empty when the site can't be read; the reason is among the problems then. */
  private Optional<Scenario> scenario(Section s) {
    String title = s.text("title", "the case in one line", "");
    Path origin = origin(s);
    Path folder = InputFile.folder(origin);
    List<Setting> settings = settings(s);
    Optional<Path> siteFile =
        s.existingFile("site", folder, "Name one of the files in config/sites, or your own.");
    Optional<Site> site =
        siteFile.flatMap(f -> s.problems().gather(() -> SiteReader.read(f, settings)));
    OptionalLong start = start(s, site.map(x -> x.place().zone()));
    long duration = s.duration("duration", 1, Long.MAX_VALUE, "The run must end after its start.");
    long seed = s.has("seed") ? s.integer("seed", 0, MAXIMUM_SEED, "") : 1;
    Optional<WeatherSource> weather =
        s.section("weather", "", w -> new WeatherReader(folder).weather(w));
    StartingBattery battery = s.section("battery", "", ScenarioReader::battery);
    Site.Arrangement arrangement = site.map(Site::arrangement).orElse(Site.Arrangement.TWO_PANEL);
    boolean closed = tieClosed(s, arrangement);
    List<Event> events = new EventReader(duration, arrangement).events(s);
    List<Expectation> expect = new ExpectationReader(duration).expectations(s);
    Map<String, String> waive =
        s.has("waive") ? s.section("waive", "", ScenarioReader::waive) : Map.of();
    long traceStep = traceStep(s, duration);
    List<Stop> stops = new StopReader(duration).stops(s);
    if (site.isEmpty() || weather.isEmpty()) {
      return Optional.empty();
    }
    return Optional.of(
        new Scenario(
            title,
            InputFile.tidy(origin),
            siteFile.orElseThrow(),
            site.get(),
            settings,
            start.orElse(0),
            duration,
            seedOverride.orElse(seed),
            weather.get(),
            battery.soc(),
            battery.health(),
            closed,
            events,
            expect,
            waive,
            traceStep / (double) SECOND,
            stops));
  }

  private record StartingBattery(double soc, double health) {}

  private static StartingBattery battery(Section s) {
    return new StartingBattery(
        s.quantity("soc", Dimension.RATIO, 0, 1, "At the start."),
        s.has("health")
            ? s.quantity("health", Dimension.RATIO, 0.1, 1, "Capacity over the new battery's.")
            : 1);
  }

  private static boolean tieClosed(Section s, Site.Arrangement arrangement) {
    if (arrangement.hasSwitch()) {
      return !s.has("tie") || s.choice("tie", List.of("closed", "open"), "").equals("closed");
    }
    if (s.has("tie")) {
      s.wrong("tie", "no such field at a site without a tie or changeover switch", "Take it out.");
    }
    return false;
  }

  private List<Setting> settings(Section s) {
    List<Setting> settings = new ArrayList<>();
    if (s.has("settings")) {
      settings.addAll(s.settings("settings", "Give dotted paths into the site."));
    }
    for (Setting setting : more) {
      settings.removeIf(own -> own.path().equals(setting.path()));
      settings.add(setting);
    }
    return settings;
  }

  /**
   * By default the trace of any run has some ten thousand rows, and never more than it can hold.
   */
  private static long traceStep(Section s, long duration) {
    // A duration that is wrong has been told already and says nothing of the step.
    boolean known = duration < Long.MAX_VALUE;
    long least = known ? Math.max(1_000, duration / MOST_TRACE_ROWS / 1_000 * 1_000) : 1_000;
    long byLength = duration / USUAL_TRACE_ROWS / (10 * SECOND) * (10 * SECOND);
    return s.has("traceStep")
        ? s.duration("traceStep", least, least, "A longer run needs a longer step.")
        : Math.max(10 * SECOND, byLength);
  }

  /**
   * The file from whose folder paths start. The resolved scenario in a run's folder names the one
   * that it came from, relative to a folder above its own or to the working directory.
   */
  private Path origin(Section s) {
    if (!s.has("resolvedFrom")) {
      return file;
    }
    String from = s.text("resolvedFrom", "the path of a scenario", "");
    String site = s.text("site", "the path of a site", "");
    List<Path> starts = new ArrayList<>();
    for (Path up = InputFile.folder(file).normalize(); up != null; up = up.getParent()) {
      starts.add(up);
    }
    starts.add(Path.of(""));
    for (Path start : starts) {
      Path candidate = start.resolve(from);
      if (Files.isRegularFile(InputFile.beside(InputFile.folder(candidate), site))) {
        return candidate;
      }
    }
    s.wrong(
        "resolvedFrom",
        "the path of a scenario from a folder above this file's or from the working directory",
        "Run it from the folder in which it was run first.");
    return file;
  }

  private static OptionalLong start(Section s, Optional<ZoneId> zone) {
    String text = s.text("start", START_FORM, "");
    if (text.isEmpty() || zone.isEmpty()) {
      return OptionalLong.empty();
    }
    try {
      boolean offsetGiven = text.matches(".*(Z|[+-]\\d\\d:\\d\\d)");
      LocalDateTime local =
          offsetGiven ? OffsetDateTime.parse(text).toLocalDateTime() : LocalDateTime.parse(text);
      List<ZoneOffset> offsets = zone.get().getRules().getValidOffsets(local);
      if (offsets.isEmpty()) {
        ZoneOffsetTransition gap = zone.get().getRules().getTransition(local);
        s.wrong(
            "start",
            "a civil time that exists in " + zone.get(),
            "Clocks go from "
                + gap.getDateTimeBefore().toLocalTime()
                + " to "
                + gap.getDateTimeAfter().toLocalTime()
                + " then.");
        return OptionalLong.empty();
      }
      ZoneOffset offset = offsetGiven ? OffsetDateTime.parse(text).getOffset() : offsets.get(0);
      boolean legal =
          offsets.contains(offset) && local.equals(local.truncatedTo(ChronoUnit.SECONDS));
      if (legal) {
        return OptionalLong.of(Math.multiplyExact(local.toEpochSecond(offset), SECOND));
      }
    } catch (DateTimeException e) {
      // told below, with the offsets that do not belong to the zone
    }
    s.wrong("start", START_FORM, "Write date, T and time of day, to the second.");
    return OptionalLong.empty();
  }

  private static Map<String, String> waive(Section s) {
    Map<String, String> waive = new LinkedHashMap<>();
    for (String id : s.names()) {
      if (!Hazards.IDS.contains(id)) {
        s.wrong(
            id,
            "an unknown hazard",
            "one of " + String.join(", ", Hazards.IDS),
            Spelling.question(id, Hazards.IDS));
      }
      waive.put(id, s.text(id, "the reason as text", "The verdict repeats the reason."));
    }
    return waive;
  }
}
