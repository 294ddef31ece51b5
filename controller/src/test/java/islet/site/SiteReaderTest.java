package islet.site;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.function.Executable;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Judged by what stands in the demo site's file, which a person can read beside this test, and by
 * the rule that a message says file, line, field, what was found, what is allowed and what to do.
 */
class SiteReaderTest {
  private static final Path ROOT = Path.of(System.getProperty("islet.root"));
  private static final Path DEMO = ROOT.resolve("config/sites/ferry-landing.yaml");
  private static final Path LITHIUM = DEMO.resolveSibling("ferry-landing-lfp.yaml");

  @TempDir
  @SuppressWarnings("NullAway.Init") // JUnit fills it
  Path folder;

  @Test
  void readsTheDemoSiteInSiUnits() {
    Site site = SiteReader.read(DEMO);

    assertEquals("ferry-landing", site.id());
    assertEquals("America/Chicago", site.place().zone().getId());
    assertEquals(0.008, site.tie().orElseThrow().operateS());
    assertEquals(-0.123, site.pv().module().kvVPerK());
    assertEquals(0.0032, site.pv().module().kiAPerK());
    assertEquals(400, site.battery().capacity20hAh());
    assertEquals(0.003, site.battery().cableOhm());
    assertEquals(-0.096, site.battery().charge().compensationVPerK(), 1e-15);
    assertEquals(10_800, site.battery().charge().absorptionS());
    assertEquals(4000, site.inverter().ratedW());
    assertEquals(0.97, site.regulator().efficiency().orElseThrow().at50());
    assertEquals(0.1, site.supervision().scanS());
    assertEquals(Site.OnSag.SEPARATE, site.supervision().onSag());
    assertEquals(
        List.of(new Site.ChargeWindow(new Site.MinuteSpan(0, 300), 0.85, 40)),
        site.supervision().chargeWindows());
    assertEquals(
        new Site.DailyLoad(120, List.of(new Site.MinuteSpan(1020, 420))),
        site.circuits().get(1).load());
    assertEquals(0.34, site.tariff().seasons().get(0).days().get(0).bands().get(1).importPerKWh());
    assertEquals("IEEE 1547-2018 category III", site.profile().name());
  }

  /** The site file's comments give each column's average; here it is summed from the data set. */
  @ParameterizedTest
  @CsvSource({"path-lights, 84", "ticket-office, 117", "kiosk, 365"})
  void theLoadColumnsOfTheDemoAverageWhatItsCommentsSay(String name, double averageW)
      throws IOException {
    Site.ProfileLoad load =
        SiteReader.read(DEMO).circuits().stream()
            .filter(c -> c.name().equals(name))
            .map(c -> (Site.ProfileLoad) c.load())
            .findFirst()
            .orElseThrow();
    Path file = Path.of(load.file());
    int column = LoadFile.columns(file).indexOf(load.column());
    double averageKw =
        Files.readAllLines(file).stream()
            .skip(1)
            .mapToDouble(row -> Double.parseDouble(row.split(",", -1)[column]))
            .average()
            .orElseThrow();

    assertEquals(averageW, 1000 * averageKw * load.factor(), 0.5);
  }

  /** IEEE Std 1547-2018 Tables 11 to 13 and 18, as listed in the files. */
  @ParameterizedTest
  @CsvSource({
    "i,   0.70, 2,  0.45, 0.16, 2",
    "ii,  0.70, 10, 0.45, 0.16, 2",
    "iii, 0.88, 21, 0.50, 2,    13"
  })
  void readsTheProfilesOfTheStandard(
      String category, double uv1, double uv1S, double uv2, double uv2S, double ov1S) {
    GridProfile profile =
        ProfileReader.read(
            ROOT.resolve("config/profiles/ieee1547-2018-category-" + category + ".yaml"));
    Map<String, GridProfile.Trip> trips =
        profile.trips().stream().collect(Collectors.toMap(GridProfile.Trip::name, t -> t));

    assertEquals(8, trips.size());
    assertEquals(
        new GridProfile.Trip("UV1", GridProfile.Quantity.UNDER_VOLTAGE, uv1, uv1S),
        trips.get("UV1"));
    assertEquals(
        new GridProfile.Trip("UV2", GridProfile.Quantity.UNDER_VOLTAGE, uv2, uv2S),
        trips.get("UV2"));
    assertEquals(
        new GridProfile.Trip("OV1", GridProfile.Quantity.OVER_VOLTAGE, 1.10, ov1S),
        trips.get("OV1"));
    assertEquals(
        new GridProfile.Trip("OF2", GridProfile.Quantity.OVER_FREQUENCY, 62, 0.16),
        trips.get("OF2"));
    assertEquals(new GridProfile.EnterService(0.917, 1.05, 59.5, 60.1, 300, 300), profile.enter());
    assertEquals(new GridProfile.SyncLimits(0.1, 0.3, 20), profile.sync());
    assertEquals(2, profile.islandDetectionS());
  }

  @Test
  void saysFileLineFieldFoundAllowedAndAdvice() throws IOException {
    Path site = changed("capacity: 400 Ah", "capacity: -400 Ah");

    assertEquals(
        InputFile.shown(site)
            + ":"
            + lineOf("capacity: 400 Ah")
            + ": battery.capacity: found \"-400 Ah\"; allowed is 1 Ah to 20000 Ah."
            + " Give the 20-hour capacity of the whole bank.",
        onlyProblem(site).toString());
  }

  /** Each row: what is changed in the demo site, into what, and the problem without its place. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          capacity: 400 Ah | capacity: 400 W | battery.capacity: found "400 W"; allowed is 1 Ah to 20000 Ah, as a number with a unit out of Ah, mAh, kAh. Give the 20-hour capacity of the whole bank.
          capacity: 400 Ah | capacity: 400 | battery.capacity: found "400"; allowed is 1 Ah to 20000 Ah, as a number with a unit out of Ah, mAh, kAh. Give the 20-hour capacity of the whole bank.
          capacity: 400 Ah | capacity: | battery.capacity: found nothing; allowed is 1 Ah to 20000 Ah. Give the 20-hour capacity of the whole bank.
          capacity: 400 Ah | capacity: [400 Ah] | battery.capacity: found "[400 Ah]"; allowed is 1 Ah to 20000 Ah. Give the 20-hour capacity of the whole bank.
          tailCurrent: 8 A | tailcurrent: 8 A | battery.charge.tailcurrent: found an unknown field; allowed is one of absorptionVoltage, floatVoltage, compensationPerCell, absorptionTime, tailCurrent, rebulkVoltage, equalise, rest. Did you mean "tailCurrent"?
          onSag: separate | onSag: seperate | supervision.onSag: found "seperate"; allowed is one of ride-through, separate. Did you mean "separate"?
          zone: America/Chicago | zone: America/Chicgo | place.zone: found "America/Chicgo"; allowed is the name of a time zone such as America/Chicago. Did you mean "America/Chicago"?
          floatVoltage: 54.0 V | floatVoltage: 58.0 V | battery.charge.floatVoltage: found "58.0 V"; allowed is less than absorptionVoltage.
          maximumVoltage: 61.2 V | maximumVoltage: 57 V | battery.charge.absorptionVoltage: found "57.6 V"; allowed is battery.limits.maximumVoltage or less. Else every full charge would pass the battery's limit.
          floor: 20 % | floor: 30 % | battery.limits.floor: found "30 %"; allowed is less than recovery. Loads would come and go without end.
          disconnectVoltage: 44.4 V | disconnectVoltage: 50.4 V | battery.limits.disconnectVoltage: found "50.4 V"; allowed is less than reconnectVoltage. Voltage rises when the loads drop, so they would come and go without end.
          reserve: 50 % | reserve: 0.1 | supervision.reserve: found "0.1"; allowed is battery.limits.floor or more. What lies below the floor can't be used in an outage.
          "00:00-05:00", untilSoc | "05:00-05:00", untilSoc | supervision.chargeWindows.1.between: found "05:00-05:00"; allowed is two different times of day such as 22:00-06:00, up to 24:00.
          between: "16:00-21:00" | between: "05:30-21:00" | tariff.bands.evening.between: found "05:30-21:00"; allowed is bands that do not overlap. Else two prices would hold.
          impedance: 0.5, | impedance: 0.4, | circuits.path-lights.shares.impedance: found a sum of 0.9; allowed is shares that sum to 1.
          name: kiosk | name: radio | circuits.radio.name: found "radio"; allowed is a name that no other circuit has. Rename one.
          ticket-office, pump] | ticket-office, pmup] | supervision.shedding: found "pmup"; allowed is critical circuits out of radio, dock-lights, path-lights, ticket-office, ticket-office-refrigerator, pump. Did you mean "pump"?
          ticket-office, pump] | ticket-office, kiosk] | supervision.shedding: found "kiosk"; allowed is critical circuits out of radio, dock-lights, path-lights, ticket-office, ticket-office-refrigerator, pump.
          category-iii.yaml | category-iv.yaml | profile: found "PROFILES/ieee1547-2018-category-iv.yaml", and there is no file PROFILES/ieee1547-2018-category-iv.yaml; allowed is the path of a file that exists, relative to this file's folder. Name one of the files in config/profiles, or your own.
          column: "Misc:Interior | column: "Msc:Interior | circuits.ticket-office.load.profile.column: found "Msc:InteriorEquipment:Electricity [kW](Hourly)"; allowed is one of COLUMNS. Did you mean "Misc:InteriorEquipment:Electricity [kW](Hourly)"?
          import: 0.34 USD/kWh | import: 0.34 EUR/kWh | tariff.bands.evening.import: found "0.34 EUR/kWh"; allowed is -1 USD/kWh to 10 USD/kWh.
          series: 4 | series: 2 | pv.series: found "2"; allowed is strings whose voltage at maximum power is above battery.charge.absorptionVoltage. The regulator only steps down: put more modules in series.
          series: 4 | series: 4.5 | pv.series: found "4.5"; allowed is a whole number from 1 to 50. Modules in one string.
          nominalFrequency: 60 Hz | nominalFrequency: 50 Hz | utility.nominalFrequency: found "50 Hz"; allowed is 59.5 Hz to 60.1 Hz. The profile is for another frequency: name a profile that fits.
          load: { constant: 60 W } | load: {} | circuits.radio.load: found nothing; allowed is one of constant, profile, daily, cycling.
          load: { constant: 60 W } | load: { constnat: 60 W } | circuits.radio.load.constnat: found an unknown field; allowed is one of constant, profile, daily, cycling. Did you mean "constant"?
          cells: 24 | cells: 12 | battery.cells: found "12"; allowed is nominalVoltage divided by 2 V. A lead-acid cell counts 2 V.
          """)
  void tellsWhatIsWrong(String from, String to, String sentence) throws IOException {
    Path site = changed(from, to);
    Problem problem = onlyProblem(site);
    String expected =
        sentence
            .replace("PROFILES", InputFile.shown(ROOT.resolve("config/profiles")))
            .replace("COLUMNS", columns());

    assertEquals(
        InputFile.shown(site) + ":" + problem.line() + ": " + expected, problem.toString());
    assertTrue(problem.line() > 0);
  }

  /** The same for the site with lithium cells. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          compensationPerCell: 0 mV/K | compensationPerCell: -4 mV/K | battery.charge.compensationPerCell: found "-4 mV/K"; allowed is 0 mV/K. Lithium iron phosphate is charged to the same voltage at every temperature.
          absorptionVoltage: 56.0 V | absorptionVoltage: 58.4 V | battery.charge.absorptionVoltage: found "58.4 V"; allowed is less than 58.4 V, cells times management.overVoltage. Else every full charge would end with an open contactor.
          maximumVoltage: 58.4 V | maximumVoltage: 60 V | battery.limits.maximumVoltage: found "60 V"; allowed is 58.4 V or less, cells times management.overVoltage. Else the management unit opens the contactor before the limit is reached.
          minimumChargeTemperature: 0 degC | minimumChargeTemperature: -10 degC | battery.limits.minimumChargeTemperature: found "-10 degC"; allowed is 0 degC or more. Charging frozen cells plates lithium and ruins them.
          maximumChargeCurrent: 80 A | maximumChargeCurrent: 300 A | battery.limits.maximumChargeCurrent: found "300 A"; allowed is management.chargeCurrent or less. Else the management unit opens the contactor while the bank is charged.
          disconnectVoltage: 46.4 V | disconnectVoltage: 40 V | inverter.dcMinimum: found "42 V"; allowed is battery.limits.disconnectVoltage or less. Else the inverter stops before the disconnect has a say.
          underVoltage: 2.50 V | underVoltage: 2.95 V | battery.limits.disconnectVoltage: found "46.4 V"; allowed is more than 47.2 V, cells times management.underVoltage. Else the management unit opens the contactor before the loads are taken off.
          cells: 16 | cells: 24 | battery.cells: found "24"; allowed is nominalVoltage divided by 3 V to 3.2 V. A lithium iron phosphate cell counts 3.2 V, and 16 of them make a 48 V class bank.
          overVoltage: 3.65 V | overVoltage: 4.2 V | battery.management.overVoltage: found "4.2 V"; allowed is 3.4 V to 3.9 V. Of a cell: usually 3.65 V.
          overTemperature: 60 degC | overTemperature: 45 degC | battery.limits.maximumChargeTemperature: found "45 degC"; allowed is less than management.overTemperature. Charging ends before everything ends.
          chemistry: lfp | chemistry: lithium | battery.chemistry: found "lithium"; allowed is one of lead-acid, lfp.
          """)
  void tellsWhatIsWrongWithLithiumCells(String from, String to, String sentence)
      throws IOException {
    String text = Files.readString(LITHIUM);
    assertTrue(text.contains(from), "the site no longer holds " + from);
    String changed =
        text.replace("../profiles", ROOT.resolve("config/profiles").toString())
            .replace("../loads", ROOT.resolve("config/loads").toString())
            .replace(from, to);
    InputException e = assertThrows(InputException.class, () -> SiteReader.read(write(changed)));
    assertTrue(
        e.problems().stream().anyMatch(p -> p.toString().endsWith(": " + sentence)),
        e.getMessage());
  }

  @Test
  void aManagementUnitBesideLeadAcidCellsIsRefused() throws IOException {
    Path site = changed("  limits:", "  management: { overVoltage: 3.65 V }\n  limits:");
    assertEquals(
        "battery.management: found a management unit; allowed is no management with lead-acid"
            + " cells. Take it out; lithium cells have one.",
        onlyProblem(site).toString().replaceFirst("^.*?:\\d+: ", ""));
  }

  @Test
  void tellsAllProblemsOfAFileAtOnceInTheOrderOfItsLines() throws IOException {
    String text =
        text().replace("capacity: 400 Ah", "capacity: 0 Ah").replace("zone: America/Chicago", "")
            + "colour: grey\n";
    InputException e = assertThrows(InputException.class, () -> SiteReader.read(write(text)));

    assertEquals(
        List.of("place.zone", "battery.capacity", "colour"),
        e.problems().stream().map(Problem::field).toList());
  }

  @Test
  void aSettingTakesThePlaceOfTheFilesValue() {
    Site site =
        SiteReader.read(
            DEMO,
            List.of(
                new Setting("supervision.onSag", "ride-through", "s.yaml", 7),
                new Setting("circuits.radio.load.constant", "0.1 kW", "s.yaml", 8),
                new Setting("supervision.chargeWindows", "[]", "s.yaml", 9)));

    assertEquals(Site.OnSag.RIDE_THROUGH, site.supervision().onSag());
    assertEquals(new Site.ConstantLoad(100), site.circuits().get(0).load());
    assertEquals(List.of(), site.supervision().chargeWindows());
  }

  @Test
  void aSettingsMistakesAreToldAtTheLineThatAsksForIt() {
    InputException e =
        assertThrows(
            InputException.class,
            () ->
                SiteReader.read(
                    DEMO,
                    List.of(
                        new Setting("tei.operateTime", "9 ms", "s.yaml", 7),
                        new Setting("tie.operateTmie", "9 ms", "s.yaml", 8),
                        new Setting("tie.lossTime", "9 V", "s.yaml", 9))));

    assertEquals(
        List.of(
            "s.yaml:7: settings.tei.operateTime: found \"tei\", which the site file does not have;"
                + " allowed is one of id, name, place, arrangement, utility, profile, pv,"
                + " regulator, battery, inverter, tie, circuits, supervision, tariff."
                + " Did you mean \"tie\"?",
            "s.yaml:8: tie.operateTmie: found an unknown field; allowed is one of operateTime,"
                + " lossBelow, lossTime, separateBelow, separateTime.",
            "s.yaml:9: tie.lossTime: found \"9 V\"; allowed is 0.001 s to 2 s, as a number with a"
                + " unit out of s, us, ms, min, h."),
        e.problems().stream().map(Problem::toString).toList());
  }

  private static String columns() {
    return String.join(
        ", ", LoadFile.columns(ROOT.resolve("config/loads/st-louis-residential-base-load.csv")));
  }

  private static String text() throws IOException {
    return Files.readString(DEMO)
        .replace("../profiles", ROOT.resolve("config/profiles").toString())
        .replace("../loads", ROOT.resolve("config/loads").toString());
  }

  private static int lineOf(String text) throws IOException {
    return 1 + (int) text().substring(0, text().indexOf(text)).lines().count() - 1;
  }

  private Path changed(String from, String to) throws IOException {
    String text = text();
    String changed = text.replace(from, to);
    assertTrue(!changed.equals(text), "the demo site no longer holds " + from);
    return write(changed);
  }

  private Path write(String text) throws IOException {
    return Files.writeString(folder.resolve("site.yaml"), text);
  }

  private static Problem onlyProblem(Path site) {
    InputException e = assertThrows(InputException.class, () -> SiteReader.read(site));
    assertEquals(1, e.problems().size(), e.getMessage());
    return e.problems().get(0);
  }

  private static Site with(String path, String value) {
    return SiteReader.read(DEMO, List.of(new Setting(path, value, "this test", 1)));
  }

  @Test
  void readsWhatASiteMayAddOfSurgeHeatAndStarts() {
    assertEquals(
        List.of(new Site.SurgePoint(6000, 60), new Site.SurgePoint(5000, 1800)),
        with("inverter.surge", "[{ power: 6 kW, for: 60 s }, { power: 5 kW, for: 30 min }]")
            .inverter()
            .surge());
    assertEquals(
        Optional.of(new Site.Thermal(35, 1200, 70, 90)),
        with(
                "inverter.thermal",
                "{ rise: 35 K, timeConstant: 20 min, derateFrom: 70 degC, derateTo: 90 degC }")
            .inverter()
            .thermal());
    assertEquals(
        Optional.of(new Site.Inrush(5, 0.4)),
        with("circuits.pump.inrush", "{ factor: 5, for: 0.4 s }").circuits().get(5).inrush());
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      textBlock =
          """
          inverter.surge | [{ power: 9 kW, for: 60 s }] | inverter.surge: found 9000 W for 60 s; allowed is less than 8000 W for more than 5 s.
          inverter.surge | [{ power: 6 kW, for: 2 s }] | inverter.surge: found 6000 W for 2 s; allowed is less than 8000 W for more than 5 s.
          inverter.surge | [{ power: 3 kW, for: 60 s }] | allowed is powers above ratedPower. What is rated lasts for ever.
          inverter.thermal | { rise: 35 K, timeConstant: 20 min, derateFrom: 90 degC, derateTo: 70 degC } | derateFrom: found "90 degC"; allowed is less than derateTo.
          circuits.pump.inrush | { factor: 0.5, for: 0.4 s } | factor: found "0.5"; allowed is a number from 1 to 20.
          """)
  void tellsWhatCanNotBeAdded(String path, String value, String sentence) {
    InputException e = assertThrows(InputException.class, () -> with(path, value));
    String message = String.valueOf(e.getMessage());
    assertTrue(message.contains(sentence), message);
  }

  private Site siteWith(String from, String to) throws IOException {
    return SiteReader.read(changed(from, to));
  }

  private static String refusal(Executable reading) {
    return String.valueOf(assertThrows(InputException.class, reading).getMessage());
  }

  @Test
  void readsSkyShadeAndKindOfRegulatorAndKnowsWhatIsUsual() throws IOException {
    Site plain = SiteReader.read(DEMO);
    assertEquals(Site.RegulatorKind.MPPT, plain.regulator().kind());
    assertEquals(Site.Sky.ISOTROPIC, plain.pv().sky());
    assertEquals(List.of(), plain.pv().shade());
    assertEquals(3, plain.pv().module().bypassDiodes());

    Site site =
        siteWith(
            "  azimuth: 180 deg # clockwise from north\n",
            """
              azimuth: 180 deg
              sky: hay-davies
              shade:
                - { strings: 2, modules: 1, light: 20 %, between: ["07:00-09:30", "16:00-17:00"] }
                - { strings: 1, modules: 4, substrings: 1, light: 0, between: ["09:30-10:00"] }
            """);
    assertEquals(Site.Sky.HAY_DAVIES, site.pv().sky());
    assertEquals(
        List.of(
            new Site.Shade(
                2,
                1,
                3,
                0.2,
                List.of(new Site.MinuteSpan(420, 570), new Site.MinuteSpan(960, 1020))),
            new Site.Shade(1, 4, 1, 0, List.of(new Site.MinuteSpan(570, 600)))),
        site.pv().shade());
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          strings: 7, modules: 1, light: 0, between: ["07:00-08:00"] | strings: found "7"; allowed is a whole number from 1 to 6.
          strings: 1, modules: 5, light: 0, between: ["07:00-08:00"] | modules: found "5"; allowed is a whole number from 1 to 4.
          strings: 1, modules: 1, substrings: 4, light: 0, between: ["07:00-08:00"] | substrings: found "4"; allowed is a whole number from 1 to 3.
          strings: 1, modules: 1, light: 120 %, between: ["07:00-08:00"] | light: found "120 %"; allowed is 0 to 1.
          strings: 1, modules: 1, light: 0, between: ["07:00-08:00", "07:59-09:00"] | allowed is times in which no other shade lies on the array. Split the times
          """)
  void tellsWhatShadeCanNotBe(String entry, String sentence) {
    InputException e =
        assertThrows(
            InputException.class,
            () ->
                siteWith(
                    "  azimuth: 180 deg # clockwise from north\n",
                    "  azimuth: 180 deg\n  shade:\n    - { " + entry + " }\n"));
    assertTrue(String.valueOf(e.getMessage()).contains(sentence), String.valueOf(e.getMessage()));
  }

  @Test
  void eachKindOfRegulatorNeedsWhatItWorksByAndMayHoldTheOthers() throws IOException {
    String efficiency = "efficiency: { at10: 95 %, at50: 97 %, at100: 96 % }\n  idle: 4 W";
    Site pwm = siteWith(efficiency, "kind: pwm\n  drop: 0.4 V\n  idle: 4 W");
    assertEquals(
        new Site.Regulator(90, Optional.empty(), 4, Site.RegulatorKind.PWM, 0.4), pwm.regulator());
    Site.Efficiency curve = new Site.Efficiency(0.95, 0.97, 0.96);
    assertEquals(
        new Site.Regulator(90, Optional.of(curve), 4, Site.RegulatorKind.MPPT, 0.4),
        siteWith(efficiency, "drop: 0.4 V\n  " + efficiency).regulator());
    assertEquals(
        new Site.Regulator(90, Optional.of(curve), 4, Site.RegulatorKind.PWM, 0.4),
        siteWith(efficiency, "kind: pwm\n  drop: 0.4 V\n  " + efficiency).regulator());

    String noDrop = refusal(() -> siteWith(efficiency, "kind: pwm\n  idle: 4 W"));
    assertTrue(noDrop.contains("regulator.drop: found nothing; allowed is 0 V to 2 V."), noDrop);
    String noCurve = refusal(() -> siteWith(efficiency, "drop: 0.4 V\n  idle: 4 W"));
    assertTrue(noCurve.contains("regulator.efficiency: found nothing"), noCurve);
  }

  @Test
  void aStringThatCanNotReachAbsorptionThroughThePwmRegulatorIsRefused() throws IOException {
    // 2 x 29.0 V is above the 57.6 V of absorption, but not with 0.5 V across the switch.
    String text = text().replace("vmp: 26.3 V", "vmp: 29.0 V").replace("series: 4", "series: 2");
    assertEquals(2, SiteReader.read(write(text)).pv().series());
    String tracking = "efficiency: { at10: 95 %, at50: 97 %, at100: 96 % }\n  idle: 4 W";
    String pwm = text.replace(tracking, "kind: pwm\n  drop: 0.5 V\n  idle: 4 W");
    InputException e = assertThrows(InputException.class, () -> SiteReader.read(write(pwm)));
    assertTrue(
        String.valueOf(e.getMessage())
            .contains("battery.charge.absorptionVoltage and regulator.drop together"),
        String.valueOf(e.getMessage()));
  }
}
