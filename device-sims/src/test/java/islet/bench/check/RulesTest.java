package islet.bench.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.site.Setting;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;

/**
 * Every rule both ways: a site that ships and does not trip it, and the same site with the few
 * settings that must trip it and no other. Judged by the bounds that each rule names with its
 * source, which stand beside the settings here.
 */
class RulesTest {

  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");
  private static final Assumptions EIGHT_HOURS = new Assumptions(-25, 40, OptionalDouble.of(28_800));

  @TempDir static Path disk;

  /** What is changed at a site, and how bad that is. */
  private record Case(String rule, Severity severity, String site, List<String> settings) {}

  private static final List<Case> CASES = new ArrayList<>();

  private static void on(String site, Severity severity, String rule, String... settings) {
    CASES.add(new Case(rule, severity, site, List.of(settings)));
  }

  private static final Severity DANGER = Severity.DANGER;
  private static final Severity WRONG = Severity.WRONG;
  private static final Severity DOUBTFUL = Severity.DOUBTFUL;
  private static final Severity NOTE = Severity.NOTE;

  private static final String TWO = "ferry-landing";
  private static final String LFP = "ferry-landing-lfp";
  private static final String ALONE = "breakwater-beacon";
  private static final String CHANGE = "ferry-landing-changeover";
  private static final String HAND = "boat-shed";

  static {
    // 24 cells: 2.50 V and 2.33 V per cell; the band ends at 2.45 and begins at 2.37.
    on(TWO, WRONG, "absorption-band", "battery.charge.absorptionVoltage=60 V");
    on(TWO, DOUBTFUL, "absorption-band", "battery.charge.absorptionVoltage=56 V");
    // 16 cells: 3.625 V, and 3.60 V at most; the unit's limit raised out of the way.
    on(
        LFP,
        WRONG,
        "absorption-band",
        "battery.charge.absorptionVoltage=58 V",
        "battery.management.overVoltage=3.70 V");
    on(TWO, WRONG, "float-band", "battery.charge.floatVoltage=55.2 V");
    on(TWO, DOUBTFUL, "float-band", "battery.charge.floatVoltage=52 V");
    on(TWO, WRONG, "compensation", "battery.charge.compensationPerCell=0 mV/K");
    on(TWO, DOUBTFUL, "compensation", "battery.charge.compensationPerCell=-5.5 mV/K");
    // 57.6 V + 24 x 4 mV/K x 10 K = 58.56 V in the room of 15 degC.
    on(TWO, WRONG, "absorption-cold", "battery.limits.maximumVoltage=58.5 V");
    // 54 V - 24 x 5 mV/K x 25 K = 51.0 V; a full bank rests at 50.9 V, so the float goes lower too.
    on(
        TWO,
        DOUBTFUL,
        "float-hot",
        "battery.charge.floatVoltage=53.5 V",
        "battery.charge.compensationPerCell=-5 mV/K");
    on(TWO, WRONG, "voltage-limit", "battery.limits.maximumVoltage=63 V");
    // 56 V over 16 cells is 3.50 V; 0.04 V below the unit.
    on(
        LFP,
        DOUBTFUL,
        "management-voltage",
        "battery.management.overVoltage=3.54 V",
        "battery.limits.maximumVoltage=56.5 V");
    // 400 Ah: 1 % is 4 A, 4 % is 16 A.
    on(TWO, DOUBTFUL, "tail-current", "battery.charge.tailCurrent=3.9 A");
    on(TWO, DOUBTFUL, "tail-current", "battery.charge.tailCurrent=16.1 A");
    on(TWO, DOUBTFUL, "absorption-time", "battery.charge.absorptionTime=30 min");
    on(TWO, DOUBTFUL, "rebulk-voltage", "battery.charge.rebulkVoltage=51.6 V");
    on(TWO, DOUBTFUL, "rebulk-voltage", "battery.charge.rebulkVoltage=47 V");
    on(TWO, WRONG, "charge-temperatures", "battery.limits.minimumChargeTemperature=-25 degC");
    // The floor of 20 % freezes at -11.5 degC; at -12 degC the absorption still is within the limit.
    on(TWO, DANGER, "lead-frost", "battery.roomMinimumTemperature=-12 degC");
    // 400 Ah: 0.25 C and 0.35 C.
    on(TWO, DOUBTFUL, "charge-limit", "battery.limits.maximumChargeCurrent=100 A");
    on(TWO, WRONG, "charge-limit", "battery.limits.maximumChargeCurrent=140 A");
    on(TWO, DANGER, "charge-sum", "supervision.coordination=none");
    on(TWO, WRONG, "charger-alone", "inverter.chargeCurrent=90 A");
    // 27.7 A of the array over 600 Ah.
    on(ALONE, DOUBTFUL, "charge-slow", "battery.capacity=700 Ah", "battery.charge.tailCurrent=14 A");
    // 36 A over 100 Ah; the rest follows the smaller bank.
    on(
        TWO,
        DOUBTFUL,
        "discharge-rate",
        "battery.capacity=80 Ah",
        "battery.charge.tailCurrent=1.6 A",
        "battery.limits.maximumChargeCurrent=16 A",
        "inverter.chargeCurrent=16 A",
        "supervision.chargeWindows.1.maximumCurrent=16 A",
        "battery.limits.disconnectVoltage=42 V",
        "supervision.shedBelow=49 %",
        "supervision.restoreAbove=60 %");
    on(LFP, DOUBTFUL, "management-charge", "battery.management.chargeCurrent=140 A");
    on(LFP, WRONG, "management-discharge", "battery.management.dischargeCurrent=180 A");
    // 92 A x 12 mohm = 1.1 V of 48 V.
    on(TWO, DOUBTFUL, "cable-drop", "battery.cableResistance=12 mohm");
    on(TWO, DOUBTFUL, "cable-surge", "inverter.surgePower=40 kW");
    on(TWO, WRONG, "dc-minimum", "inverter.dcMinimum=44.3 V");
    on(TWO, WRONG, "dc-maximum", "inverter.dcMaximum=61.3 V");
    on(TWO, WRONG, "disconnect-band", "battery.limits.disconnectVoltage=41.9 V", "inverter.dcMinimum=40 V");
    on(
        TWO,
        DOUBTFUL,
        "disconnect-band",
        "battery.limits.disconnectVoltage=47.2 V",
        "battery.limits.floor=45 %",
        "battery.limits.recovery=60 %",
        "battery.limits.reconnectVoltage=49 V",
        "supervision.reserve=70 %",
        "supervision.shedBelow=60 %",
        "supervision.restoreAbove=70 %");
    on(TWO, DOUBTFUL, "disconnect-load", "battery.limits.disconnectVoltage=46.6 V");
    // At 20 % the bank rests at 46.6 V.
    on(TWO, WRONG, "reconnect-rest", "battery.limits.reconnectVoltage=46 V");
    on(TWO, DOUBTFUL, "reconnect-reach", "battery.limits.reconnectVoltage=52 V");
    on(TWO, DOUBTFUL, "recovery-hysteresis", "battery.limits.recovery=23 %");
    on(TWO, DOUBTFUL, "floor-depth", "battery.limits.floor=15 %");
    on(
        TWO,
        DOUBTFUL,
        "reserve-margin",
        "supervision.reserve=28 %",
        "supervision.shedBelow=28 %",
        "supervision.chargeWindows.1.untilSoc=70 %");
    on(TWO, WRONG, "stated-outage", "supervision.reserve=40 %");
    on(TWO, DOUBTFUL, "shed-above-reserve", "supervision.shedBelow=55 %", "supervision.restoreAbove=65 %");
    on(TWO, DOUBTFUL, "shed-hysteresis", "supervision.restoreAbove=38 %");
    on(TWO, DOUBTFUL, "shed-steps", "supervision.shedBelow=26 %");
    on(TWO, NOTE, "shed-nothing", "supervision.shedding=[]");
    on(TWO, DOUBTFUL, "limit-tolerance", "battery.limits.tolerance=10 min");
    // 140 Ah with losses 154 Ah; five hours at 25 A bring 125 Ah.
    on(TWO, DOUBTFUL, "window-fill", "supervision.chargeWindows.1.maximumCurrent=25 A");
    on(TWO, WRONG, "window-reserve", "supervision.chargeWindows.1.untilSoc=45 %");
    on(TWO, DOUBTFUL, "window-price", "supervision.chargeWindows.1.between=\"01:00-07:00\"");
    on(TWO, NOTE, "window-none", "supervision.chargeWindows=[]");
    on(TWO, DOUBTFUL, "export-credit", "tariff.exportCredit=0.12 USD/kWh");
    on(TWO, NOTE, "export-unpaid", "tariff.exportCredit=0 USD/kWh");
    // 1.42 kVA of critical loads; the start of the pump is 4.2 kVA with them.
    on(
        TWO,
        WRONG,
        "inverter-peak",
        "inverter.ratedPower=1.4 kW",
        "utility.exportLimit=1 kW");
    on(
        TWO,
        WRONG,
        "motor-start",
        "circuits.pump.inrush={ factor: 8, for: 6 s }",
        "circuits.ticket-office-refrigerator.inrush={ factor: 5, for: 0.3 s }");
    on(
        TWO,
        DOUBTFUL,
        "motor-start",
        "inverter.surgePower=4 kW");
    on(ALONE, NOTE, "motor-unstated", "circuits.camera.load={ cycling: { power: 12 W, on: 1 min, off: 1 min } }", "circuits.camera.powerFactor=0.8");
    on(ALONE, DOUBTFUL, "idle-share", "inverter.idle=4 W", "regulator.idle=8 W");
    on(TWO, WRONG, "efficiency-curve", "inverter.efficiency.at10=99 %");
    on(TWO, DOUBTFUL, "export-rating", "utility.exportLimit=5 kW");
    on(TWO, WRONG, "enter-delay", profile("enter-delay", "delay: 300 s", "delay: 60 s"));
    on(TWO, DOUBTFUL, "enter-band", profile("enter-band", "minimumVoltage: 0.917", "minimumVoltage: 0.900"));
    on(TWO, DOUBTFUL, "return-ramp", profile("return-ramp", "ramp: 300 s", "ramp: 10 s"));
    on(TWO, DANGER, "trips-missing", profile("trips-missing", "overVoltage: 1", "underVoltage: 0."));
    on(TWO, WRONG, "trips-slow", profile("trips-slow", "clearing: 13.0 s", "clearing: 20.0 s"));
    on(TWO, DANGER, "island-detection", profile("island", "islandDetection: 2 s", "islandDetection: 3 s"));
    on(TWO, DANGER, "sync-limits", profile("sync", "angle: 20 deg", "angle: 30 deg"));
    on(TWO, DOUBTFUL, "sag-ride-through", "supervision.onSag=ride-through");
    on(TWO, DOUBTFUL, "separate-below", "tie.separateBelow=0.6 pu");
    on(TWO, DOUBTFUL, "transfer-time", "tie.operateTime=13 ms");
    on(TWO, WRONG, "transfer-time", "tie.operateTime=17 ms");
    on(CHANGE, WRONG, "changeover-time", "changeover.deadTime=13 ms");
    on(TWO, DOUBTFUL, "service-rise", "utility.serviceResistance=300 mohm", "utility.exportLimit=4 kW", "supervision.chargeWindows=[]", "inverter.chargeCurrent=0 A", "circuits.heating.load={ constant: 100 W }");
    on(TWO, DOUBTFUL, "service-drop", "utility.serviceResistance=400 mohm", "utility.exportLimit=2 kW");
    on(TWO, DOUBTFUL, "link-timeout", "supervision.linkTimeout=5 s");
    on(TWO, WRONG, "command-lifetime", "supervision.commandLifetime=11 s");
    on(TWO, DOUBTFUL, "heartbeat", "supervision.heartbeat=150 ms");
    on(TWO, DOUBTFUL, "scan", "supervision.scan=1.1 s", "supervision.heartbeat=3 s");
    on(TWO, DOUBTFUL, "timeout-switch", "supervision.timeouts.open=100 ms");
    on(TWO, DOUBTFUL, "timeout-start", "supervision.timeouts.start=3 s");
    on(TWO, DOUBTFUL, "timeout-form", "supervision.timeouts.form=1 s");
    on(TWO, DOUBTFUL, "timeout-synchronise", "supervision.timeouts.synchronise=20 s");
    // 27 x (32.9 V + 50 K x 123 mV/K) = 1054 V.
    on(TWO, WRONG, "string-cold", "pv.series=27", "pv.parallel=1");
    // 3 x (26.3 V - 48.75 K x 123 mV/K) = 60.9 V, and 1.05 x 57.6 V = 60.5 V; so 59 V for the bank.
    on(TWO, DOUBTFUL, "string-hot", "pv.series=3", "pv.parallel=8", "battery.charge.absorptionVoltage=58.5 V");
    on(TWO, DOUBTFUL, "array-size", "pv.parallel=2");
    on(TWO, WRONG, "array-direction", "pv.azimuth=0 deg");
    on(TWO, DOUBTFUL, "array-tilt", "pv.tilt=4 deg");
    on(TWO, NOTE, "ground", "place.albedo=70 %");
    on(TWO, NOTE, "altitude", "place.altitude=2500 m");
    on(TWO, WRONG, "time-zone", "place.longitude=87.9 deg");
    on(ALONE, DOUBTFUL, "pwm-waste", "regulator.kind=pwm", "regulator.drop=0.3 V", "pv.parallel=4");
  }
}
