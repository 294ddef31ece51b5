package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.BatteryPath;
import islet.contract.ChargeStage;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Layout;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.MeterTelemetry;
import islet.contract.Mode;
import islet.contract.Online;
import islet.contract.RegulatorTelemetry;
import islet.contract.SupervisorTelemetry;
import islet.contract.TieTelemetry;
import islet.contract.Topics;
import islet.control.SiteSupervisor;
import islet.fault.FaultFamily;
import islet.fault.FaultKind;
import islet.plant.InverterState;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.Predicate;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Each fault at the place where it bites, judged by what devices tell on the wire against the
 * plant's truth, and by arithmetic: what the fault says it does is there while it lasts and gone
 * afterwards, unless its own words say otherwise.
 */
class FaultCatalogueTest {

  private static final Scenario BASE = Rehearsals.scenario("winter-day");
  private static final Topics TOPICS = new Topics(BASE.site().id());
  private static final double BEGINS_S = 60;
  private static final double LASTS_S = 40;

  /** A message on the wire and when it came to the broker, s after the start. */
  private record Heard(double seconds, String from, Message message) {}

  /** A site at noon with its supervisor, on a wire that somebody listens to. */
  private static final class Ground {
    final VirtualTime time;
    final VirtualBroker broker;
    final Stage stage;
    final List<Heard> heard = new ArrayList<>();
    final long start;

    Ground(Event... events) {
      Scenario scenario = scenario(events);
      start = scenario.startMicros();
      time = new VirtualTime(start);
      broker = new VirtualBroker(time);
      stage = new Stage(scenario, time, broker, SiteSupervisor::new, new VirtualNetwork(broker));
      broker.tap(stage.wire());
      broker.tap(
          new WireTap() {
            @Override
            public void published(long micros, String from, Message message) {
              heard.add(new Heard((micros - start) / 1e6, from, message));
            }

            @Override
            public void delivered(long micros, String to, Message message) {}
          });
      stage.start();
    }

    Ground until(double seconds) {
      time.runUntil(start + Math.round(seconds * 1e6));
      return this;
    }

    islet.plant.Plant plant() {
      return stage.simulation().plant();
    }

    List<Message> on(Device device, Kind kind, double fromS, double toS) {
      String topic = TOPICS.of(device, kind);
      return heard.stream()
          .filter(h -> h.seconds() >= fromS && h.seconds() < toS)
          .filter(h -> h.message().topic().equals(topic))
          .map(Heard::message)
          .toList();
    }

    <T> T last(Device device, Layout<T> layout) {
      List<Message> all = on(device, Kind.TELEMETRY, 0, 1e9);
      return decoded(layout, all.get(all.size() - 1));
    }

    MeterTelemetry meter() {
      return last(Device.METER, MeterTelemetry.LAYOUT);
    }

    RegulatorTelemetry regulator() {
      return last(Device.REGULATOR, RegulatorTelemetry.LAYOUT);
    }

    TieTelemetry tie() {
      return last(Device.TIE, TieTelemetry.LAYOUT);
    }
  }

  private static <T> T decoded(Layout<T> layout, Message message) {
    try {
      return layout.decode(message.payload());
    } catch (MalformedException e) {
      throw new IllegalStateException(message.text(), e);
    }
  }

  private static boolean readable(Layout<?> layout, Message message) {
    try {
      return layout.decode(message.payload()).getClass().isRecord();
    } catch (MalformedException e) {
      return false;
    }
  }

  private static Scenario scenario(Event... events) {
    Scenario s = Rehearsals.happening(BASE, List.of(events), 400);
    return new Scenario(
        s.title(),
        s.file(),
        s.siteFile(),
        s.site(),
        s.settings(),
        s.startMicros() + 12 * 3_600_000_000L,
        s.durationMicros(),
        s.seed(),
        new WeatherSource.Constant(500, 5),
        0.7,
        true,
        s.events(),
        s.expect(),
        s.waive(),
        s.traceStepS());
  }

  private static Event.Fault fault(
      FaultKind kind, String device, String signal, Map<String, Double> numbers, String as) {
    return new Event.Fault(
        Math.round(BEGINS_S * 1e6), kind, device, signal, numbers, as, Math.round(LASTS_S * 1e6));
  }

  private static Event.Fault fault(FaultKind kind, String device, Map<String, Double> numbers) {
    return fault(kind, device, "", numbers, "");
  }

  private static Event.Fault fault(FaultKind kind, String device) {
    return fault(kind, device, Map.of());
  }

  private static Event.Outage outage(double fromS, double forS) {
    return new Event.Outage(Math.round(fromS * 1e6), Math.round(forS * 1e6));
  }

  // Sensors.

  @Test
  void aDriftGrowsByTheHourAndIsGoneWithTheFault() {
    Ground g =
        new Ground(
            fault(
                FaultKind.SENSOR_DRIFT, "meter", "battery.voltage_V", Map.of("perHour", 36.0), ""));
    assertEquals(0, off(g.until(59.5)), 1e-3);
    // Telemetry of full seconds: 10 s at 36 V/h are 0.1 V.
    assertEquals(0.1, off(g.until(70.5)), 2e-3);
    assertEquals(0.3, off(g.until(90.5)), 2e-3);
    assertEquals(0, off(g.until(102.5)), 1e-3);
  }

  private static double off(Ground g) {
    return g.meter().batteryVoltageV() - g.plant().batteryTerminalV();
  }

  @Test
  void noiseScattersByItsDeviationAroundTheTruthAndIsItsSeedsOwn() {
    Event.Fault noise =
        fault(
            FaultKind.SENSOR_NOISE, "meter", "battery.temperature_C", Map.of("deviation", 2.0), "");
    Ground g = new Ground(noise);
    List<Double> readings = new ArrayList<>();
    for (int s = 61; s < 100; s++) {
      g.until(s + 0.5);
      readings.add(g.meter().batteryTemperatureC() - g.plant().batteryTemperatureC());
    }
    double mean = readings.stream().mapToDouble(r -> r).average().orElseThrow();
    double deviation =
        Math.sqrt(
            readings.stream().mapToDouble(r -> (r - mean) * (r - mean)).average().orElseThrow());
    // Of 39 normal readings the mean is within 3·2/√39 and the deviation within about a third.
    assertEquals(0, mean, 0.97);
    assertEquals(2, deviation, 0.7);
    g.until(102.5);
    assertEquals(g.plant().batteryTemperatureC(), g.meter().batteryTemperatureC(), 0.01);
    assertNotEquals(
        new FaultSeeds(7).next(noise),
        new FaultSeeds(8).next(noise),
        "another run's noise is another");
    FaultSeeds seeds = new FaultSeeds(7);
    assertNotEquals(seeds.next(noise), seeds.next(noise), "two of one run are two");
  }

  @Test
  void aNumberThatIsNoneMakesTheWholeMessageUnreadable() {
    Ground g =
        new Ground(fault(FaultKind.SENSOR_NOT_FINITE, "regulator", "pv.power_W", Map.of(), ""));
    g.until(150);
    List<Message> during = g.on(Device.REGULATOR, Kind.TELEMETRY, 60.5, 99.5);
    assertTrue(during.size() >= 39);
    assertTrue(during.stream().allMatch(m -> m.text().contains("\"pvPowerW\":nan")));
    assertTrue(during.stream().noneMatch(m -> readable(RegulatorTelemetry.LAYOUT, m)));
    assertTrue(
        g.on(Device.REGULATOR, Kind.TELEMETRY, 100.5, 150).stream()
            .allMatch(m -> readable(RegulatorTelemetry.LAYOUT, m)));
  }

  @Test
  void aSlipOfTheUnitTellsAThousandthOrAThousandfold() {
    for (String way : FaultKind.SENSOR_UNIT_SLIP.claims()) {
      double factor = way.equals("thousandfold") ? 1000 : 0.001;
      Ground g =
          new Ground(fault(FaultKind.SENSOR_UNIT_SLIP, "meter", "critical.power_W", Map.of(), way));
      g.until(80.5);
      assertEquals(factor * g.plant().criticalPowerW(), g.meter().criticalPowerW(), factor + 0.06);
      g.until(102.5);
      assertEquals(g.plant().criticalPowerW(), g.meter().criticalPowerW(), 1);
    }
  }

  @Test
  void aShuntTheWrongWayRoundTellsTheOppositeCurrent() {
    Ground g =
        new Ground(fault(FaultKind.SENSOR_REVERSED, "meter", "battery.current_A", Map.of(), ""));
    g.until(80.5);
    assertTrue(Math.abs(g.plant().batteryCurrentA()) > 1, "else it would show nothing");
    assertEquals(-g.plant().batteryCurrentA(), g.meter().batteryCurrentA(), 0.2);
    g.until(102.5);
    assertEquals(g.plant().batteryCurrentA(), g.meter().batteryCurrentA(), 0.2);
  }

  // Links and broker.

  @Test
  void aDelayHoldsEachMessageUpByItsTime() {
    Ground g = new Ground(fault(FaultKind.LINK_DELAY, "meter", Map.of("by", 0.7))).until(150);
    assertEquals(0.001, ageS(g, 30, 59), 1e-9);
    assertEquals(0.701, ageS(g, 61, 99), 1e-9);
    assertEquals(0.001, ageS(g, 103, 150), 1e-9);
  }

  /** The largest age of the meter's telemetry at the broker, s. */
  private static double ageS(Ground g, double fromS, double toS) {
    return g.heard.stream()
        .filter(h -> h.seconds() > fromS && h.seconds() < toS)
        .filter(h -> h.message().topic().equals(TOPICS.of(Device.METER, Kind.TELEMETRY)))
        .mapToDouble(
            h -> h.seconds() - (decoded(MeterTelemetry.LAYOUT, h.message()).at() - g.start) / 1e6)
        .max()
        .orElseThrow();
  }

  @Test
  void jitterHoldsUpByTimesUpToItsLongestAndKeepsTheOrder() {
    Ground g = new Ground(fault(FaultKind.LINK_JITTER, "meter", Map.of("upTo", 0.7))).until(150);
    double worst = ageS(g, 61, 99);
    assertTrue(worst > 0.3 && worst <= 0.701 + 1e-9, "worst " + worst);
    assertEquals(0.001, ageS(g, 103, 150), 1e-9);
    assertTrue(ordered(g));
  }

  private static boolean ordered(Ground g) {
    long before = -1;
    for (Message m : g.on(Device.METER, Kind.TELEMETRY, 0, 1e9)) {
      long seq = decoded(MeterTelemetry.LAYOUT, m).seq();
      if (seq < before) {
        return false;
      }
      before = seq;
    }
    return true;
  }

  @Test
  void reorderingLetsLaterMessagesOvertake() {
    Ground g =
        new Ground(fault(FaultKind.LINK_REORDER, "meter", Map.of("share", 0.5, "by", 1.5)))
            .until(150);
    assertFalse(ordered(g));
    assertEquals(0.001, ageS(g, 103, 150), 1e-9);
  }

  @Test
  void lossAndDuplicatesTakeAndGiveTheirShare() {
    int healthy = told(new Ground().until(150));
    int lossy =
        told(new Ground(fault(FaultKind.LINK_LOSS, "meter", Map.of("share", 0.5))).until(150));
    int dead =
        told(new Ground(fault(FaultKind.LINK_LOSS, "meter", Map.of("share", 1.0))).until(150));
    int twice =
        told(new Ground(fault(FaultKind.LINK_DUPLICATE, "meter", Map.of("share", 1.0))).until(150));
    assertEquals(0, dead, "all of it is lost");
    assertTrue(lossy > healthy / 5 && lossy < healthy * 4 / 5, lossy + " of " + healthy);
    assertEquals(2.0, twice / (double) healthy, 0.1);
  }

  private static int told(Ground g) {
    assertTrue(g.on(Device.METER, Kind.TELEMETRY, 101.5, 150).size() >= 48, "its end heals it");
    return g.on(Device.METER, Kind.TELEMETRY, 60.5, 99.5).size();
  }

  @Test
  void damageMakesMostMessagesUnreadable() {
    Ground g = new Ground(fault(FaultKind.LINK_CORRUPT, "meter", Map.of("share", 1.0))).until(150);
    List<Message> during = g.on(Device.METER, Kind.TELEMETRY, 60.5, 99.5);
    long bad = during.stream().filter(m -> !readable(MeterTelemetry.LAYOUT, m)).count();
    assertTrue(bad * 2 > during.size(), bad + " of " + during.size());
    assertTrue(
        g.on(Device.METER, Kind.TELEMETRY, 100.5, 150).stream()
            .allMatch(m -> readable(MeterTelemetry.LAYOUT, m)));
  }

  @Test
  void severalFaultsOfOneLinkAddUp() {
    Ground g =
        new Ground(
                fault(FaultKind.LINK_DELAY, "meter", Map.of("by", 0.3)),
                new Event.Fault(
                    70_000_000,
                    FaultKind.LINK_DELAY,
                    "meter",
                    "",
                    Map.of("by", 0.4),
                    "",
                    60_000_000))
            .until(150);
    assertEquals(0.301, ageS(g, 61, 70), 1e-9);
    assertEquals(0.701, ageS(g, 71, 100), 1e-9);
    assertEquals(0.401, ageS(g, 102, 129), 1e-9);
    assertEquals(0.001, ageS(g, 133, 150), 1e-9);
  }

  @Test
  void anOldRetainedMessageComesBackAndStandsUntilTheDeviceSpeaks() {
    Ground g = new Ground(fault(FaultKind.STALE_RETAINED, "tie", "", Map.of(), "online")).until(61);
    List<Message> told = g.on(Device.TIE, Kind.ONLINE, 59, 61);
    Online online = decoded(Online.LAYOUT, told.get(0));
    assertFalse(online.online());
    assertEquals(BEGINS_S - 3600, (online.at() - g.start) / 1e6, 0.1);
    assertTrue(told.get(0).retain());
    Ground s = new Ground(fault(FaultKind.STALE_RETAINED, "tie", "", Map.of(), "state")).until(61);
    assertTrue(s.on(Device.TIE, Kind.STATE, 59, 61).get(0).text().contains("\"state\":\"OFF\""));
  }

  @Test
  void aFloodBringsSoManyMessagesASecondAndStops() {
    Ground g = new Ground(fault(FaultKind.LINK_FLOOD, "tie", Map.of("perSecond", 50.0))).until(150);
    Predicate<Message> junk = m -> !readable(TieTelemetry.LAYOUT, m);
    long telemetry = g.on(Device.TIE, Kind.TELEMETRY, 60, 100).stream().filter(junk).count();
    long commands =
        g.on(Device.TIE, Kind.COMMAND, 60, 100).stream()
            .filter(m -> m.text().startsWith("no message"))
            .count();
    assertTrue(Math.abs(telemetry + commands - 40 * 50) <= 2, telemetry + " and " + commands);
    assertTrue(Math.abs(telemetry - commands) <= 1, telemetry + " and " + commands);
    assertEquals(0, g.on(Device.TIE, Kind.TELEMETRY, 100.1, 150).stream().filter(junk).count());
  }

  @Test
  void aBrokerThatRestartsDropsEveryLinkAndForgetsOnlyWhenItIsToldTo() {
    for (String way : FaultKind.BROKER_RESTART.claims()) {
      Ground g =
          new Ground(fault(FaultKind.BROKER_RESTART, "broker", "", Map.of("down", 5.0), way));
      g.until(64.9);
      assertEquals(List.of(), g.on(Device.METER, Kind.TELEMETRY, 60.1, 65));
      g.until(80);
      assertTrue(g.on(Device.METER, Kind.TELEMETRY, 67, 80).size() >= 12, "they come back");
      assertTrue(g.on(Device.SUPERVISOR, Kind.TELEMETRY, 67, 80).size() >= 2);
    }
  }

  // Actuators.

  @Test
  void aSluggishTieTakesLonger() {
    Event.Fault slow = fault(FaultKind.TIE_SLOW, "tie", Map.of("factor", 100.0));
    // The demo's tie moves in 8 ms, and knows of the loss after 4 ms.
    assertTrue(opens(70) < 0.02);
    assertEquals(0.804, opens(70, slow), 0.02);
    assertTrue(opens(110, slow) < 0.05, "its end heals it");
  }

  /** How long after an outage at this instant the contact parts, s. */
  private static double opens(double atS, Event... more) {
    List<Event> events = new ArrayList<>(List.of(more));
    events.add(outage(atS, 20));
    Ground g = new Ground(events.toArray(new Event[0])).until(atS);
    for (int ms = 0; ms < 5_000; ms++) {
      if (!g.until(atS + ms / 1e3).plant().tieClosed()) {
        return ms / 1e3;
      }
    }
    return 5;
  }

  @Test
  void anInverterTripsOnceOrStaysLockedUntilTheFaultEnds() {
    Ground once =
        new Ground(
            outage(20, 300), fault(FaultKind.INVERTER_TRIPS, "inverter", "", Map.of(), "once"));
    assertEquals(InverterState.FORMING, once.until(59.9).plant().inverterState());
    assertEquals(InverterState.OFF, once.until(60.2).plant().inverterState());
    assertEquals(InverterState.FORMING, once.until(98).plant().inverterState());
    Ground locked =
        new Ground(
            outage(20, 300), fault(FaultKind.INVERTER_TRIPS, "inverter", "", Map.of(), "locked"));
    assertEquals(InverterState.OFF, locked.until(99.9).plant().inverterState());
    assertEquals(InverterState.FORMING, locked.until(180).plant().inverterState());
  }

  @Test
  void aDeratedInverterHasAShareOfItsRating() {
    Ground g = new Ground(fault(FaultKind.INVERTER_DERATED, "inverter", Map.of("share", 0.25)));
    double rated = BASE.site().inverter().ratedW();
    assertEquals(rated, g.until(59).plant().inverterRatingW(), 1e-9);
    assertEquals(0.25 * rated, g.until(80).plant().inverterRatingW(), 1e-9);
    assertEquals(rated, g.until(101).plant().inverterRatingW(), 1e-9);
  }

  // Battery.

  @Test
  void aShortedCellTakesItsVoltageAndNothingElse() {
    Ground g = new Ground(fault(FaultKind.CELL_SHORTED, "battery"));
    double cells = BASE.site().battery().cells();
    double resting = g.until(59.9).plant().batteryRestingV();
    double soc = g.plant().batterySoc();
    assertEquals(resting * (cells - 1) / cells, g.until(60.1).plant().batteryRestingV(), 0.01);
    assertEquals(soc, g.plant().batterySoc(), 1e-4);
    assertEquals(resting, g.until(100.1).plant().batteryRestingV(), 0.05);
  }

  @Test
  void lostCapacityIsLostForGoodWithWhatItHeld() {
    Ground g = new Ground(fault(FaultKind.CAPACITY_LOST, "battery", Map.of("share", 0.4)));
    double joules = g.until(59.99).plant().storedJ();
    double soc = g.plant().batterySoc();
    g.until(60.01);
    assertEquals(0.6 * joules, g.plant().storedJ(), 0.001 * joules);
    assertEquals(soc, g.plant().batterySoc(), 1e-4);
    assertEquals(0.4, g.plant().batteryFade(), 1e-4);
    assertEquals(0.4, g.until(110).plant().batteryFade(), 1e-4);
  }

  /** By Ohm's law the voltage falls by the current times what the resistance has grown. */
  @Test
  void aHighResistanceMultipliesTheDropUnderLoad() {
    Event out = outage(20, 300);
    Ground half =
        new Ground(out, fault(FaultKind.RESISTANCE_HIGH, "battery", Map.of("factor", 1.5)));
    Ground twice =
        new Ground(out, fault(FaultKind.RESISTANCE_HIGH, "battery", Map.of("factor", 2.0)));
    double fall = jumpV(half, BEGINS_S);
    assertTrue(Math.abs(fall) > 0.05, "a drop needs a current");
    assertEquals(2, jumpV(twice, BEGINS_S) / fall, 0.2);
    assertEquals(-1, jumpV(half, BEGINS_S + LASTS_S) / fall, 0.2);
  }

  private static double jumpV(Ground g, double atS) {
    double before = g.until(atS - 0.1).plant().batteryTerminalV();
    return g.until(atS + 0.1).plant().batteryTerminalV() - before;
  }

  @Test
  void anOpenContactorIsToldByItsContactAndADisconnectIsNot() {
    Ground contactor = new Ground(fault(FaultKind.BATTERY_CONTACTOR_OPEN, "battery"));
    assertNotEquals(0, contactor.until(59).plant().batteryCurrentA());
    assertEquals(0, contactor.until(80.5).plant().batteryCurrentA(), 1e-6);
    assertEquals(BatteryPath.OPEN, contactor.meter().batteryPath());
    contactor.until(102.5);
    assertEquals(BatteryPath.CLOSED, contactor.meter().batteryPath());
    Ground disconnect = new Ground(fault(FaultKind.DISCONNECT_LEFT_OPEN, "battery"));
    assertEquals(0, disconnect.until(80.5).plant().batteryCurrentA(), 1e-6);
    assertEquals(BatteryPath.CLOSED, disconnect.meter().batteryPath());
    assertTrue(disconnect.plant().batteryCutOff());
    assertFalse(disconnect.until(101).plant().batteryCutOff());
  }

  @Test
  void aLostProbeReadsZeroOnAllDevices() {
    Ground g = new Ground(fault(FaultKind.BATTERY_TEMPERATURE_LOST, "battery"));
    g.until(80.5);
    assertEquals(0, g.meter().batteryTemperatureC());
    assertEquals(0, g.regulator().batteryTemperatureC());
    g.until(102.5);
    assertEquals(g.plant().batteryTemperatureC(), g.meter().batteryTemperatureC(), 0.01);
  }

  // Supervisor.

  @Test
  void aSupervisorThatCrashesIsGoneUntilTheFaultEnds() {
    Ground g = new Ground(fault(FaultKind.SUPERVISOR_CRASH, "supervisor")).until(150);
    assertEquals(List.of(), g.on(Device.SUPERVISOR, Kind.TELEMETRY, 60.1, 100));
    assertFalse(
        decoded(Online.LAYOUT, g.on(Device.SUPERVISOR, Kind.ONLINE, 60, 61).get(0)).online(),
        "its last will tells");
    assertEquals(Mode.GRID_PRESENT, lastTold(g).mode());
  }

  private static SupervisorTelemetry lastTold(Ground g) {
    return g.last(Device.SUPERVISOR, SupervisorTelemetry.LAYOUT);
  }

  @Test
  void aRestartedSupervisorRemembersThePadlockAndTheWishToStayIslanded() {
    Event[] events = {
      new Event.Operator(30_000_000, Event.Action.ISLAND_REQUEST, ""),
      fault(FaultKind.SUPERVISOR_RESTART, "supervisor", Map.of("down", 3.0))
    };
    Ground g = new Ground(events);
    assertEquals(Mode.ISLANDED, lastTold(g.until(59)).mode());
    assertEquals(List.of(), g.until(63).on(Device.SUPERVISOR, Kind.TELEMETRY, 60.1, 62.9));
    // Without the note it would go back after the site's five minutes.
    assertEquals(Mode.ISLANDED, lastTold(g.until(399)).mode());
  }

  @Test
  void aTruncatedJournalForgetsTheNewestWishOnly() {
    Event[] events = {
      new Event.Operator(10_000_000, Event.Action.HOLD, "crew"),
      new Event.Operator(50_000_000, Event.Action.OVERRIDE, "CHARGE_OFF", 3_600_000_000L),
      fault(FaultKind.JOURNAL_TRUNCATED, "supervisor", Map.of("down", 3.0, "lost", 20.0))
    };
    Ground truncated = new Ground(events).until(120);
    assertEquals("", lastTold(truncated).overrides());
    events[2] = fault(FaultKind.SUPERVISOR_RESTART, "supervisor", Map.of("down", 3.0));
    assertTrue(lastTold(new Ground(events).until(120)).overrides().contains("CHARGE_OFF"));
    assertTrue(
        truncated.on(Device.TIE, Kind.COMMAND, 63, 120).stream()
            .anyMatch(m -> m.text().contains("HOLD") && m.text().contains("crew")),
        "the older note stands");
  }

  @Test
  void aSecondSupervisorListensAndSaysNothing() {
    Ground alone = new Ground().until(150);
    Ground two = new Ground(fault(FaultKind.SECOND_SUPERVISOR, "supervisor")).until(150);
    assertEquals(texts(alone), texts(two));
  }

  private static List<String> texts(Ground g) {
    return g.heard.stream().map(h -> h.from() + ' ' + h.message().text()).toList();
  }

  @Test
  void aClockThatJumpsIsNotFollowedAsLongAsTheDevicesBelieIt() {
    for (double by : List.of(-600.0, -5.0, 5.0, 600.0)) {
      Ground g =
          new Ground(fault(FaultKind.SUPERVISOR_CLOCK_STEP, "supervisor", Map.of("by", by)))
              .until(150);
      List<Message> told = g.on(Device.SUPERVISOR, Kind.TELEMETRY, 61, 99);
      assertTrue(told.size() >= 15, by + " s: " + told.size() + " heartbeats");
      SupervisorTelemetry first = decoded(SupervisorTelemetry.LAYOUT, told.get(0));
      assertEquals(61, (first.at() - g.start) / 1e6, 2);
      assertTrue(
          g.on(Device.INVERTER, Kind.ACK, 61, 99).stream()
              .allMatch(m -> m.text().contains("ACCEPTED")));
      assertEquals(List.of(), g.on(Device.SUPERVISOR, Kind.ALARM, 60, 150));
      List<Message> events = g.on(Device.SUPERVISOR, Kind.EVENT, 60, 61);
      assertTrue(events.stream().anyMatch(m -> m.text().contains("has jumped")), "it is told");
    }
  }

  @Test
  void aSupervisorThatStartsWithAWrongClockDatesCommandsWronglyUntilItIsSetRight() {
    for (double by : List.of(-600.0, 600.0)) {
      Ground g =
          new Ground(
                  fault(FaultKind.SUPERVISOR_CLOCK_STEP, "supervisor", Map.of("by", by)),
                  fault(FaultKind.SUPERVISOR_RESTART, "supervisor", Map.of("down", 1.0)))
              .until(150);
      List<Message> told = g.on(Device.SUPERVISOR, Kind.TELEMETRY, 65, 99);
      assertTrue(told.size() >= 15, by + " s: " + told.size() + " heartbeats");
      SupervisorTelemetry first = decoded(SupervisorTelemetry.LAYOUT, told.get(0));
      assertEquals(65 + by, (first.at() - g.start) / 1e6, 4);
      assertTrue(
          g.on(Device.INVERTER, Kind.ACK, 65, 99).stream()
              .noneMatch(m -> m.text().contains("ACCEPTED")),
          "no device obeys what is dated wrongly");
      assertTrue(
          g.on(Device.INVERTER, Kind.ACK, 105, 150).stream()
              .anyMatch(m -> m.text().contains("ACCEPTED")),
          "the devices bear out that it is right again");
      assertTrue(
          g.on(Device.SUPERVISOR, Kind.ALARM, 60, 100).stream()
              .anyMatch(m -> m.text().contains("COMMAND_REFUSED")));
    }
  }

  // Operator.

  @Test
  void aVoltageEnteredAtTheUnitCountsMoreThanTheOrder() {
    Ground g =
        new Ground(
            fault(FaultKind.VOLTAGE_SET_BY_HAND, "regulator", Map.of("volts", 50.5)),
            new Event.Fault(
                60_000_000,
                FaultKind.CURRENT_SET_BY_HAND,
                "regulator",
                "",
                Map.of("amperes", 3.0),
                "",
                40_000_000));
    double ordered = g.until(59.5).regulator().voltageSetV();
    assertEquals(50.5, g.until(80.5).regulator().voltageSetV(), 1e-3);
    assertEquals(3, g.regulator().currentLimitA(), 1e-3);
    assertEquals(ordered, g.until(102.5).regulator().voltageSetV(), 0.5);
    assertTrue(g.regulator().stage() != ChargeStage.OFF);
    Ground high =
        new Ground(fault(FaultKind.VOLTAGE_SET_BY_HAND, "regulator", Map.of("volts", 900.0)));
    assertEquals(
        BASE.site().battery().limits().maximumV(),
        high.until(80.5).regulator().voltageSetV(),
        1e-3,
        "a unit keeps below its own highest");
  }

  @Test
  void aForgottenOverrideIsToldAsLongAsItStands() {
    for (String way : FaultKind.OVERRIDE_LEFT_ON.claims()) {
      Ground g = new Ground(fault(FaultKind.OVERRIDE_LEFT_ON, "supervisor", "", Map.of(), way));
      g.until(80);
      assertTrue(
          lastTold(g)
              .overrides()
              .contains(way.toUpperCase(java.util.Locale.ROOT).replace('-', '_')));
      assertEquals("", lastTold(g.until(110)).overrides());
    }
  }

  @Test
  void disconnectsLeftOpenTakeTheArrayOrTheUtilityAway() {
    Ground pv = new Ground(fault(FaultKind.DISCONNECT_LEFT_OPEN, "pv"));
    assertTrue(pv.until(59).plant().pvPowerW() > 100);
    assertEquals(0, pv.until(80).plant().pvPowerW());
    assertTrue(pv.plant().pvAvailableW() > 100, "the sun is there");
    assertTrue(pv.until(104).plant().pvPowerW() > 100);
    Ground tie = new Ground(fault(FaultKind.DISCONNECT_LEFT_OPEN, "tie"));
    tie.until(80.5);
    assertEquals(0, tie.tie().utilityVoltagePu());
    assertTrue(tie.meter().utilityVoltagePu() > 0.9, "the main panel is live");
    assertFalse(tie.plant().tieClosed());
    assertEquals(1, tie.plant().criticalVoltagePu(), 0.05, "the island lives");
    assertTrue(tie.until(102.5).tie().utilityVoltagePu() > 0.9);
  }

  // All.

  static Stream<FaultKind> kinds() {
    return Stream.of(FaultKind.values());
  }

  @ParameterizedTest
  @MethodSource("kinds")
  void everyKindSaysWhatItDoesWhatToDoAndWhatIsOwed(FaultKind kind) {
    assertFalse(kind.targets().isEmpty());
    assertFalse(kind.effect().isBlank() || kind.duty().isBlank());
    assertTrue(kind.duty().endsWith("."), kind.duty());
    assertFalse(kind.owed().reason().isBlank());
    assertEquals(kind.owed().any(), !kind.owed().alarms().isEmpty());
    assertEquals(kind.owed().any(), kind.owed().withinS() > 0);
    assertTrue(kind.parameters().stream().allMatch(p -> p.minimum() < p.maximum()));
    assertTrue(Stream.of(FaultFamily.values()).anyMatch(f -> f == kind.family()));
  }

  /** The same case twice is the same run, whatever chance is in it. */
  @Test
  void chanceIsSeeded() {
    Event[] events = {
      fault(FaultKind.LINK_LOSS, "meter", Map.of("share", 0.3)),
      fault(FaultKind.LINK_CORRUPT, "inverter", Map.of("share", 0.3)),
      fault(FaultKind.LINK_JITTER, "tie", Map.of("upTo", 0.5)),
      fault(FaultKind.SENSOR_NOISE, "meter", "battery.current_A", Map.of("deviation", 3.0), "")
    };
    assertEquals(texts(new Ground(events).until(120)), texts(new Ground(events).until(120)));
  }

  @Test
  void aFaultOfThePresentMomentIsTakenAsAScenarioHasIt() {
    Ground g = new Ground().until(30);
    g.stage.takeFault(
        "{ \"fault\": { \"kind\": \"link-delay\", \"device\": \"meter\", \"by\": 0.7 }, \"for\": \"PT20S\" }");
    g.until(100);
    assertEquals(0.701, ageS(g, 31, 49), 1e-9);
    assertEquals(0.001, ageS(g, 53, 100), 1e-9);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      textBlock =
          """
          { fault: { kind: tie-melted } } | found "tie-melted"
          { fault: { kind: link-loss, device: tie, share: 1.5 } } | from 0 to 1
          { fault: { kind: link-loss, device: tie } } | share
          { fault: { kind: tie-slow, factor: 2, by: 3 } } | unknown field
          { fault: { kind: voltage-set-by-hand, device: charger, volts: 50 } } | found "charger"
          { fault: { kind: stale-retained, device: tie, as: will } } | one of state, online
          { fault: { kind: tie-welded }, at: PT1H } | unknown field
          { outage: PT1H } | as under a scenario's events
          no fault at all | fields with values
          """)
  void whatIsWrongWithAFaultOfThePresentMomentIsToldAndBreaksNothing(String text, String sentence) {
    Ground g = new Ground();
    List<String> told = new ArrayList<>();
    g.stage.judges().listen(row -> told.add(row.kind() + ' ' + row.reason()));
    g.until(30).stage.takeFault(text);
    g.until(60);
    assertTrue(
        told.stream().anyMatch(t -> t.startsWith("refused ") && t.contains(sentence)),
        told.toString());
    assertTrue(g.plant().tieClosed());
  }

  @Test
  void aFaultOfAPartThatIsNotThereIsRefused() {
    Event.Fault none = fault(FaultKind.VOLTAGE_SET_BY_HAND, "charger", Map.of("volts", 50.0));
    Ground g = new Ground(none);
    assertThrows(IllegalArgumentException.class, () -> g.until(61));
  }
}
