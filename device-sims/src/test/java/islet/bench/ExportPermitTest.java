package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import islet.site.Setting;
import islet.site.Site;
import islet.site.SiteReader;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What the hazard of a forbidden export goes by, judged by the words of the site file. */
class ExportPermitTest {

  private static final Path FERRY_LANDING =
      Path.of(System.getProperty("islet.root"), "config/sites/ferry-landing.yaml");

  private static Site site(String windows) {
    return SiteReader.read(
        FERRY_LANDING,
        List.of(
            new Setting("supervision.dispatch.exportWindows", windows, "test", 0),
            new Setting("utility.exportLimit", "3 kW", "test", 0)));
  }

  private static double limitW(Site site, String local) {
    long micros =
        LocalDateTime.parse(local).atZone(site.place().zone()).toEpochSecond() * 1_000_000L;
    return new ExportPermit(site).limitW(micros);
  }

  @ParameterizedTest
  @CsvSource({
    "2026-01-14T16:59:59, 0",
    "2026-01-14T17:00:00, 3000",
    "2026-01-14T19:59:59, 3000",
    "2026-01-14T20:00:00, 0",
    "2026-01-17T18:00:00, 0", // a Saturday
    "2026-11-02T17:00:00, 3000", // the Monday after the clocks went back
  })
  void onlyWithinAWindowMayPowerLeave(String local, double limitW) {
    Site site = site("[{ between: \"17:00-20:00\", on: [weekday] }]");
    assertEquals(limitW, limitW(site, local));
  }

  /** The permit is asked again and again as time goes by. */
  @Test
  void itEndsWithTheMinuteInWhichTheWindowEnds() {
    Site site = site("[{ between: \"17:00-20:00\" }]");
    ExportPermit permit = new ExportPermit(site);
    long end =
        LocalDateTime.parse("2026-01-14T20:00").atZone(site.place().zone()).toEpochSecond()
            * 1_000_000L;
    assertEquals(3000, permit.limitW(end - 1));
    assertEquals(0, permit.limitW(end));
  }
}
