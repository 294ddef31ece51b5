package islet.bench.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.RunRecord;
import islet.bench.RunResult;
import islet.plant.Flow;
import islet.site.Site;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.TreeSet;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/** The smaller drawings: what must be on them, and civil time by the law of the place. */
class DrawingsTest {

  private static final ZoneId CHICAGO = ZoneId.of("America/Chicago");

  @Test
  void theOneLineDiagramNamesEveryPartAndEveryCircuit() throws Exception {
    Site site = EveningOutage.site();
    String text = ReportTest.parse(OneLine.svg(site)).getDocumentElement().getTextContent();
    List<String> parts =
        new ArrayList<>(
            List.of(
                "Utility",
                "Service",
                "Main panel",
                "Tie switch",
                "Emergency panel",
                "Inverter and charger",
                "DC bus",
                "Battery",
                "PV array",
                "Charge regulator"));
    site.circuits().forEach(circuit -> parts.add(circuit.name()));
    for (String part : parts) {
      assertTrue(text.contains(part), part);
    }
  }

  /** Without colour, by hatch and grey alone, no two modes may look the same. */
  @Test
  void everyModeHasAGroundOfItsOwn() {
    TreeSet<String> grounds = new TreeSet<>();
    for (islet.contract.Mode mode : islet.contract.Mode.values()) {
      assertTrue(grounds.add(Words.ground(mode)), mode.name());
    }
  }

  /**
   * WCAG 2, relative luminance and contrast: 4.5 : 1 at least for the inks on the grounds that bear
   * text.
   */
  @Test
  void textsStandOutFromTheirGround() {
    for (String[] pair :
        new String[][] {
          {"1b1f24", "ffffff"}, {"1b1f24", "b9c0c8"}, {"1b1f24", "ffd98c"}, {"1b1f24", "e9ecef"},
          {"4a525b", "ffffff"}, {"4a525b", "f0f2f4"}, {"4a525b", "f3f4f6"}, {"a31515", "ffffff"},
          {"ffffff", "8a1c1c"}
        }) {
      assertTrue(contrast(pair[0], pair[1]) >= 4.5, pair[0] + " on " + pair[1]);
      assertTrue((Look.PAGE + Look.DRAWING).contains(pair[0].equals("ffffff") ? "#fff" : pair[0]));
    }
  }

  private static double contrast(String one, String other) {
    double a = luminance(one);
    double b = luminance(other);
    return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
  }

  private static double luminance(String hex) {
    double[] weights = {0.2126, 0.7152, 0.0722};
    double sum = 0;
    for (int i = 0; i < 3; i++) {
      double c = Integer.parseInt(hex.substring(2 * i, 2 * i + 2), 16) / 255.0;
      sum += weights[i] * (c <= 0.04045 ? c / 12.92 : StrictMath.pow((c + 0.055) / 1.055, 2.4));
    }
    return sum;
  }

  /** On 8 March 2026 clocks in Chicago went from 02:00 CST to 03:00 CDT. */
  @Test
  void theHourThatTheClockLeavesOutHasNoTick() {
    List<String> labels = ticks(LocalDateTime.of(2026, 3, 8, 0, 0), 8);
    assertEquals(
        List.of("00:00", "01:00", "03:00", "04:00", "05:00", "06:00", "07:00", "08:00", "09:00"),
        labels);
  }

  /** On 1 November 2026 clocks in Chicago went from 02:00 CDT back to 01:00 CST. */
  @Test
  void theHourThatTheClockRepeatsHasTwoTicksAndItsStampsTellWhich() {
    assertEquals(
        List.of("00:00", "01:00", "01:00", "02:00", "03:00", "04:00", "05:00", "06:00", "07:00"),
        ticks(LocalDateTime.of(2026, 11, 1, 0, 0), 8));
    long start = micros(LocalDateTime.of(2026, 11, 1, 0, 0));
    CivilTime time = new CivilTime(CHICAGO, start, start + 4 * 3_600_000_000L);
    assertEquals("01:30:00.250 UTC−5", time.stamp(start + 5_400_250_000L));
    assertEquals("01:30:00.250 UTC−6", time.stamp(start + 9_000_250_000L));
  }

  private static long micros(LocalDateTime local) {
    return local.atZone(CHICAGO).toEpochSecond() * 1_000_000L;
  }

  private static List<String> ticks(LocalDateTime from, int hours) {
    long start = micros(from);
    long end = start + hours * 3_600_000_000L;
    StringBuilder out = new StringBuilder();
    TimeAxis.civil(new CivilTime(CHICAGO, start, end), start, end).draw(new Svg(out), 0, 100);
    return Pattern.compile(">(\\d\\d:\\d\\d)<")
        .matcher(out)
        .results()
        .map((MatchResult found) -> found.group(1))
        .toList();
  }

  @Test
  void ticksOfAScaleAreRoundAndHoldTheValues() {
    for (double[] range : new double[][] {{44, 60}, {0, 0.013}, {-3200, 7900}, {5, 5}, {0, 1e6}}) {
      Scale scale = Scale.covering(range[0], range[1], 0, 240);
      assertTrue(scale.low() <= range[0] && scale.high() >= range[1], scale.toString());
      String digits = String.format(Locale.ROOT, "%.0e", scale.step());
      assertTrue("125".indexOf(digits.charAt(0)) >= 0, scale.toString());
      assertTrue(scale.ticks().size() >= 2 && scale.ticks().size() < 14, scale.toString());
    }
  }

  @Test
  void namesAtTheLinesEndsDoNotCoverEachOther() {
    EndLabels labels = new EndLabels();
    for (int i = 0; i < 8; i++) {
      labels.add(100 + i % 2, "l0", "line " + i);
    }
    StringBuilder out = new StringBuilder();
    labels.draw(new Svg(out), 30, 230);
    double[] places =
        Pattern.compile("<text[^>]* y=\"([0-9.]+)\"")
            .matcher(out)
            .results()
            .mapToDouble(found -> Double.parseDouble(found.group(1)))
            .sorted()
            .toArray();
    assertEquals(8, places.length);
    for (int i = 1; i < places.length; i++) {
      assertTrue(places[i] - places[i - 1] >= 16, "text of 16 units at " + places[i]);
    }
  }

  /** By hand: 1.74 + 7.92 + 1.06 came in; the battery's throughput is no part of it. */
  @Test
  void theLedgerCountsEachFlowOnceAndOnItsSide() {
    EnergyLedger ledger = EnergyLedger.of(EveningOutage.good().result().energy());
    assertEquals(10.72, ledger.totalIn(), 1e-9);
    assertEquals(10.72, ledger.totalOut(), 1e-9);
    assertEquals(List.of(new RunResult.Entry("self_consumption", 0.9)), ledger.other());
    assertFalse(ledger.beside().isEmpty());
  }

  /** Every flow that the plant books finds its side, so that no energy is left unexplained. */
  @Test
  void everyFlowOfThePlantIsKnown() {
    List<RunResult.Entry> entries = new ArrayList<>();
    for (Flow flow : Flow.values()) {
      entries.add(new RunResult.Entry(flow.name().toLowerCase(Locale.ROOT) + "_kWh", 1));
    }
    EnergyLedger ledger = EnergyLedger.of(entries);
    assertEquals(List.of(), ledger.other());
    assertEquals(2, ledger.totalIn(), 0, "PV and import");
    int shown = ledger.in().size() + ledger.out().size() + ledger.beside().size();
    assertEquals(Flow.values().length, shown);
  }

  @Test
  void anUnknownEnergyIsShownButNotCounted() {
    RunResult.Entry odd = new RunResult.Entry("unheard_of_kWh", 5);
    EnergyLedger ledger = EnergyLedger.of(List.of(new RunResult.Entry("pv_kWh", 2), odd));
    assertEquals(2, ledger.totalIn(), 0);
    assertEquals(0, ledger.totalOut(), 0);
    assertEquals(List.of(odd), ledger.other());
  }

  @Test
  void theWindowsHoldTheTiesOperationsAndTheSag() {
    RunRecord run = EveningOutage.good();
    CivilTime time = new CivilTime(CHICAGO, run.startMicros(), CivilTime.end(run));
    List<Transfers.Window> windows = Transfers.find(run, time);
    assertEquals(3, windows.size());
    assertTrue(windows.get(0).title().contains("tie opens"), windows.get(0).title());
    assertTrue(windows.get(1).title().contains("Tie closes"), windows.get(1).title());
    assertTrue(windows.get(2).outside());
    assertEquals(List.of(windows.get(2)), Transfers.choose(windows, 1));
    for (Transfers.Window window : windows) {
      assertTrue(window.zero() - window.from() >= 100_000, "a tenth of a second before");
      assertTrue(window.to() - window.zero() >= 100_000, "a tenth of a second after");
    }
  }

  @Test
  void numbersReadWell() {
    assertEquals("−0.41", Num.significant(-0.41));
    assertEquals("1.50", Num.fixed(1.5, 2));
    assertEquals("2.00", Num.fixed(1.999, 2));
    assertEquals("unbounded", Num.significant(Double.POSITIVE_INFINITY));
    assertEquals("–", Num.fixed(Double.NaN, 2));
    assertEquals("17\u00a0ms", Num.duration(0.017));
    assertEquals("2.5\u00a0ms", Num.duration(0.0025));
    assertEquals("3\u00a0h 20\u00a0s", Num.duration(10_820));
    assertEquals("1\u00a0s", Num.duration(0.9999));
    assertEquals("1\u202f234\u202f567", Num.count(1_234_567));
    assertEquals("Grid present", Words.of("GRID_PRESENT"));
    assertEquals("Pv available", Words.of("pvAvailable"));
  }
}
