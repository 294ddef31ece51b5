package islet.cli.reference;

import islet.bench.Event;
import islet.bench.Rehearsal;
import islet.bench.RunRecord;
import islet.bench.Scenario;
import islet.bench.WeatherSource;
import islet.site.Setting;
import islet.site.Site;
import islet.site.SiteReader;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;

/** A short rehearsal of the demo site under settings of a test's own. */
final class TestRun {

  private static final String SITE = "sites/ferry-landing.yaml";
  private static final String ASKER = "references";

  private final Path siteFile;
  private final List<Setting> settings = new ArrayList<>();

  TestRun(Path config) {
    siteFile = config.resolve(SITE);
  }

  /** Puts a value, as YAML text, in the place of the site's. */
  TestRun with(String path, String value) {
    settings.add(new Setting(path, value, ASKER, settings.size() + 1));
    return this;
  }

  /** Runs these events. */
  RunRecord run(
      long startMicros,
      long durationMicros,
      WeatherSource weather,
      double soc,
      List<Event> events) {
    Site site = SiteReader.read(siteFile, settings);
    Scenario scenario =
        new Scenario(
            ASKER,
            siteFile,
            siteFile,
            site,
            settings,
            startMicros,
            durationMicros,
            1,
            weather,
            soc,
            true,
            events,
            List.of(),
            Map.of(),
            60);
    return new Rehearsal(scenario).run(done -> {}).record(ASKER);
  }

  /** The first event of a source and kind that ends in a word, microseconds since 1970. */
  static long first(RunRecord run, String source, String kind, String to) {
    return run.events().rows().stream()
        .filter(r -> r.source().equals(source) && r.kind().equals(kind) && r.to().equals(to))
        .mapToLong(islet.bench.EventLog.Row::micros)
        .findFirst()
        .orElse(Long.MAX_VALUE);
  }
}
