package islet.control;

import static islet.control.Phase.CARRY;
import static islet.control.Phase.CLOSE_ON_DEAD_PANEL;
import static islet.control.Phase.CLOSE_TIE;
import static islet.control.Phase.CONNECTED;
import static islet.control.Phase.FORM;
import static islet.control.Phase.LISTEN;
import static islet.control.Phase.OPEN_TIE;
import static islet.control.Phase.SYNCHRONISE;
import static islet.control.Phase.UNLOAD_TIE;
import static islet.control.Phase.UNSUPPLIED;
import static islet.control.Phase.WAIT_FOR_PERSON;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.InverterState;
import islet.contract.OperatorOrder;
import islet.site.Site;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Consumer;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Every line of the mode machine is taken by the real supervisor on telemetry alone, and leads
 * where it says. Judged by what the devices report in each story; a line without a story fails.
 */
class ModeTableTest {

  /** Short time-outs for the switch, so that the stories are short. */
  private static final Site SITE =
      Sites.demo("supervision.timeouts.open", "200 ms", "supervision.timeouts.close", "200 ms");

  /** Stories by "FROM: on"; the last scan of each takes the line. */
  private static final Map<String, Consumer<FakeSite>> STORIES = new TreeMap<>();

  /** The switch has been moved by hand to an inverter that does not run yet. */
  private static void handOnInverter(FakeSite s) {
    s.batteryV = 25;
    s.utilityPu = 0;
    s.inverter = InverterState.OFF;
    s.inverterObeys = false;
    s.until(UNSUPPLIED, 1);
    s.tieClosed = false;
    s.tieOrderedClosed = false;
    s.until(FORM, 1);
  }

  private static void story(Phase from, String on, Consumer<FakeSite> story) {
    STORIES.put(from + ": " + on, story);
  }

  static {
    story(
        LISTEN,
        "the reports contradict each other",
        s -> {
          s.inverter = InverterState.FORMING;
          s.until(WAIT_FOR_PERSON, 1);
        });
    story(
        LISTEN,
        "the devices report: tie open, inverter carries the panel",
        s -> {
          s.tieClosed = false;
          s.inverter = InverterState.FORMING;
          s.until(CARRY, 1);
        });
    story(LISTEN, "the devices report: tie closed, utility present", s -> s.until(CONNECTED, 1));
    story(
        LISTEN,
        "the devices report: tie closed, utility gone",
        s -> {
          s.utilityPu = 0;
          s.until(OPEN_TIE, 1);
        });
    story(
        LISTEN,
        "inverter silent, panel found live behind the open tie",
        s -> {
          s.tieClosed = false;
          s.utilityPu = 0;
          s.inverter = InverterState.FORMING;
          s.inverterSilent = true;
          s.seconds(15);
          assertEquals(LISTEN, s.phase());
          s.until(CARRY, 0.3);
        });
    story(
        LISTEN,
        "the devices report: tie open, panel dead",
        s -> {
          s.tieClosed = false;
          s.utilityPu = 0;
          s.inverter = InverterState.OFF;
          s.until(UNSUPPLIED, 1);
        });
    story(
        LISTEN,
        "tie says closed, but its two sides differ",
        s -> {
          s.auxiliaryLies = true;
          s.tieClosed = false;
          s.inverter = InverterState.OFF;
          s.until(WAIT_FOR_PERSON, 1.3);
        });
    story(
        CONNECTED,
        "no valid battery voltage",
        s -> {
          s.connected().seconds(40);
          s.batteryV = 0;
          s.until(WAIT_FOR_PERSON, 6);
        });
    story(
        CONNECTED,
        "tie says closed, but its two sides differ",
        s -> {
          s.connected().auxiliaryLies = true;
          s.tieObeys = false;
          s.tieClosed = false;
          s.inverterObeys = false;
          s.inverter = InverterState.OFF;
          s.until(WAIT_FOR_PERSON, 1.3);
        });
    story(
        CONNECTED,
        "tie closed, inverter forms",
        s -> {
          s.connected().seconds(1);
          s.inverterObeys = false;
          s.inverter = InverterState.FORMING;
          s.until(OPEN_TIE, 0.2);
        });
    story(
        CONNECTED,
        "tie opened by its own protection: utility lost",
        s -> {
          s.connected();
          s.tieClosed = false;
          s.until(OPEN_TIE, 0.2);
        });
    story(
        CONNECTED,
        "utility lost",
        s -> {
          s.connected();
          s.utilityPu = 0;
          s.until(OPEN_TIE, 0.2);
        });
    story(
        LISTEN,
        "changeover by hand stands on a dead utility",
        s -> {
          s.batteryV = 25;
          s.utilityPu = 0;
          s.until(UNSUPPLIED, 1);
        });
    story(
        CONNECTED,
        "utility lost behind a changeover by hand",
        s -> {
          s.batteryV = 25;
          s.connected().utilityPu = 0;
          s.until(UNSUPPLIED, 0.2);
        });
    story(
        FORM,
        "changeover by hand moved to a dead utility",
        s -> {
          handOnInverter(s);
          s.tieClosed = true;
          s.until(UNSUPPLIED, 0.3);
        });
    story(
        CARRY,
        "changeover by hand moved to a dead utility",
        s -> {
          handOnInverter(s);
          s.inverter = InverterState.FORMING;
          s.until(CARRY, 1);
          s.tieClosed = true;
          s.until(UNSUPPLIED, 0.3);
        });
    story(
        FORM,
        "changeover switch moved to the utility",
        s -> {
          s.connected().inverterObeys = false;
          s.inverter = InverterState.OFF;
          s.utilityPu = 0;
          s.until(FORM, 1);
          s.tieObeys = false;
          s.utilityPu = 1;
          s.tieClosed = true;
          s.until(CONNECTED, 0.3);
        });
    story(
        CARRY,
        "changeover switch moved to the utility",
        s -> {
          s.islanded();
          s.tieObeys = false;
          s.utilityPu = 1;
          s.tieClosed = true;
          s.until(CONNECTED, 0.3);
        });
    story(
        CONNECTED,
        "battery preferred, and charged enough",
        s -> {
          s.batteryV = 50.9; // rests at about full
          s.connected().until(OPEN_TIE, 1);
        });
    story(
        CARRY,
        "battery preferred, but down to the reserve; utility qualified",
        s -> {
          s.batteryV = 50.9;
          s.until(CARRY, 5);
          s.seconds(305);
          assertEquals(CARRY, s.phase());
          // 300 A for an hour take the count of the 400 Ah bank to its reserve and not beyond.
          s.currentA = -300;
          s.until(SYNCHRONISE, 3600);
        });
    story(
        CONNECTED,
        "operator asks to leave the utility, and the inverter can take the panel's power first",
        FakeSite::unloading);
    story(
        CONNECTED,
        "operator asks to leave the utility",
        s -> {
          // Just back from an island: until the ramp is over the inverter may not feed so much.
          s.synchronising().until(CONNECTED, 10);
          s.ask(OperatorOrder.ISLAND, "");
          s.until(OPEN_TIE, 0.2);
        });
    story(
        UNLOAD_TIE,
        "tie opened by its own protection: utility lost",
        s -> {
          s.unloading().tieClosed = false;
          s.until(OPEN_TIE, 0.2);
        });
    story(
        UNLOAD_TIE,
        "utility lost",
        s -> {
          s.unloading().utilityPu = 0;
          s.until(OPEN_TIE, 0.2);
        });
    story(
        UNLOAD_TIE,
        "request taken back, or the battery or inverter no longer able",
        s -> {
          s.unloading().ask(OperatorOrder.RECONNECT, "");
          s.until(CONNECTED, 0.2);
        });
    story(
        UNLOAD_TIE,
        "tie carries no power",
        s -> {
          s.unloading().seconds(2);
          assertEquals(UNLOAD_TIE, s.phase());
          assertEquals(900, s.out.feedLimitW);
          s.acPowerW = 850;
          s.until(OPEN_TIE, 1.2);
        });
    story(
        UNLOAD_TIE,
        "tie not unloaded in time: it opens under load",
        s -> {
          s.unloading().seconds(9.8);
          assertEquals(UNLOAD_TIE, s.phase());
          s.until(OPEN_TIE, 0.3);
        });
    story(
        OPEN_TIE,
        "tie proven open, battery at its floor",
        s -> {
          s.connected();
          s.drain();
          s.seconds(31);
          s.utilityPu = 0;
          s.until(UNSUPPLIED, 1);
        });
    story(
        OPEN_TIE,
        "tie proven open",
        s -> {
          s.connected();
          s.utilityPu = 0;
          s.until(FORM, 1);
        });
    story(
        OPEN_TIE,
        "tie open, but the utility side carries our voltage",
        s -> {
          // The contact lies: it says open, the inverter believes it and takes over, and the line
          // that was seen dead a scan ago lives at just our frequency and angle.
          s.connected();
          s.utilityPu = 0;
          s.tieObeys = false;
          s.until(OPEN_TIE, 0.2);
          s.tieClosed = false;
          s.inverterObeys = false;
          s.inverter = InverterState.FORMING;
          s.utilityPu = 1;
          s.utilityHz = s.islandHz;
          s.angleDeg = 0;
          s.until(WAIT_FOR_PERSON, 0.1);
        });
    story(
        OPEN_TIE,
        "tie silent, inverter carries the panel behind its wired interlock",
        s -> {
          s.connected().tieSilent = true;
          s.inverterObeys = false;
          s.inverter = InverterState.FORMING;
          s.tieClosed = false;
          s.utilityPu = 0;
          s.until(CARRY, 5);
        });
    story(
        OPEN_TIE,
        "tie not proven open in time",
        s -> {
          s.connected();
          s.utilityPu = 0;
          s.tieObeys = false;
          s.until(WAIT_FOR_PERSON, s.site.supervision().timeouts().openS() + 0.3);
        });
    story(
        FORM,
        "tie no longer open",
        s -> {
          s.connected();
          s.utilityPu = 0;
          s.inverterObeys = false;
          s.until(FORM, 1);
          s.tieClosed = true;
          s.until(OPEN_TIE, 0.1);
        });
    story(
        FORM,
        "tie says open, but the utility side carries our voltage",
        s -> {
          s.connected();
          s.utilityPu = 0;
          s.inverterObeys = false;
          s.until(FORM, 1);
          s.inverter = InverterState.FORMING;
          s.utilityPu = 1;
          s.utilityHz = s.islandHz;
          s.angleDeg = 0.5;
          s.until(WAIT_FOR_PERSON, 0.1);
        });
    story(
        FORM,
        "inverter carries the panel",
        s -> {
          s.connected();
          s.utilityPu = 0;
          s.until(CARRY, 1);
        });
    story(
        FORM,
        "inverter tripped",
        s -> {
          s.connected();
          s.utilityPu = 0;
          s.inverterObeys = false;
          s.until(FORM, 1);
          s.inverter = InverterState.FAULT;
          s.until(UNSUPPLIED, 0.1);
        });
    story(
        FORM,
        "inverter did not form in time",
        s -> {
          s.connected();
          s.utilityPu = 0;
          s.inverterObeys = false;
          s.until(FORM, 1);
          s.seconds(5);
          assertEquals(FORM, s.phase());
          s.until(UNSUPPLIED, 0.2);
        });
    story(
        CARRY,
        "tie found closed without an order",
        s -> {
          s.islanded().tieClosed = true;
          s.until(OPEN_TIE, 0.1);
        });
    story(
        CARRY,
        "tie says open, but the utility side carries our voltage",
        s -> {
          s.connected();
          s.utilityPu = 0;
          s.until(CARRY, 1);
          s.utilityPu = 1;
          s.utilityHz = s.islandHz;
          s.angleDeg = -1;
          s.inverterObeys = false;
          s.until(WAIT_FOR_PERSON, 0.1);
        });
    story(
        CARRY,
        "no valid battery voltage",
        s -> {
          s.islanded().seconds(30);
          s.batteryV = 20;
          s.until(WAIT_FOR_PERSON, 6);
        });
    story(
        CARRY,
        "battery at its floor",
        s -> {
          s.islanded().drain();
          s.seconds(29);
          assertEquals(CARRY, s.phase());
          s.until(UNSUPPLIED, 2);
        });
    story(
        CARRY,
        "inverter tripped",
        s -> {
          s.islanded().inverterObeys = false;
          s.inverter = InverterState.FAULT;
          s.until(UNSUPPLIED, 0.1);
        });
    story(
        CARRY,
        "inverter no longer forms",
        s -> {
          s.islanded().inverterObeys = false;
          s.inverter = InverterState.OFF;
          s.seconds(5);
          assertEquals(CARRY, s.phase());
          s.until(UNSUPPLIED, 0.2);
        });
    story(
        CARRY,
        "utility qualified",
        s -> {
          s.islanded().utilityPu = 1;
          s.seconds(300);
          assertEquals(CARRY, s.phase());
          s.until(SYNCHRONISE, 0.1);
        });
    story(
        SYNCHRONISE,
        "tie found closed without an order",
        s -> {
          s.synchronising().tieClosed = true;
          s.until(OPEN_TIE, 0.1);
        });
    story(
        SYNCHRONISE,
        "battery at its floor",
        s -> {
          s.islanded().inverterObeys = false;
          s.utilityPu = 1;
          s.seconds(280);
          s.drain();
          s.until(SYNCHRONISE, 25);
          s.until(UNSUPPLIED, 15);
        });
    story(
        SYNCHRONISE,
        "inverter tripped",
        s -> {
          s.synchronising().inverterObeys = false;
          s.inverter = InverterState.FAULT;
          s.until(UNSUPPLIED, 0.1);
        });
    story(
        SYNCHRONISE,
        "utility no longer qualified, or a hold or request to stay away",
        s -> {
          s.synchronising().ask(OperatorOrder.HOLD, "dockmaster");
          s.until(CARRY, 0.1);
        });
    story(SYNCHRONISE, "in step with the utility", s -> s.synchronising().until(CLOSE_TIE, 1));
    story(
        SYNCHRONISE,
        "not in step in time",
        s -> {
          s.islanded().inverterObeys = false;
          s.utilityPu = 1;
          s.until(SYNCHRONISE, 310);
          s.seconds(120);
          assertEquals(SYNCHRONISE, s.phase());
          s.until(CARRY, 0.2);
        });
    story(
        CLOSE_TIE,
        "tie closed, inverter follows",
        s -> {
          s.closing().tieClosed = true;
          s.inverter = InverterState.FOLLOWING;
          s.until(CONNECTED, 0.1);
        });
    story(
        CLOSE_TIE,
        "utility no longer qualified, tie still open",
        s -> {
          s.closing().utilityPu = 0.91;
          s.until(CARRY, 0.1);
        });
    story(
        CLOSE_TIE,
        "utility lost",
        s -> {
          s.closing().tieClosed = true;
          s.utilityPu = 0;
          s.until(OPEN_TIE, 0.1);
        });
    story(
        CLOSE_TIE,
        "no longer in step, tie still open",
        s -> {
          s.closing().inverterObeys = false;
          s.angleDeg = 120;
          s.until(SYNCHRONISE, 0.2);
        });
    story(
        CLOSE_TIE,
        "tie closed, inverter still forms",
        s -> {
          s.closing().tieClosed = true;
          s.inverterObeys = false;
          s.until(OPEN_TIE, s.site.supervision().timeouts().closeS() + 0.2);
        });
    story(
        CLOSE_TIE,
        "tie closed, inverter not heard of since",
        s -> {
          s.closing().tieClosed = true;
          s.inverterSilent = true;
          s.until(CONNECTED, s.site.supervision().timeouts().closeS() + 0.2);
        });
    story(
        CLOSE_TIE,
        "tie silent, but the utility carries the panel",
        s -> {
          s.closing().tieSilent = true;
          s.tieClosed = true;
          s.until(CONNECTED, 0.8);
        });
    story(
        CLOSE_TIE,
        "tie not closed in time",
        s -> s.closing().until(CARRY, s.site.supervision().timeouts().closeS() + 0.2));
    story(
        CLOSE_ON_DEAD_PANEL,
        "tie closed, utility carries the panels",
        s -> {
          s.closingOnDeadPanel().tieClosed = true;
          s.inverter = InverterState.OFF;
          s.until(CONNECTED, 0.1);
        });
    story(
        CLOSE_ON_DEAD_PANEL,
        "tie closed, inverter not heard of since",
        s -> {
          s.dark().inverterSilent = true;
          s.utilityPu = 1;
          s.tieObeys = false;
          s.until(CLOSE_ON_DEAD_PANEL, 310);
          s.tieClosed = true;
          s.until(CONNECTED, s.site.supervision().timeouts().closeS() + 0.2);
        });
    story(
        CLOSE_ON_DEAD_PANEL,
        "tie silent, but the utility carries the panel",
        s -> {
          s.closingOnDeadPanel().tieSilent = true;
          s.tieClosed = true;
          s.inverter = InverterState.OFF;
          s.until(CONNECTED, 0.8);
        });
    story(
        CLOSE_ON_DEAD_PANEL,
        "utility no longer qualified, or a hold",
        s -> {
          s.closingOnDeadPanel().ask(OperatorOrder.HOLD, "line crew");
          s.until(UNSUPPLIED, 0.1);
        });
    story(
        CLOSE_ON_DEAD_PANEL,
        "tie not closed in time",
        s ->
            s.closingOnDeadPanel()
                .until(UNSUPPLIED, s.site.supervision().timeouts().closeS() + 0.2));
    story(
        UNSUPPLIED,
        "tie says open, but the panel lives and nobody forms it",
        s -> {
          s.dark().utilityPu = 1;
          s.tieClosed = true;
          s.auxiliaryLies = true;
          s.tieObeys = false;
          s.until(WAIT_FOR_PERSON, 1.3);
        });
    story(
        UNSUPPLIED,
        "inverter silent, panel found live behind the open tie",
        s -> {
          s.dark().inverterSilent = true;
          s.inverter = InverterState.FORMING;
          s.until(CARRY, 4);
        });
    story(
        UNSUPPLIED,
        "tie says closed, but its two sides differ",
        s -> {
          s.dark().utilityPu = 1;
          s.auxiliaryLies = true;
          s.tieObeys = false;
          s.until(WAIT_FOR_PERSON, 1.3);
        });
    story(
        UNSUPPLIED,
        "tie found closed, utility present",
        s -> {
          s.dark().tieClosed = true;
          s.utilityPu = 1;
          s.until(CONNECTED, 0.1);
        });
    story(
        UNSUPPLIED,
        "tie found closed, utility gone",
        s -> {
          s.dark().tieClosed = true;
          s.until(OPEN_TIE, 0.1);
        });
    story(UNSUPPLIED, "utility qualified, panel dead", FakeSite::closingOnDeadPanel);
    story(
        UNSUPPLIED,
        "battery recovered, tie proven open: black start",
        s -> {
          s.dark().inverterObeys = true;
          s.until(FORM, 61);
        });
    story(
        WAIT_FOR_PERSON,
        "operator resets",
        s -> {
          s.inverter = InverterState.FORMING;
          s.until(WAIT_FOR_PERSON, 1);
          s.ask(OperatorOrder.RESET, "");
          s.until(LISTEN, 0.2);
        });
  }

  private static final Site TWO_PANEL = Sites.demo();

  /** Moved by a person only. */
  private static final Site BY_HAND = Sites.named("boat-shed");

  /** Moves by itself and on orders. */
  private static final Site AUTOMATIC = Sites.named("ferry-landing-changeover");

  private static final Site BATTERY_FIRST =
      Sites.named(
          "ferry-landing-changeover",
          "changeover.prefer",
          "battery",
          "changeover.batteryAbove",
          "80 %");

  /** Most lines are those of a tie; the others name their switch. */
  private static Site site(ModeRow row) {
    if (row.on().contains("by hand")) {
      return BY_HAND;
    }
    if (row.on().equals("tie closed, inverter still forms")) {
      // The inverter gets half a second to say otherwise.
      return TWO_PANEL;
    }
    if (row.on().startsWith("battery preferred")) {
      return BATTERY_FIRST;
    }
    return row.on().startsWith("changeover") ? AUTOMATIC : SITE;
  }

  static Stream<ModeRow> rows() {
    return ModeTable.rows().stream();
  }

  private static String key(ModeRow row) {
    return row.from() + ": " + row.on();
  }

  /**
   * Listening orders nothing, so nothing is won by giving up: a device may come back at any time.
   */
  @Test
  void aStartGoesOnAsSoonAsTheLastDeviceReports() {
    FakeSite site = new FakeSite(SITE);
    site.tieSilent = true;
    site.seconds(600);
    assertEquals(LISTEN, site.phase());
    site.tieSilent = false;
    site.until(CONNECTED, 0.1);
  }

  /** Of the demo site's 30 s for a start. */
  @Test
  void aStartWaitsForADeviceThatItCanDoWithoutForHalfOfItsTime() {
    FakeSite site = new FakeSite(SITE);
    site.regulatorSilent = true;
    site.seconds(15);
    assertEquals(LISTEN, site.phase());
    site.until(CONNECTED, 0.3);
  }

  /** With a bad link it is not given up yet; but what is known is told. */
  @Test
  void aTieThatHasNotOpenedInTimeRingsEvenWhenItsOrderMayNotHaveCome() {
    FakeSite site = new FakeSite(TWO_PANEL).connected();
    site.tieObeys = false;
    site.utilityPu = 0;
    site.in.unheeded(true, false);
    site.until(OPEN_TIE, 1);
    site.until(() -> rings(site, AlarmId.TIE_NOT_OPEN), "the alarm", 1.2);
    assertEquals(OPEN_TIE, site.phase());
    site.until(WAIT_FOR_PERSON, 11);
  }

  private static boolean rings(FakeSite site, AlarmId id) {
    for (int i = 0; i < site.out.alarms(); i++) {
      if (site.out.alarmId(i) == id && site.out.alarmState(i) == AlarmState.UNACKNOWLEDGED) {
        return true;
      }
    }
    return false;
  }

  /** Who looks on at the demo site's return sees five minutes count, scan by scan, and then go. */
  @Test
  void theWaitForAQualifiedUtilityCountsUpToTheScanInWhichItIsOver() {
    FakeSite site = new FakeSite(TWO_PANEL).connected();
    site.utilityPu = 0;
    site.until(CARRY, 10);
    assertEquals(List.of(), waits(site));
    site.utilityPu = 1;
    site.scan();
    int row = ModeTable.rows().indexOf(line(CARRY, "utility qualified")) + 1;
    for (int scan = 0; scan < 3000; scan++) {
      assertEquals(List.of(row + " BAND " + scan / 10.0 + "/300.0"), waits(site));
      site.scan();
    }
    assertEquals(SYNCHRONISE, site.phase());
  }

  private static ModeRow line(Phase from, String on) {
    return rows().filter(r -> r.from() == from && r.on().equals(on)).findFirst().orElseThrow();
  }

  private static List<String> waits(FakeSite site) {
    List<String> told = new ArrayList<>();
    site.supervisor.waits(
        (row, wait, passedS, limitS) -> told.add(row + " " + wait + " " + passedS + "/" + limitS));
    return told;
  }

  @Test
  void everyLineHasAStoryAndEveryStoryALine() {
    assertEquals(
        new TreeSet<>(rows().map(ModeTableTest::key).toList()), new TreeSet<>(STORIES.keySet()));
  }

  @ParameterizedTest
  @MethodSource("rows")
  void theLineIsTakenAndLeadsWhereItSays(ModeRow row) {
    Watched site = new Watched(site(row));
    STORIES.getOrDefault(key(row), s -> {}).accept(site.site);
    assertTrue(!site.taken.isEmpty(), "no line was taken");
    assertEquals(List.of(row), site.taken.get(site.taken.size() - 1));
  }

  /** Names the lines that can have been taken in a scan, from outside: phases and told reasons. */
  private static final class Watched {
    private final FakeSite site;
    private final List<List<ModeRow>> taken = new ArrayList<>();

    Watched(Site description) {
      site =
          new FakeSite(description) {
            @Override
            void scan() {
              Phase before = phase();
              super.scan();
              Phase after = phase();
              if (before != after) {
                taken.add(candidates(before, after));
              }
            }

            private List<ModeRow> candidates(Phase before, Phase after) {
              return rows()
                  .filter(r -> r.from() == before && r.to() == after)
                  .filter(r -> before.mode() == after.mode() || r.on().equals(told()))
                  .toList();
            }

            private String told() {
              for (int i = 0; i < out.events(); i++) {
                if (out.kind(i).equals("mode")) {
                  return out.reason(i);
                }
              }
              return "";
            }
          };
    }
  }
}
