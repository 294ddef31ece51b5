package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import com.sun.management.ThreadMXBean;
import islet.LongTest;
import islet.bench.IntervalMeter.Channel;
import islet.plant.Flow;
import java.lang.management.ManagementFactory;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.OptionalLong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Judged by counting hours on the wall (time zone database), and by the plant's own ledger. */
class IntervalMeterTest {

  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");

  private static long micros(String local, ZoneId zone) {
    return LocalDateTime.parse(local).atZone(zone).toEpochSecond() * 1_000_000L;
  }

  /** Lord Howe Island changes its clocks by half an hour. */
  @ParameterizedTest
  @CsvSource({
    "America/Chicago, 2026-01-14, 15, 96",
    "America/Chicago, 2026-03-08, 15, 92",
    "America/Chicago, 2026-11-01, 15, 100",
    "America/Chicago, 2026-11-01, 60, 25",
    "America/Chicago, 2026-03-08, 30, 46",
    "Australia/Lord_Howe, 2026-10-04, 60, 24",
    "Australia/Lord_Howe, 2026-10-04, 30, 47"
  })
  void aDayHasAsManyIntervalsAsItsElapsedTimeHolds(
      String zoneName, String date, int minutes, int expected) {
    ZoneId zone = ZoneId.of(zoneName);
    long begin = micros(date + "T00:00", zone);
    long end =
        LocalDateTime.parse(date + "T00:00").plusDays(1).atZone(zone).toEpochSecond() * 1_000_000L;
    IntervalClock clock = new IntervalClock(zone, minutes);
    int count = 0;
    double seconds = 0;
    for (long at = begin; at < end; at = clock.end()) {
      clock.turnTo(at);
      seconds += clock.seconds();
      count++;
    }
    assertEquals(expected, count);
    assertEquals((end - begin) / 1e6, seconds, 1e-9);
  }

  @Test
  @LongTest
  void theIntervalsOfARunAddUpToItsLedger() {
    Scenario scenario =
        ScenarioReader.read(CONFIG.resolve("scenarios/surplus-export.yaml"), OptionalLong.empty());
    Judges judges = new Rehearsal(scenario).run(done -> {});
    IntervalMeter meter = judges.meters().intervals();
    for (Channel channel : Channel.values()) {
      double sum = 0;
      for (int row = 0; row < meter.rows(); row++) {
        sum += meter.joules(row, channel);
      }
      double total =
          judges.meters().energy().stream()
              .filter(e -> e.name().equalsIgnoreCase(channel.name() + "_kWh"))
              .mapToDouble(RunResult.Entry::value)
              .findFirst()
              .orElseThrow();
      assertEquals(total, sum / 3.6e6, 1e-9, channel.name());
    }
    double bands =
        judges.meters().bill().entries().stream()
            .filter(e -> e.name().matches("band_.*_import_kWh"))
            .mapToDouble(RunResult.Entry::value)
            .sum();
    double imported =
        judges.meters().energy().stream()
            .filter(e -> e.name().equalsIgnoreCase(Flow.IMPORT + "_kWh"))
            .mapToDouble(RunResult.Entry::value)
            .findFirst()
            .orElseThrow();
    assertEquals(imported, bands, 1e-9);
    long whole = scenario.durationMicros() / (15 * 60_000_000L);
    assertEquals(whole + 1, meter.rows());
  }

  /** The JVM's own count of the thread's bytes, over the steps between two midnights. */
  @Test
  void billingAStepAllocatesNothingBetweenChangesOfPrice() {
    ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
    long id = Thread.currentThread().getId();
    long least = Long.MAX_VALUE;
    for (int run = 0; run < 4; run++) {
      long at = micros("2026-01-14T06:00", TestSites.CHICAGO);
      Bill bill = new Bill(TestSites.TARIFF, TestSites.CHICAGO, at);
      bill.add(at + 1_000_000L, 1000, 0);
      long before = threads.getThreadAllocatedBytes(id);
      for (int i = 2; i < 35_000; i++) { // until before 16:00, some 38 intervals
        bill.add(at + i * 1_000_000L, 1000, 0);
      }
      least = Math.min(least, threads.getThreadAllocatedBytes(id) - before);
    }
    assertEquals(0, least);
  }
}
