package islet.bench.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.site.Setting;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
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
  private final Path disk;

  /** What is seen at a site before it is changed, which many cases have in common. */
  private final Map<List<?>, Set<Seen>> unchanged = new HashMap<>();

  RulesTest(@TempDir Path disk) {
    this.disk = disk;
  }

  private static final Assumptions EIGHT_HOURS =
      new Assumptions(-25, 40, OptionalDouble.of(28_800));

  /**
   * What is changed at a site, and how bad that is.
   *
   * @param before settings of the site that does not trip the rule
   * @param changes and those that make it trip
   */
  private record Case(
      String rule, Severity severity, String site, List<String> before, List<String> changes) {}

  private static final List<Case> CASES = new ArrayList<>();

  private static void on(String site, Severity severity, String rule, String... changes) {
    on(site, List.of(), severity, rule, changes);
  }

  private static void on(
      String site, List<String> before, Severity severity, String rule, String... changes) {
    CASES.add(new Case(rule, severity, site, before, List.of(changes)));
  }

  private static final Severity DANGER = Severity.DANGER;
  private static final Severity WRONG = Severity.WRONG;
  private static final Severity DOUBTFUL = Severity.DOUBTFUL;
  private static final Severity NOTE = Severity.NOTE;

  private static final String TWO = "ferry-landing";
  private static final String LFP = "ferry-landing-lfp";
  private static final String ALONE = "breakwater-beacon";
  private static final String CHANGE = "ferry-landing-changeover";

  /** A changed copy of the site's profile: what stands there, and what shall stand there. */
  private static final String PROFILE = "profile: ";

  static {
    // 24 cells: 2.50 V and 2.33 V per cell; the band ends at 2.45 and begins at 2.37.
    on(
        TWO,
        WRONG,
        "absorption-band",
        "battery.charge.absorptionVoltage=60 V",
        "battery.charge.equalise.voltage=61 V");
    on(TWO, DOUBTFUL, "absorption-band", "battery.charge.absorptionVoltage=56 V");
    // 16 cells: 3.625 V, and 3.60 V at most; the unit's limit raised out of the way.
    on(
        LFP,
        WRONG,
        "absorption-band",
        "battery.charge.absorptionVoltage=58 V",
        "battery.management.overVoltage=3.70 V");
    on(TWO, WRONG, "float-band", "battery.charge.floatVoltage=55.2 V");
    on(
        TWO,
        DOUBTFUL,
        "float-band",
        "battery.charge.floatVoltage=52 V",
        "battery.limits.maximumChargeTemperature=35 degC");
    on(TWO, WRONG, "compensation", "battery.charge.compensationPerCell=0 mV/K");
    on(
        TWO,
        DOUBTFUL,
        "compensation",
        "battery.charge.compensationPerCell=-5.5 mV/K",
        "battery.limits.maximumChargeTemperature=40 degC");
    // 57.6 V + 24 x 4 mV/K x 10 K = 58.56 V in the room of 15 degC.
    on(
        TWO,
        WRONG,
        "absorption-cold",
        "battery.limits.maximumVoltage=58.5 V",
        "battery.charge.equalise.voltage=58.4 V");
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
    // Absorption stands at 57.6 V, the bank's limit at 61.2 V; a tenth of the capacity is 40 A.
    on(TWO, WRONG, "equalise", "battery.charge.equalise.voltage=57.6 V");
    on(TWO, WRONG, "equalise", "battery.charge.equalise.voltage=61.3 V");
    on(TWO, WRONG, "equalise", "battery.charge.equalise.current=40.1 A");
    on(TWO, WRONG, "charge-temperatures", "battery.limits.minimumChargeTemperature=-25 degC");
    // The floor of 20 % freezes at -11.5 degC; at -12 degC the absorption still is within the
    // limit.
    on(TWO, DANGER, "lead-frost", "battery.roomMinimumTemperature=-12 degC");
    // 400 Ah: 0.25 C and 0.35 C.
    on(TWO, DOUBTFUL, "charge-limit", "battery.limits.maximumChargeCurrent=100 A");
    on(TWO, WRONG, "charge-limit", "battery.limits.maximumChargeCurrent=140 A");
    on(TWO, DANGER, "charge-sum", "supervision.coordination=none");
    on(TWO, WRONG, "charger-alone", "inverter.chargeCurrent=90 A");
    // 30 A of the regulator over 700 Ah.
    on(
        ALONE,
        DOUBTFUL,
        "charge-slow",
        "battery.capacity=700 Ah",
        "battery.charge.tailCurrent=14 A");
    // 28 A over 80 Ah; the rest follows the smaller bank.
    on(
        TWO,
        DOUBTFUL,
        "discharge-rate",
        "battery.capacity=80 Ah",
        "battery.charge.tailCurrent=1.6 A",
        "battery.limits.maximumChargeCurrent=16 A",
        "battery.charge.equalise.current=5 A",
        "inverter.chargeCurrent=16 A",
        "supervision.chargeWindows.1.maximumCurrent=16 A",
        "battery.limits.disconnectVoltage=42.2 V",
        "inverter.dcMinimum=41 V",
        "battery.limits.reconnectVoltage=49 V",
        "battery.limits.floor=45 %",
        "battery.limits.recovery=60 %",
        "supervision.reserve=75 %",
        "supervision.shedBelow=60 %",
        "supervision.restoreAbove=70 %");
    on(LFP, DOUBTFUL, "management-charge", "battery.management.chargeCurrent=140 A");
    on(LFP, WRONG, "management-discharge", "battery.management.dischargeCurrent=180 A");
    // 92 A x 12 mohm = 1.1 V of 48 V.
    on(TWO, DOUBTFUL, "cable-drop", "battery.cableResistance=12 mohm", "inverter.surgePower=5 kW");
    on(TWO, DOUBTFUL, "cable-surge", "inverter.surgePower=40 kW");
    on(TWO, WRONG, "dc-minimum", "inverter.dcMinimum=44.3 V");
    on(TWO, WRONG, "dc-maximum", "inverter.dcMaximum=61.3 V");
    on(
        TWO,
        WRONG,
        "disconnect-band",
        "battery.limits.disconnectVoltage=41.9 V",
        "inverter.dcMinimum=40 V");
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
    on(
        TWO,
        DOUBTFUL,
        "floor-depth",
        "battery.limits.floor=15 %",
        "battery.limits.disconnectVoltage=42.5 V",
        "inverter.dcMinimum=41 V");
    on(
        TWO,
        DOUBTFUL,
        "reserve-margin",
        "supervision.reserve=28 %",
        "supervision.shedBelow=28 %",
        "supervision.chargeWindows.1.untilSoc=70 %");
    on(TWO, WRONG, "stated-outage", "supervision.reserve=40 %");
    on(
        TWO,
        DOUBTFUL,
        "shed-above-reserve",
        "supervision.shedBelow=55 %",
        "supervision.restoreAbove=65 %");
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
    String dispatch = "supervision.dispatch.";
    // 0.34 · 0.32 is 0.109, less than the 0.11 of the night; 0.34 · 0.33 is more.
    on(
        TWO,
        List.of(dispatch + "trade=loads", dispatch + "roundTrip=33 %"),
        DOUBTFUL,
        "trade-pays",
        dispatch + "roundTrip=32 %");
    on(TWO, List.of(dispatch + "trade=loads"), DOUBTFUL, "trade-room", "supervision.reserve=76 %");
    on(
        TWO,
        List.of(dispatch + "exportWindows=[{ between: \"16:00-21:00\" }]"),
        WRONG,
        "export-window",
        "utility.exportLimit=0 W");
    on(TWO, DOUBTFUL, "warning-reserve", dispatch + "warning.reserve=50 %");
    on(
        TWO,
        List.of(dispatch + "waitConfidence=80 %"),
        DOUBTFUL,
        "wait-warning",
        dispatch + "warning.confidence=80 %");
    // 1.42 kVA of critical loads; the start of the pump adds 2.5 kVA.
    on(
        TWO,
        WRONG,
        "inverter-peak",
        "inverter.ratedPower=1.4 kW",
        "inverter.idle=10 W",
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
        "inverter.ratedPower=2 kW",
        "inverter.surgePower=3 kW",
        "inverter.idle=10 W",
        "utility.exportLimit=2 kW");
    on(
        ALONE,
        NOTE,
        "motor-unstated",
        "circuits.camera.load={ cycling: { power: 12 W, on: 1 min, off: 1 min } }",
        "circuits.camera.powerFactor=0.8");
    on(ALONE, DOUBTFUL, "idle-share", "inverter.idle=4 W", "regulator.idle=8 W");
    on(TWO, WRONG, "efficiency-curve", "inverter.efficiency.at10=99 %");
    on(TWO, DOUBTFUL, "export-rating", "utility.exportLimit=5 kW");
    on(TWO, WRONG, "enter-delay", PROFILE + "delay: 300 s -> delay: 60 s");
    on(TWO, DOUBTFUL, "enter-band", PROFILE + "minimumVoltage: 0.917 -> minimumVoltage: 0.900");
    on(TWO, DOUBTFUL, "return-ramp", PROFILE + "ramp: 300 s -> ramp: 10 s");
    on(TWO, DANGER, "trips-missing", PROFILE + "- \\{ name: OF.* -> #");
    on(TWO, WRONG, "trips-slow", PROFILE + "clearing: 13.0 s -> clearing: 20.0 s");
    on(TWO, DANGER, "island-detection", PROFILE + "islandDetection: 2 s -> islandDetection: 3 s");
    on(TWO, DANGER, "sync-limits", PROFILE + "angle: 20 deg -> angle: 30 deg");
    on(TWO, DOUBTFUL, "sag-ride-through", "supervision.onSag=ride-through");
    on(TWO, DOUBTFUL, "separate-below", "tie.separateBelow=0.6 pu");
    on(TWO, DOUBTFUL, "transfer-time", "tie.operateTime=13 ms");
    on(TWO, WRONG, "transfer-time", "tie.operateTime=17 ms");
    on(CHANGE, WRONG, "changeover-time", "changeover.deadTime=13 ms");
    on(
        TWO,
        DOUBTFUL,
        "service-rise",
        "utility.serviceResistance=300 mohm",
        "utility.exportLimit=4 kW",
        "supervision.chargeWindows=[]",
        "inverter.chargeCurrent=0 A",
        "circuits.heating.load={ constant: 100 W }");
    on(
        TWO,
        DOUBTFUL,
        "service-drop",
        "utility.serviceResistance=400 mohm",
        "utility.exportLimit=2 kW");
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
    on(
        TWO,
        DOUBTFUL,
        "string-hot",
        "pv.series=3",
        "pv.parallel=8",
        "battery.charge.absorptionVoltage=58.5 V");
    on(TWO, DOUBTFUL, "array-size", "pv.parallel=2");
    on(TWO, WRONG, "array-direction", "pv.azimuth=0 deg");
    on(TWO, DOUBTFUL, "array-tilt", "pv.tilt=4 deg");
    on(TWO, NOTE, "ground", "place.albedo=70 %");
    on(TWO, NOTE, "altitude", "place.altitude=2500 m");
    on(TWO, WRONG, "time-zone", "place.longitude=87.9 deg");
    // 26.3 V onto a bank at 14.4 V; strings enough that the sun still feeds the loads.
    on(
        ALONE,
        List.of("pv.parallel=4", "circuits.channel-light.load={ constant: 10 W }"),
        DOUBTFUL,
        "pwm-waste",
        "regulator.kind=pwm",
        "regulator.drop=0.3 V");
    on(ALONE, List.of("battery.capacity=400 Ah"), DOUBTFUL, "autonomy", "battery.capacity=200 Ah");
    on(ALONE, List.of("pv.parallel=4"), DOUBTFUL, "winter-sun", "pv.parallel=2");
    on(
        ALONE,
        List.of("pv.parallel=4"),
        WRONG,
        "winter-sun",
        "pv.parallel=1",
        "regulator.ratedCurrent=15 A",
        "pv.tilt=30 deg");
    on(
        LFP,
        List.of("battery.roomMinimumTemperature=5 degC"),
        DOUBTFUL,
        "lithium-frost",
        "battery.roomMinimumTemperature=-1 degC");
    on(
        CHANGE,
        DOUBTFUL,
        "changeover-manual",
        "changeover={ kind: manual, operateTime: 20 ms, deadTime: 200 ms }");
    // 28 A over 25 Ah of lithium cells, whose voltage bears it.
    on(
        LFP,
        WRONG,
        "discharge-rate",
        "battery.capacity=25 Ah",
        "battery.charge.tailCurrent=1 A",
        "battery.limits.maximumChargeCurrent=12 A",
        "inverter.chargeCurrent=12 A",
        "supervision.chargeWindows.1.maximumCurrent=12 A");
    on(
        LFP,
        List.of("supervision.coordination=none"),
        DANGER,
        "management-charge",
        "battery.management.chargeCurrent=140 A");
    // 80 A of charge x 31 mohm = 2.5 V of 48 V.
    on(
        TWO,
        List.of(
            "inverter.ratedPower=2 kW",
            "inverter.surgePower=3 kW",
            "inverter.idle=10 W",
            "utility.exportLimit=2 kW"),
        WRONG,
        "cable-drop",
        "battery.cableResistance=31 mohm");
    on(
        TWO,
        List.of("battery.limits.disconnectVoltage=46.6 V"),
        WRONG,
        "disconnect-load",
        "supervision.reserve=35 %",
        "supervision.shedBelow=32 %",
        "supervision.restoreAbove=40 %",
        "supervision.chargeWindows.1.untilSoc=75 %");
    on(
        TWO,
        List.of("battery.limits.disconnectVoltage=42.2 V", "inverter.dcMinimum=41 V"),
        WRONG,
        "floor-depth",
        "battery.limits.floor=8 %");
    // 6 kW x 0.6 ohm / (240 V)^2 = 6.3 %.
    on(
        TWO,
        List.of(
            "utility.serviceResistance=600 mohm",
            "supervision.chargeWindows=[]",
            "inverter.chargeCurrent=0 A",
            "circuits.heating.load={ constant: 100 W }"),
        WRONG,
        "service-rise",
        "inverter.ratedPower=6 kW",
        "utility.exportLimit=6 kW");
    // 3 x (25.3 V - 48.75 K x 123 mV/K) = 57.9 V.
    on(
        TWO,
        WRONG,
        "string-hot",
        "pv.series=3",
        "pv.parallel=8",
        "pv.module.vmp=25.3 V",
        "battery.charge.absorptionVoltage=58.5 V");
    // Shared, the same sum is only to be noted.
    on(
        TWO,
        List.of("inverter.chargeCurrent=0 A", "supervision.chargeWindows=[]"),
        NOTE,
        "charge-sum",
        "inverter.chargeCurrent=60 A",
        "supervision.chargeWindows=[{ between: \"00:00-05:00\", untilSoc: 85 %, maximumCurrent: 40 A }]");
  }

  private record Seen(String rule, Severity severity) {}

  private Set<Seen> seen(String site, List<String> settings, Assumptions assumptions) {
    List<Setting> given = new ArrayList<>();
    for (String setting : settings) {
      int equals = setting.indexOf('=');
      given.add(
          setting.startsWith(PROFILE)
              ? new Setting("profile", profile(setting.substring(PROFILE.length())), "test", 0)
              : new Setting(
                  setting.substring(0, equals), setting.substring(equals + 1), "test", 0));
    }
    Path file = CONFIG.resolve("sites/" + site + ".yaml");
    return SiteCheck.of(file, given, assumptions).findings().stream()
        .map(finding -> new Seen(finding.rule(), finding.severity()))
        .collect(Collectors.toCollection(LinkedHashSet::new));
  }

  private String profile(String change) {
    String[] words = change.split(" -> ", 2);
    try {
      String text = Files.readString(CONFIG.resolve("profiles/ieee1547-2018-category-iii.yaml"));
      String changed = text.replaceAll(words[0], words[1]);
      assertFalse(changed.equals(text), "the profile has no " + words[0]);
      Path file = Files.createTempFile(disk, "profile", ".yaml");
      Files.writeString(file, changed);
      return file.toString();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Every third one, and all in the long form. */
  @TestFactory
  Stream<DynamicTest> eachRuleSeesItsOwnCaseAndNothingElse() {
    return IntStream.range(0, CASES.size())
        .filter(i -> LongTest.ASKED_FOR || i % 3 == 0)
        .mapToObj(CASES::get)
        .map(
            c ->
                DynamicTest.dynamicTest(
                    c.rule() + " " + c.severity() + " " + c.changes(), () -> bothWays(c)));
  }

  private void bothWays(Case c) {
    Assumptions assumptions = c.rule().equals("stated-outage") ? EIGHT_HOURS : Assumptions.USUAL;
    Seen wanted = new Seen(c.rule(), c.severity());
    Set<Seen> before =
        unchanged.computeIfAbsent(
            List.of(c.site(), c.before(), assumptions),
            key -> seen(c.site(), c.before(), assumptions));
    assertFalse(before.contains(wanted), () -> c.site() + " trips it already: " + before);
    List<String> all = new ArrayList<>(c.before());
    all.addAll(c.changes());
    Set<Seen> fresh = new LinkedHashSet<>(seen(c.site(), all, assumptions));
    fresh.removeAll(before);
    assertEquals(Set.of(wanted), fresh);
  }

  @Test
  void everyRuleHasACaseAndTheWorstItCanFindIsFoundInOne() {
    Set<String> rules = new TreeSet<>();
    for (Rule rule : Rules.all()) {
      assertTrue(rules.add(rule.name()), "two rules are named " + rule.name());
    }
    Set<String> tried =
        CASES.stream().map(Case::rule).collect(Collectors.toCollection(TreeSet::new));
    assertEquals(rules, tried);
    List<String> untried =
        Rules.all().stream()
            .filter(
                rule ->
                    CASES.stream()
                        .noneMatch(
                            c -> c.rule().equals(rule.name()) && c.severity() == rule.worst()))
            .map(Rule::name)
            .toList();
    assertEquals(List.of(), untried, "their worst finding is claimed and never seen");
  }

  /** A rule that trips on each site, or a site that trips no rule, tells nobody anything. */
  @Test
  void noSiteThatShipsIsWrongOrDangerousAndNoRuleTripsOnAllOfThem() throws IOException {
    Map<String, Integer> trips = new LinkedHashMap<>();
    List<Path> files;
    try (Stream<Path> found = Files.list(CONFIG.resolve("sites"))) {
      files = found.sorted().toList();
    }
    for (Path file : files) {
      SiteCheck check = SiteCheck.of(file, List.of(), Assumptions.USUAL);
      assertTrue(check.passed(), () -> file + ": " + check.findings());
      check.findings().stream()
          .map(Finding::rule)
          .distinct()
          .forEach(rule -> trips.merge(rule, 1, Integer::sum));
    }
    trips.forEach((rule, count) -> assertTrue(count < files.size(), rule + " trips everywhere"));
  }

  /** The three categories of IEEE Std 1547-2018 that ship must not be told from themselves. */
  @Test
  void theProfilesThatShipPassTheRulesOfTheStandard() {
    for (String category : List.of("i", "ii", "iii")) {
      Path file = CONFIG.resolve("profiles/ieee1547-2018-category-" + category + ".yaml");
      List<Setting> settings = List.of(new Setting("profile", file.toString(), "test", 0));
      SiteCheck check =
          SiteCheck.of(CONFIG.resolve("sites/ferry-landing.yaml"), settings, Assumptions.USUAL);
      assertEquals(
          List.of(), check.findings().stream().filter(f -> f.field().equals("profile")).toList());
    }
  }

  @Test
  void aFindingNamesTheLineInWhichItsSettingStandsOrThePartThatLeavesItOut() throws IOException {
    Path file = disk.resolve("site.yaml");
    String text =
        Files.readString(CONFIG.resolve("sites/ferry-landing.yaml"))
            .replace("../profiles", CONFIG + "/profiles")
            .replace("../loads", CONFIG + "/loads")
            .replace("floatVoltage: 54.0 V", "floatVoltage: 56.0 V");
    Files.writeString(file, text);
    int line =
        Arrays.asList(text.split("\n", -1))
                .indexOf(
                    text.lines().filter(l -> l.contains("floatVoltage")).findFirst().orElseThrow())
            + 1;
    Finding finding = only(SiteCheck.of(file, List.of(), Assumptions.USUAL), "float-band");
    assertEquals(line, finding.line());
    assertTrue(finding.file().endsWith("site.yaml"), finding.file());
    assertTrue(finding.found().startsWith("56 V for 24 cells, which is 2.333 V per cell"));
  }

  private static Finding only(SiteCheck check, String rule) {
    List<Finding> of = check.findings().stream().filter(f -> f.rule().equals(rule)).toList();
    assertEquals(1, of.size());
    return of.get(0);
  }
}
