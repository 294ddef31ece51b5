package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.bench.RunResult.AlarmEntry;
import islet.contract.ChargeStage;
import islet.control.SiteSupervisor;
import islet.fault.FaultKind;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Whole runs with both chemistries, judged by the shape that a charge curve has (common practice:
 * bulk, absorption with a falling current, float) and by the cells' limits.
 */
class BatteryRunsTest {
  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");

  private static Scenario sunnyDay(String site, double soc) {
    Path file = CONFIG.resolve("sites/" + site + ".yaml");
    return new Scenario(
        "A sunny day",
        CONFIG.resolve("scenarios/none.yaml"),
        file,
        islet.site.SiteReader.read(file),
        List.of(),
        LocalDateTime.of(2026, 6, 20, 6, 0).toEpochSecond(java.time.ZoneOffset.ofHours(-5))
            * 1_000_000L,
        12 * 3_600_000_000L,
        7,
        new WeatherSource.ClearSky(20),
        soc,
        true,
        List.of(),
        List.of(),
        Map.of(),
        60);
  }

  private static RunRecord run(Scenario scenario) {
    return new Rehearsal(scenario, SiteSupervisor::new).run(micros -> {}).record("test");
  }

  @ParameterizedTest
  @LongTest
  @CsvSource({"ferry-landing, 57.6, 54.0, 8", "ferry-landing-lfp, 56.0, 54.0, 16"})
  void aSunnyDayChargesInBulkThenAbsorptionThenFloat(
      String site, double absorptionV, double floatV, double tailA) {
    RunRecord record = run(sunnyDay(site, 0.7));
    assertEquals(List.of(), Rehearsals.failures(record.result()));
    Trace trace = record.trace();
    List<ChargeStage> stages = new ArrayList<>();
    double firstA = Double.NaN;
    double lastA = Double.NaN;
    double absorbedV = 0;
    double floatedV = 0;
    double floatedA = Double.NaN;
    for (int row = 0; row < trace.rows(); row++) {
      ChargeStage stage = ChargeStage.values()[(int) trace.value(row, Signal.SUPERVISOR_STAGE)];
      if (stages.isEmpty() || stages.get(stages.size() - 1) != stage) {
        stages.add(stage);
      }
      double amps = trace.value(row, Signal.BATTERY_CURRENT);
      if (stage == ChargeStage.ABSORPTION) {
        firstA = Double.isNaN(firstA) ? amps : firstA;
        lastA = amps;
        absorbedV = Math.max(absorbedV, trace.value(row, Signal.BATTERY_VOLTAGE));
      } else if (stage == ChargeStage.FLOAT) {
        floatedV = trace.value(row, Signal.BATTERY_VOLTAGE);
        floatedA = amps;
      }
    }
    assertEquals(
        List.of(ChargeStage.BULK, ChargeStage.ABSORPTION, ChargeStage.FLOAT),
        stages.subList(stages.indexOf(ChargeStage.BULK), stages.size()));
    // Compensated by at most 10 K around 25 °C, and the drop of the converters' droop.
    assertEquals(absorptionV, absorbedV, 0.8);
    assertEquals(floatV, floatedV, 1.1);
    assertTrue(lastA < 0.75 * firstA && lastA < 2 * tailA, firstA + " A fell to " + lastA + " A");
    assertTrue(floatedA < 4, "on float the battery takes " + floatedA + " A");
    double soc = trace.value(trace.rows() - 1, Signal.BATTERY_SOC);
    assertTrue(soc > 0.95, "ends at " + soc);
  }

  @Test
  @LongTest
  void inFrostTheChargersGiveTheCellsNothingAndTheLoadsAreServed() {
    Scenario frost = Rehearsals.scenario("lfp-frost");
    RunRecord record = run(frost);
    assertEquals(List.of(), Rehearsals.failures(record.result()));
    assertEquals(0, energy(record, "battery_in_kWh"), 1e-4);
    assertTrue(energy(record, "battery_out_kWh") > 2);
    assertEquals(0, energy(record, "unserved_critical_kWh"), 1e-4);
    // The sun serves the loads past the cells.
    assertTrue(energy(record, "pv_kWh") > 2, energy(record, "pv_kWh") + " kWh");
    // It began with 0.95 of a new bank's capacity and lost a little more.
    double fade = energy(record, "battery_fade_pu");
    assertTrue(fade > 0.05 && fade < 0.0501, "fade " + fade);
  }

  private static double energy(RunRecord record, String name) {
    return record.result().energy().stream()
        .filter(e -> e.name().equals(name))
        .findFirst()
        .orElseThrow()
        .value();
  }

  /** The charger goes on with 40 A and up to 66 V, far above 58.4 V. */
  @Test
  void aStuckChargerIsCutOffByTheManagementUnitAndTheSupervisorSaysSo() {
    Scenario base = sunnyDay("ferry-landing-lfp", 0.97);
    Event stuck =
        new Event.Fault(60_000_000, FaultKind.CHARGER_STUCK_ON, "inverter", "", Map.of(), "", 0);
    RunRecord record = run(Rehearsals.happening(base, List.of(stuck), 3600));
    List<String> rung = record.result().alarms().stream().map(AlarmEntry::id).toList();
    assertTrue(rung.contains("battery-contactor-open"), rung.toString());
    assertEquals(List.of(), Rehearsals.failures(record.result()));
    Trace trace = record.trace();
    int last = trace.rows() - 1;
    assertEquals(0, trace.value(last, Signal.BATTERY_CURRENT), 0.01);
    assertTrue(trace.value(last, Signal.BUS_VOLTAGE) > 60);
    assertTrue(trace.value(last, Signal.BATTERY_VOLTAGE) < 58.4);
    assertTrue(trace.value(last, Signal.CRITICAL_VOLTAGE) > 0.95);
  }
}
