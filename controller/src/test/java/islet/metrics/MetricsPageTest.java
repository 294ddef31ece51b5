package islet.metrics;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.sun.management.ThreadMXBean;
import islet.contract.ChargeStage;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.RegulatorTelemetry;
import islet.contract.Topics;
import islet.control.SiteSupervisor;
import islet.executive.Duty;
import islet.executive.Turn;
import islet.executive.journal.Journal;
import islet.site.Site;
import islet.site.SiteReader;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Judged by the OpenMetrics specification, with a reader written from it and, where it is
 * installed, with an independent client library's; and by what the test itself did to the
 * controller.
 */
class MetricsPageTest {

  private static final Site SITE =
      SiteReader.read(Path.of(System.getProperty("islet.root"), "config/sites/ferry-landing.yaml"));
  private static final Topics TOPICS = new Topics("ferry-landing");
  private static final long SCAN = 100_000;

  private final List<Port.Listener> listeners = new ArrayList<>();
  private long now = 1_768_424_400_000_000L;
  private long steady;
  private long scanNanos = 400_000;
  private long overruns = 3;

  private final Port port =
      new Port() {
        @Override
        public void publish(Message message) {}

        @Override
        public void subscribe(String filter, int qos) {}

        @Override
        public boolean connected() {
          return true;
        }

        @Override
        public void close() {}
      };

  private final Duty duty =
      new Duty(
          SITE,
          SiteSupervisor::new,
          (id, will, listener) -> {
            listeners.add(listener);
            return port;
          },
          () -> now,
          "test",
          Journal.NONE,
          Map.of(),
          false);

  private final ScanTimes times = new ScanTimes(() -> steady);
  private final Vitals vitals = new Vitals(SITE, duty, Journal.NONE);
  private final MetricsPage page =
      new MetricsPage(identity(), times, vitals)
          .counter("islet_overruns", "Planted.", () -> overruns)
          .drops("unsent", () -> 7);

  /** Two thirds of its time before the orders are out. */
  private final Turn scan =
      times.measured(
          new Turn() {
            @Override
            public void act() {
              duty.act();
              steady += scanNanos - scanNanos / 3;
            }

            @Override
            public void tell() {
              duty.tell();
              steady += scanNanos / 3;
            }
          });

  private static Map<String, String> identity() {
    Map<String, String> identity = new LinkedHashMap<>();
    identity.put("version", "0.1.0");
    identity.put("site", "a \"quoted\" \\ name\nof two lines");
    return identity;
  }

  private void scans(int number) {
    for (int i = 0; i < number; i++) {
      now += SCAN;
      scan.act();
      steady += 5_000_000; // between the two others have their turn
      scan.tell();
      vitals.look(now);
    }
  }

  private String text() {
    return new String(page.get(), StandardCharsets.UTF_8);
  }

  private OpenMetricsText read() {
    return OpenMetricsText.of(text());
  }

  private void link(boolean up) {
    List.copyOf(listeners).forEach(listener -> listener.link(up));
  }

  private void say(Device device, Kind kind, byte[] payload) {
    Message message = Message.of(TOPICS.of(device, kind), payload, 0, false);
    listeners.get(listeners.size() - 1).message(message);
  }

  private void regulatorSpeaks() {
    say(
        Device.REGULATOR,
        Kind.TELEMETRY,
        RegulatorTelemetry.LAYOUT.encode(
            new RegulatorTelemetry(0, now, 54, 20, 0, 0, 0, 0, 0, ChargeStage.OFF, true, false)));
  }

  @Test
  void thePageKeepsToTheGrammar() {
    scans(5);
    OpenMetricsText read = read();
    assertEquals("histogram", read.types.get("islet_scan_seconds"));
    assertEquals(
        1,
        read.value(
            "islet_controller_info{version=\"0.1.0\",site=\"a \\\"quoted\\\" \\\\ name\\nof two"
                + " lines\"}"));
  }

  /** The specification: samples of a family stand together, and no two have the same labels. */
  @Test
  void aPageOfSeveralSitesSaysOfEachSampleWhichSiteItIsOf()
      throws IOException, InterruptedException {
    scans(5);
    MetricsPage west =
        new MetricsPage(Map.of("site", "west"), times, vitals)
            .counter("islet_overruns", "Planted.", () -> 4)
            .drops("unsent", () -> 8);
    byte[] both = MetricsPage.ofSeveral(Map.of("east", page, "west", west));
    OpenMetricsText read = OpenMetricsText.of(new String(both, StandardCharsets.UTF_8));
    assertEquals(2 * read().samples.size(), read.samples.size());
    assertEquals(read().types, read.types);
    assertEquals(1, read.value("islet_controller_info{site=\"west\"}"));
    assertEquals(3, read.value("islet_overruns_total{site=\"east\"}"));
    assertEquals(4, read.value("islet_overruns_total{site=\"west\"}"));
    assertEquals(5, read.value("islet_scans_total{site=\"west\"}"));
    assertEquals(1, read.value("islet_mode{site=\"east\",islet_mode=\"STARTING\"}"));
    assertEquals(7, read.value("islet_dropped_messages_total{site=\"east\",reason=\"unsent\"}"));
    read(both, read.samples.size());
  }

  @Test
  void anotherLibraryReadsThePageTheSame() throws IOException, InterruptedException {
    scans(5);
    read(page.get(), read().samples.size());
  }

  private static void read(byte[] text, int samples) throws IOException, InterruptedException {
    Path file = Files.createTempFile("islet", ".metrics");
    try {
      Files.write(file, text);
      String program =
          """
          import sys
          from prometheus_client.openmetrics.parser import text_string_to_metric_families
          text = open(sys.argv[1], encoding='utf-8').read()
          print(sum(len(f.samples) for f in text_string_to_metric_families(text)))
          """;
      Process process =
          new ProcessBuilder("/usr/bin/python3", "-c", program, file.toString())
              .redirectErrorStream(true)
              .start();
      String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
      assertTrue(process.waitFor(20, TimeUnit.SECONDS));
      boolean missing = said.contains("ModuleNotFoundError");
      assertFalse(missing && "true".equals(System.getenv("CI")), said);
      assumeTrue(!missing, "python3-prometheus-client is not installed");
      assertEquals(Integer.toString(samples), said.strip());
    } finally {
      Files.delete(file);
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "# TYPE a counter\na 1\n# EOF\n",
        "# TYPE a counter\na_total -1\n# EOF\n",
        "# TYPE a gauge\na 1\n",
        "# TYPE a gauge\na 1\na 1\n# EOF\n",
        "# TYPE a gauge\na{b=\"c} 1\n# EOF\n",
        "# TYPE a gauge\n# UNIT a seconds\na 1\n# EOF\n",
        "# TYPE a stateset\na{b=\"c\"} 1\n# EOF\n",
        "# TYPE a histogram\na_bucket{le=\"1\"} 1\na_count 1\n# EOF\n",
        "# TYPE a gauge\na 1\n# TYPE b gauge\nb 1\n# TYPE a gauge\na{c=\"d\"} 1\n# EOF\n"
      })
  void theReaderRefusesWhatTheStandardForbids(String text) {
    assertThrows(AssertionError.class, () -> OpenMetricsText.of(text));
  }

  @Test
  void scansAreCountedInTheBucketOfTheirTime() {
    scans(9);
    scanNanos = 7_000_000;
    scans(1);
    OpenMetricsText read = read();
    assertEquals(10, read.value("islet_scans_total{}"));
    assertEquals(0, read.value("islet_scan_seconds_bucket{le=\"0.00025\"}"));
    assertEquals(9, read.value("islet_scan_seconds_bucket{le=\"0.0005\"}"));
    assertEquals(9, read.value("islet_scan_seconds_bucket{le=\"0.005\"}"));
    assertEquals(10, read.value("islet_scan_seconds_bucket{le=\"0.01\"}"));
    assertEquals(9 * 0.0004 + 0.007, read.value("islet_scan_seconds_sum{}"), 1e-9);
    assertEquals(0.007, read.value("islet_scan_longest_seconds{}"), 1e-9);
    assertEquals(3, read.value("islet_overruns_total{}"));
    assertEquals(7, read.value("islet_dropped_messages_total{reason=\"unsent\"}"));
  }

  @Test
  void agesGrowFromWhatWasHeardLast() {
    scans(1);
    String age = "islet_message_age_seconds{device=\"regulator\"}";
    assertEquals(Double.POSITIVE_INFINITY, read().value(age));
    regulatorSpeaks();
    scans(15);
    assertEquals(1.5, read().value(age), 1e-9);
    assertEquals(
        Double.POSITIVE_INFINITY, read().value("islet_message_age_seconds{device=\"tie\"}"));
    assertFalse(read().samples.containsKey("islet_message_age_seconds{device=\"charger\"}"));
  }

  @Test
  void whatIsMalformedIsCountedOverAChangeOfRole() {
    scans(1);
    assertEquals(0, read().value("islet_link_up{}"));
    link(true);
    say(Device.REGULATOR, Kind.TELEMETRY, new byte[] {'{'});
    scans(1);
    String malformed = "islet_dropped_messages_total{reason=\"malformed\"}";
    assertEquals(1, read().value(malformed));
    assertEquals(1, read().value("islet_link_up{}"));
    assertEquals(1, read().value("islet_role{islet_role=\"OBSERVING\"}"));
    scans(10); // half a second of silence: it takes command
    link(true);
    say(Device.REGULATOR, Kind.TELEMETRY, new byte[] {'['});
    scans(1);
    assertEquals(1, read().value("islet_role{islet_role=\"COMMANDING\"}"));
    assertEquals(0, read().value("islet_role{islet_role=\"OBSERVING\"}"));
    assertEquals(2, read().value(malformed));
  }

  /**
   * No device ever speaks: past its start-up time-out the supervisor listens on, with one alarm.
   */
  @Test
  void anAlarmStandsOverAChangeOfRole() {
    scans(1200);
    assertEquals(1, read().value("islet_mode{islet_mode=\"STARTING\"}"));
    String high = "islet_alarms{priority=\"high\",state=\"unacknowledged\"}";
    assertEquals(1, read().value(high));
    link(true);
    scans(10);
    assertEquals(1, read().value("islet_role{islet_role=\"COMMANDING\"}"));
    assertEquals(1, read().value(high));
  }

  /** Judged by the JVM's own count of the thread's bytes. */
  @Test
  void lookingAllocatesNothing() {
    ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
    Turn nothing = times.measured(() -> {});
    long thread = Thread.currentThread().getId();
    long least = Long.MAX_VALUE;
    for (int block = 0; block < 8; block++) {
      long before = threads.getThreadAllocatedBytes(thread);
      for (int i = 0; i < 10_000; i++) {
        nothing.act();
        nothing.tell();
        vitals.look(now);
      }
      least = Math.min(least, threads.getThreadAllocatedBytes(thread) - before);
    }
    assertEquals(0, least);
  }
}
