package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.fault.FaultKind;
import islet.site.InputException;
import islet.site.InputFile;
import islet.site.Problem;
import islet.site.Site;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Judged by what a person reads in the scenario's text, by the time zone data of the JDK, and by
 * the rule that a message says file, line, field, what was found, what is allowed and what to do.
 */
class ScenarioReaderTest {
  private static final Path ROOT = Path.of(System.getProperty("islet.root"));
  private static final long SECOND = 1_000_000;
  private static final long MINUTE = 60 * SECOND;
  private static final long HOUR = 60 * MINUTE;

  /** Every kind of event and expectation once; the tests below change single lines of it. */
  private static final String TEXT =
      """
      title: "A bit of everything: no. 1"
      site: SITES/ferry-landing.yaml
      settings: { supervision.onSag: ride-through, circuits.radio.load.constant: 80 W }
      start: 2026-01-14T15:00
      duration: PT9H
      seed: 7
      weather: { constant: { ghi: 500 W/m2, temperature: 15 degC } }
      battery: { soc: 0.85 }
      traceStep: PT1S
      events:
        - { at: PT6H, utility: { sag: 0.6, for: PT0.4S } }
        - { at: PT2H, utility: { outage: PT3H } }
        - { at: PT2H30M, fault: { kind: sensor-bias, device: regulator, signal: bus.voltage_V, by: 0.8 }, for: PT10M }
        - { at: PT6H10M, utility: { swell: 115 %, for: PT1S } }
        - { at: PT6H20M, utility: { frequency: 60.8 Hz, for: PT2M } }
        - { at: PT6H30M, utility: { phaseJump: 20 deg } }
        - { at: PT7H, operator: island-request }
        - { at: PT7H1M, operator: { hold: dockmaster } }
        - { at: PT7H2M, operator: { release: dockmaster } }
        - { at: PT7H3M, fault: { kind: tie-wont-close } }
        - { at: PT7H4M, fault: { kind: supervisor-lies, as: HELD }, for: PT1S }
      expect:
        - { signal: supervisor.mode, is: ISLANDED, within: PT1S, after: PT2H }
        - { signal: critical.voltage_pu, above: 0.9, allowing: PT0.02S }
        - { signal: battery.soc, below: 0.9, always: true }
        - { signal: tie.closed, is: false, after: PT3H, until: PT4H }
        - { transitions: [GRID_PRESENT, ISLANDING, ISLANDED], after: PT1H, until: PT4H }
        - { transition: { from: RECONNECTING, to: GRID_PRESENT }, notBefore: PT5M, after: PT5H }
        - alarm: sensors-disagree # block style is as good
          within: PT5S
          after: PT2H30M
      waive: { early-return: "the profile is not what is looked at here" }
      """
          .replace("SITES", ROOT.resolve("config/sites").toString());

  @TempDir
  @SuppressWarnings("NullAway.Init") // JUnit fills it
  Path folder;

  @Test
  void readsEveryKindOfEventByTime() throws IOException {
    assertEquals(
        List.of(
            new Event.Outage(2 * HOUR, 3 * HOUR),
            new Event.Fault(
                2 * HOUR + 30 * MINUTE,
                FaultKind.SENSOR_BIAS,
                "regulator",
                "bus.voltage_V",
                Map.of("by", 0.8),
                "",
                10 * MINUTE),
            new Event.Sag(6 * HOUR, 0.6, 400_000),
            new Event.Swell(6 * HOUR + 10 * MINUTE, 1.15, SECOND),
            new Event.FrequencyStep(6 * HOUR + 20 * MINUTE, 60.8, 2 * MINUTE),
            new Event.PhaseJump(6 * HOUR + 30 * MINUTE, 20),
            new Event.Operator(7 * HOUR, Event.Action.ISLAND_REQUEST, ""),
            new Event.Operator(7 * HOUR + MINUTE, Event.Action.HOLD, "dockmaster"),
            new Event.Operator(7 * HOUR + 2 * MINUTE, Event.Action.RELEASE, "dockmaster"),
            new Event.Fault(
                7 * HOUR + 3 * MINUTE, FaultKind.TIE_WONT_CLOSE, "tie", "", Map.of(), "", 0),
            new Event.Fault(
                7 * HOUR + 4 * MINUTE,
                FaultKind.SUPERVISOR_LIES,
                "supervisor",
                "",
                Map.of(),
                "HELD",
                SECOND)),
        read(TEXT).events());
  }

  @Test
  void readsEveryKindOfExpectationWithItsOwnWords() throws IOException {
    List<Expectation> expect = read(TEXT).expect();

    assertEquals(
        List.of(
            new Expectation.Becomes(
                "signal: supervisor.mode, is: ISLANDED, within: PT1S, after: PT2H",
                "supervisor.mode",
                "ISLANDED",
                SECOND,
                2 * HOUR,
                9 * HOUR),
            new Expectation.Bound(
                "signal: critical.voltage_pu, above: 0.9, allowing: PT0.02S",
                "critical.voltage_pu",
                Expectation.Side.ABOVE,
                0.9,
                20_000,
                0,
                9 * HOUR),
            new Expectation.Bound(
                "signal: battery.soc, below: 0.9, always: true",
                "battery.soc",
                Expectation.Side.BELOW,
                0.9,
                0,
                0,
                9 * HOUR),
            new Expectation.Stays(
                "signal: tie.closed, is: false, after: PT3H, until: PT4H",
                "tie.closed",
                "false",
                0,
                3 * HOUR,
                4 * HOUR),
            new Expectation.Transitions(
                "transitions: [GRID_PRESENT, ISLANDING, ISLANDED], after: PT1H, until: PT4H",
                List.of("GRID_PRESENT", "ISLANDING", "ISLANDED"),
                HOUR,
                4 * HOUR),
            new Expectation.Transition(
                "transition: { from: RECONNECTING, to: GRID_PRESENT }, notBefore: PT5M,"
                    + " after: PT5H",
                "RECONNECTING",
                "GRID_PRESENT",
                5 * MINUTE,
                4 * HOUR,
                5 * HOUR,
                9 * HOUR),
            new Expectation.Alarm(
                "alarm: sensors-disagree, within: PT5S, after: PT2H30M",
                "sensors-disagree",
                5 * SECOND,
                2 * HOUR + 30 * MINUTE,
                9 * HOUR)),
        expect);
  }

  @Test
  void putsTheSettingsIntoTheSite() throws IOException {
    Site site = read(TEXT).site();

    assertEquals(Site.OnSag.RIDE_THROUGH, site.supervision().onSag());
    assertEquals(new Site.ConstantLoad(80), site.circuits().get(0).load());
  }

  @Test
  void aSeedFromOutsideTakesThePlaceOfTheFiles() throws IOException {
    Path file = write(TEXT);

    assertEquals(7, ScenarioReader.read(file, OptionalLong.empty()).seed());
    assertEquals(42, ScenarioReader.read(file, OptionalLong.of(42)).seed());
  }

  /** Chicago: UTC−6 in winter, UTC−5 in summer; 2026-11-01 01:30 comes twice. */
  @ParameterizedTest
  @CsvSource({
    "2026-01-14T15:00,       2026-01-14T21:00:00Z",
    "2026-06-25T06:00:30,    2026-06-25T11:00:30Z",
    "2026-11-01T01:30,       2026-11-01T06:30:00Z",
    "2026-11-01T01:30-06:00, 2026-11-01T07:30:00Z",
    "2026-03-08T03:00,       2026-03-08T08:00:00Z"
  })
  void startsAtTheSitesCivilTime(String start, String utc) throws IOException {
    Scenario scenario = read(TEXT.replace("2026-01-14T15:00", start));

    assertEquals(OffsetDateTime.parse(utc).toEpochSecond() * SECOND, scenario.startMicros(), start);
  }

  /** Each row: what is changed in the text above, into what, the line and the problem. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          start: 2026-01-14T15:00 | start: 2026-03-08T02:30 | 4: start: found "2026-03-08T02:30"; allowed is a civil time that exists in America/Chicago. Clocks go from 02:00 to 03:00 then.
          start: 2026-01-14T15:00 | start: 2026-01-14T15:00-05:00 | 4: start: found "2026-01-14T15:00-05:00"; allowed is a civil time at the site such as 2026-01-14T15:00, or with its offset 2026-01-14T15:00-06:00. Write date, T and time of day, to the second.
          start: 2026-01-14T15:00 | start: yesterday | 4: start: found "yesterday"; allowed is a civil time at the site such as 2026-01-14T15:00, or with its offset 2026-01-14T15:00-06:00. Write date, T and time of day, to the second.
          duration: PT9H | duration: -PT9H | 5: duration: found "-PT9H"; allowed is an ISO 8601 duration such as PT2H30M, from PT0.000001S to PT87840H. The run must end after its start.
          duration: PT9H | duration: PT0S | 5: duration: found "PT0S"; allowed is an ISO 8601 duration such as PT2H30M, from PT0.000001S to PT87840H. The run must end after its start.
          duration: PT9H | duration: 9 h | 5: duration: found "9 h"; allowed is an ISO 8601 duration such as PT2H30M, from PT0.000001S to PT87840H. The run must end after its start.
          duration: PT9H | duraton: PT9H | 5: duraton: found an unknown field; allowed is one of title, resolvedFrom, settings, site, start, duration, seed, weather, battery, tie, events, expect, waive, traceStep, stops. Did you mean "duration"?
          seed: 7 | seed: 7.5 | 6: seed: found "7.5"; allowed is a whole number from 0 to 999999999999999999.
          ghi: 500 W/m2 | ghi: 500 W | 7: weather.constant.ghi: found "500 W"; allowed is 0 W/m2 to 1500 W/m2, as a number with a unit out of W/m2, W/m², kW/m2, kW/m².
          constant: { ghi: 500 W/m2, temperature: 15 degC } | epw: none.epw | 7: weather.epw: found "none.epw", and there is no file FOLDER/none.epw; allowed is the path of a file that exists, relative to this file's folder. Name a weather year in EPW format.
          constant: { ghi: 500 W/m2, temperature: 15 degC } | constant: { ghi: 500 W/m2, temperature: 15 degC }, clouds: { passing: 5 min } | 7: weather.clouds: found "{ passing: 5 min }"; allowed is no clouds over a constant sky, which has no sun for them to pass. Take them out, or name epw, csv or clear-sky.
          constant: { ghi: 500 W/m2, temperature: 15 degC } | clear-sky: { temperature: 15 degC }, clouds: { passing: 5 min } | 7: weather.clouds: found "{ passing: 5 min }"; allowed is no clouds under a clear sky without a clearness, whose energy they would take. Give clear-sky a clearness below 1, such as 60 %.
          constant: { ghi: 500 W/m2, temperature: 15 degC } | clear-sky: { temperature: 15 degC, clearness: 0.5 }, clouds: { passing: 30 s } | 7: weather.clouds.passing: found "30 s"; allowed is 120 s to 3600 s. About how long one takes.
          constant: { ghi: 500 W/m2, temperature: 15 degC } | clear-sky: { temperature: 15 degC, nightTemperature: 16 degC } | 7: weather.clear-sky.nightTemperature: found "16 degC"; allowed is temperature or less. It is the coldest of the day, at 3:00.
          constant: { ghi: 500 W/m2, temperature: 15 degC } | csv: none.csv | 7: weather.csv: found "none.csv", and there is no file FOLDER/none.csv; allowed is the path of a file that exists, relative to this file's folder. Name a table of measured weather.
          soc: 0.85 | soc: 85 | 8: battery.soc: found "85"; allowed is 0 to 1. At the start.
          soc: 0.85 | soc: 85 Ah | 8: battery.soc: found "85 Ah"; allowed is 0 to 1, as a plain number or a number with a unit out of pu, %. At the start.
          at: PT6H, utility | at: PT9H, utility | 11: events.1.at: found "PT9H"; allowed is less than the scenario's duration, PT9H. Move the event, or make the run longer.
          at: PT6H, utility | at: 6, utility | 11: events.1.at: found "6"; allowed is an ISO 8601 duration such as PT2H30M, from PT0S to PT87840H. Time after the start of the run.
          sag: 0.6 | sag: 1.2 | 11: events.1.utility.sag: found "1.2"; allowed is 0 to 1. What is left.
          sag: 0.6, for: PT0.4S | outage: PT1H, for: PT0.4S | 11: events.1.utility.for: found an unknown field; allowed is one of outage, sag, swell, frequency, phaseJump, brownOut, frequencyRamp, reclose, returnAngle, matchedLoad.
          sag: 0.6, for: PT0.4S | sag: 0.6 | 11: events.1.utility.for: found nothing; allowed is an ISO 8601 duration such as PT2H30M, from PT0.000001S to PT87840H.
          at: PT6H, utility: { sag: 0.6, for: PT0.4S } | at: PT4H, utility: { outage: PT2H } | 11: events.1.at: found an outage that begins before the one in line 12 ends; allowed is outages one after the other. Make it one outage.
          at: PT7H, operator: island-request | at: PT6H, utility: { sag: 60 %, for: PT0.4S } | 17: events.7.at: found the same event as in line 11; allowed is each event once. Remove one of the two.
          sag: 0.6, for: PT0.4S | sag: 0.6, outage: PT1S, for: PT0.4S | 11: events.1.utility: found outage and sag together; allowed is one of outage, sag, swell, frequency, phaseJump, brownOut, frequencyRamp, reclose.
          utility: { outage: PT3H } | utility: { outge: PT3H } | 12: events.2.utility.outge: found an unknown field; allowed is one of outage, sag, swell, frequency, phaseJump, brownOut, frequencyRamp, reclose. Did you mean "outage"?
          utility: { outage: PT3H } | utility: {} | 12: events.2.utility: found nothing; allowed is one of outage, sag, swell, frequency, phaseJump, brownOut, frequencyRamp, reclose.
          , operator: { release: dockmaster } | `` | 19: events.9: found nothing; allowed is one of utility, operator, fault.
          - { signal: battery.soc, below: 0.9, always: true } | - { always: true } | 25: expect.3: found nothing; allowed is one of signal, transitions, transition, alarm.
          alarm: sensors-disagree | alrm: sensors-disagree | 29: expect.7.alrm: found an unknown field; allowed is one of text, after, until, signal, transitions, transition, alarm, is, above, below, always, allowing, within, notBefore. Did you mean "alarm"?
          operator: island-request | operator: island-reqest | 17: events.7.operator: found "island-reqest"; allowed is one of island-request, reconnect-request, acknowledge, reset, auto, manual, equalise, all-clear. Did you mean "island-request"?
          operator: island-request | operator: { override: charge-nwo, for: PT1H } | 17: events.7.operator.override: found "charge-nwo"; allowed is one of charge-now, charge-off, feed-off, regulator-off, shed-all. Did you mean "charge-now"?
          operator: island-request | operator: { override: charge-now } | 17: events.7.operator.for: found nothing; allowed is an ISO 8601 duration such as PT2H30M, from PT0.000001S to PT87840H.
          operator: island-request | operator: { override: charge-now, for: PT25H } | 17: events.7.operator.for: found "PT25H"; allowed is at most PT24H. A day.
          operator: island-request | operator: { shelve: command-refused, for: PT9H } | 17: events.7.operator.for: found "PT9H"; allowed is at most PT8H. A shift.
          operator: island-request | operator: { hold: me, for: PT9H } | 17: events.7.operator.for: found an unknown field; allowed is one of hold, release, switch, shelve, unshelve, override, end-override, warn, all-clear.
          kind: sensor-bias | kind: sensor-baes | 13: events.3.fault.kind: found "sensor-baes"; allowed is one of KINDS. Did you mean "sensor-bias"?
          signal: bus.voltage_V, by | signal: battery.current_A, by | 13: events.3.fault.signal: found "battery.current_A"; allowed is one of battery.temperature_C, bus.voltage_V, pv.power_W.
          by: 0.8 | by: 0.8 V | 13: events.3.fault.by: found "0.8 V"; allowed is a number from -100000 to 100000. It says what is added, in the unit of the signal's name.
          is: ISLANDED | is: ISLAND | 23: expect.1.is: found "ISLAND"; allowed is one of STARTING, GRID_PRESENT, ISLANDING, ISLANDED, RECONNECTING, DARK, HELD. Did you mean "ISLANDED"?
          signal: battery.soc, below | signal: battery.sco, below | 25: expect.3.signal: found "battery.sco"; allowed is one of SIGNALS. Did you mean "battery.soc"?
          signal: battery.soc, below: 0.9 | signal: battery.soc, is: 0.9 | 25: expect.3.signal: found the condition is; allowed is one of above, below for battery.soc.
          alarm: sensors-disagree | alarm: sensor-disagree | 29: expect.7.alarm: found "sensor-disagree"; allowed is one of tie-not-open, tie-not-closed, tie-doubtful, switch-by-hand, inverter-not-forming, inverter-tripped, battery-low, battery-cold-or-hot, battery-contactor-open, sensors-disagree, no-battery-voltage, device-silent, command-refused, bad-message, sync-timeout, start-timeout, contradiction, journal-failed, override-active. Did you mean "sensors-disagree"?
          after: PT5H | after: PT9H | 28: expect.6.after: found "PT9H"; allowed is less than PT9H, the end of what is judged. An expectation must have some time in which to hold.
          early-return: | erly-return: | 32: waive.erly-return: found an unknown hazard; allowed is one of HAZARDS. Did you mean "early-return"?
          circuits.radio.load | circuits.rado.load | 3: settings.circuits.rado.load.constant: found "rado", which the site file does not have; allowed is one of radio, dock-lights, path-lights, ticket-office, ticket-office-refrigerator, pump, heating, kiosk. Did you mean "radio"?
          ferry-landing.yaml | ferry-landin.yaml | 2: site: found "SITES/ferry-landin.yaml", and there is no file SITES/ferry-landin.yaml; allowed is the path of a file that exists, relative to this file's folder. Name one of the files in config/sites, or your own.
          """)
  void tellsWhatIsWrong(String from, String to, String sentence) throws IOException {
    assertTrue(TEXT.contains(from), from);
    Path file = write(TEXT.replace(from, to));
    InputException e =
        assertThrows(InputException.class, () -> ScenarioReader.read(file, OptionalLong.empty()));
    String expected =
        sentence
            .replace(
                "SIGNALS",
                Signal.all().stream().map(Signal::label).collect(Collectors.joining(", ")))
            .replace(
                "KINDS",
                Stream.of(FaultKind.values())
                    .map(FaultKind::word)
                    .collect(Collectors.joining(", ")))
            .replace("HAZARDS", String.join(", ", Hazards.IDS))
            .replace("FOLDER", InputFile.shown(folder))
            .replace("SITES", InputFile.shown(ROOT.resolve("config/sites")));

    assertEquals(InputFile.shown(file) + ":" + expected, e.getMessage());
  }

  @Test
  void tellsWhatIsWrongInTheSiteTogetherWithWhatIsWrongInTheScenario() throws IOException {
    String site =
        Files.readString(ROOT.resolve("config/sites/ferry-landing.yaml"))
            .replace("../profiles", ROOT.resolve("config/profiles").toString())
            .replace("../loads", ROOT.resolve("config/loads").toString())
            .replace("capacity: 400 Ah", "capacity: -400 Ah");
    Files.writeString(folder.resolve("site.yaml"), site);
    Path file =
        write(TEXT.replaceAll("site: .*", "site: site.yaml").replace("soc: 0.85", "soc: 1.85"));
    InputException e =
        assertThrows(InputException.class, () -> ScenarioReader.read(file, OptionalLong.empty()));

    assertEquals(
        List.of("battery.soc", "battery.capacity"),
        e.problems().stream().map(Problem::field).toList());
  }

  @ParameterizedTest
  @MethodSource("scenarios")
  void everyScenarioInConfigReadsAndResolvesToTheSameCase(Path file) throws IOException {
    Scenario scenario = ScenarioReader.read(file, OptionalLong.empty());

    assertSameCase(scenario);
  }

  @Test
  void aCaseWithEverythingResolvesToTheSameCase() throws IOException {
    assertSameCase(read(TEXT));
    assertSameCase(
        read(TEXT.replaceAll("weather: .*", "weather: { clear-sky: { temperature: -5.5 degC } }")));
    for (String weather :
        List.of(
            "{ csv: ../table.csv }",
            "{ csv: ../table.csv, clouds: { passing: 4.5 min } }",
            "{ epw: ../table.csv, clouds: { passing: 120 s } }",
            "{ clear-sky: { temperature: 20 degC, nightTemperature: 9 degC, clearness: 65 % },"
                + " clouds: { passing: 8 min } }")) {
      Files.writeString(folder.resolve("table.csv"), "read when the plant is built");
      assertSameCase(
          read(TEXT.replaceAll("weather: .*", "weather: " + weather.replace("../", ""))));
    }
  }

  @Test
  void weatherIsReadInItsUnits() throws IOException {
    String sky =
        "{ clear-sky: { temperature: 20 degC, nightTemperature: 9 degC, clearness: 65 % },"
            + " clouds: { passing: 8 min } }";
    assertEquals(
        new WeatherSource.Clouds(new WeatherSource.ClearSky(20, 9, 0.65), 480),
        read(TEXT.replaceAll("weather: .*", "weather: " + sky)).weather());
  }

  @Test
  void aResolvedCaseNamesItsFilesFromTheFolderOfItsScenario() throws IOException {
    Path file = ROOT.resolve("config/scenarios/evening-outage.yaml");
    String yaml = ResolvedScenario.write(ScenarioReader.read(file, OptionalLong.empty()));

    assertTrue(yaml.contains("\nsite: ../sites/ferry-landing.yaml\n"), yaml);
    assertTrue(yaml.contains("\nstart: \"2026-01-14T15:00:00-06:00\"\n"), yaml);
    String resolvedFrom = "resolvedFrom: " + InputFile.shown(file) + "\n";
    assertTrue(yaml.contains(resolvedFrom), yaml);
    assertFalse(yaml.replace(resolvedFrom, "").contains(ROOT.toString()), yaml);
  }

  /** A project in another place gives the same bytes, and its run folder finds its way back. */
  @Test
  void aResolvedCaseRunsFromTheRunFolderWhereverTheProjectLies() throws IOException {
    for (String part : List.of("sites", "profiles", "loads", "weather", "scenarios")) {
      Path to = Files.createDirectories(folder.resolve("config").resolve(part));
      try (Stream<Path> files = Files.list(ROOT.resolve("config").resolve(part))) {
        for (Path file : files.toList()) {
          Files.copy(file, to.resolve(file.getFileName()));
        }
      }
    }
    String name = "config/scenarios/evening-outage.yaml";
    String here = ResolvedScenario.write(read(ROOT.resolve(name)));
    String there = ResolvedScenario.write(read(folder.resolve(name)));
    String relative = here.replace(InputFile.shown(ROOT.resolve(name)), name);
    Path run = Files.createDirectories(folder.resolve("runs/x")).resolve("scenario.yaml");
    Scenario again = read(Files.writeString(run, relative));

    assertEquals(relative, there.replace(InputFile.shown(folder.resolve(name)), name));
    assertEquals(InputFile.tidy(folder.resolve(name)), again.file());
    assertEquals(
        InputFile.tidy(folder.resolve("config/sites/ferry-landing.yaml")), again.siteFile());
  }

  static Stream<Path> scenarios() throws IOException {
    try (Stream<Path> files = Files.list(ROOT.resolve("config/scenarios"))) {
      return files.sorted().toList().stream();
    }
  }

  /** The same in all but the place of the settings, which is that of the file read. */
  private void assertSameCase(Scenario scenario) throws IOException {
    String yaml = ResolvedScenario.write(scenario);
    Path run = Files.createDirectories(folder.resolve("runs/x"));
    Path file = Files.writeString(run.resolve("scenario.yaml"), yaml);
    Scenario again = ScenarioReader.read(file, OptionalLong.empty());
    Scenario placed =
        new Scenario(
            again.title(),
            again.file(),
            again.siteFile(),
            again.site(),
            scenario.settings(),
            again.startMicros(),
            again.durationMicros(),
            again.seed(),
            again.weather(),
            again.initialSoc(),
            again.initialHealth(),
            again.tieClosed(),
            again.events(),
            again.expect(),
            again.waive(),
            again.traceStepS(),
            again.stops());

    assertEquals(scenario, placed);
    assertEquals(yaml, ResolvedScenario.write(again));
  }

  private Scenario read(String text) throws IOException {
    return read(write(text));
  }

  private static Scenario read(Path file) {
    return ScenarioReader.read(file, OptionalLong.empty());
  }

  private Path write(String text) throws IOException {
    return Files.writeString(folder.resolve("case.yaml"), text);
  }
}
