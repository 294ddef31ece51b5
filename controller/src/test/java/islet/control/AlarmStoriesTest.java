package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.BatteryPath;
import islet.contract.Forced;
import islet.contract.InverterState;
import islet.contract.InverterTrip;
import islet.contract.OperatorOrder;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.Map;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * Every alarm rings when what its text says is so in the field, not a moment before, alone unless
 * its story says otherwise, and returns when it is so no longer. Judged by what the devices report
 * in each story; an alarm without a story fails.
 */
class AlarmStoriesTest {

  /** How an alarm comes about and goes. */
  private record Story(
      String site,
      Consumer<Teller> before,
      Consumer<Teller> cause,
      double withinS,
      Consumer<Teller> end) {}

  /** A site that remembers how each alarm stands. */
  private static final class Teller extends FakeSite {
    private final Map<AlarmId, AlarmState> states = new EnumMap<>(AlarmId.class);

    Teller(String name) {
      super(Sites.named(name));
      batteryV = 49.6 / 48 * site.battery().nominalV();
    }

    @Override
    void scan() {
      super.scan();
      for (int i = 0; i < out.alarms(); i++) {
        states.put(out.alarmId(i), out.alarmState(i));
      }
    }

    AlarmState state(AlarmId id) {
      return states.getOrDefault(id, AlarmState.NORMAL);
    }

    /** What stands in sight. */
    EnumSet<AlarmId> ringing() {
      EnumSet<AlarmId> ringing = EnumSet.noneOf(AlarmId.class);
      states.forEach(
          (id, state) -> {
            if (state == AlarmState.UNACKNOWLEDGED) {
              ringing.add(id);
            }
          });
      return ringing;
    }
  }

  private static final Map<AlarmId, Story> STORIES = new EnumMap<>(AlarmId.class);

  private static void story(
      AlarmId id, Consumer<Teller> before, Consumer<Teller> cause, double s, Consumer<Teller> end) {
    STORIES.put(id, new Story("ferry-landing", before, cause, s, end));
  }

  private static Story told(AlarmId id) {
    Story story = STORIES.get(id);
    if (story == null) {
      throw new AssertionError(id + " has no story");
    }
    return story;
  }

  private static void reset(Teller t) {
    t.ask(OperatorOrder.RESET, "");
    t.until(() -> t.phase() != Phase.WAIT_FOR_PERSON && t.phase() != Phase.LISTEN, "reset", 5);
  }

  static {
    story(
        AlarmId.TIE_NOT_OPEN,
        FakeSite::connected,
        t -> {
          t.tieObeys = false;
          t.utilityPu = 0;
        },
        1.3,
        t -> {
          t.tieClosed = false;
          t.tieOrderedClosed = false;
          reset(t);
          t.until(Phase.CARRY, 5);
        });
    story(
        AlarmId.TIE_NOT_CLOSED,
        FakeSite::synchronising,
        t -> t.tieObeys = false,
        3,
        t -> {
          t.tieObeys = true;
          t.until(Phase.CONNECTED, 60);
        });
    story(
        AlarmId.TIE_DOUBTFUL,
        FakeSite::connected,
        t -> {
          t.auxiliaryLies = true;
          t.tieObeys = false;
          t.tieClosed = false;
          t.inverterObeys = false;
          t.inverter = InverterState.OFF;
        },
        1.3,
        t -> {
          t.auxiliaryLies = false;
          t.tieClosed = true;
          t.inverterObeys = true;
          reset(t);
        });
    STORIES.put(
        AlarmId.SWITCH_BY_HAND,
        new Story(
            "boat-shed", FakeSite::connected, t -> t.utilityPu = 0, 0.3, t -> t.utilityPu = 1));
    story(
        AlarmId.INVERTER_NOT_FORMING,
        FakeSite::connected,
        t -> {
          t.inverterObeys = false;
          t.utilityPu = 0;
        },
        5.6,
        t -> {
          t.inverterObeys = true;
          t.until(Phase.CARRY, 40);
        });
    story(
        AlarmId.INVERTER_TRIPPED,
        FakeSite::islanded,
        t -> {
          t.inverterObeys = false;
          t.inverter = InverterState.FAULT;
          t.inverterTrip = InverterTrip.OVERLOAD;
        },
        0.2,
        t -> {
          t.inverterObeys = true;
          t.inverter = InverterState.OFF;
          t.until(Phase.CARRY, 40);
        });
    story(
        AlarmId.BATTERY_LOW,
        FakeSite::islanded,
        FakeSite::drain,
        31,
        t -> {
          t.batteryV = 55;
          t.currentA = 60;
          t.seconds(3 * 3600);
        });
    story(
        AlarmId.BATTERY_COLD_OR_HOT,
        FakeSite::connected,
        t -> t.temperatureC = -30,
        5.2,
        t -> t.temperatureC = 25);
    story(
        AlarmId.BATTERY_CONTACTOR_OPEN,
        FakeSite::connected,
        t -> t.batteryPath = BatteryPath.OPEN,
        1.2,
        t -> t.batteryPath = BatteryPath.CLOSED);
    story(
        AlarmId.SENSORS_DISAGREE,
        FakeSite::connected,
        t -> t.regulatorBiasV = 3,
        5.2,
        t -> {
          // Believed again after ten seconds without a flaw.
          t.regulatorBiasV = 0;
          t.seconds(10);
        });
    story(
        AlarmId.NO_BATTERY_VOLTAGE,
        t -> t.connected().seconds(40),
        t -> t.batteryV = 0,
        6,
        t -> {
          t.batteryV = 50;
          reset(t);
        });
    story(
        AlarmId.DEVICE_SILENT,
        FakeSite::connected,
        t -> t.meterSilent = true,
        10.2,
        t -> t.meterSilent = false);
    story(
        AlarmId.COMMAND_REFUSED,
        FakeSite::connected,
        t -> t.in.commandTrouble(true),
        12.2,
        t -> t.in.commandTrouble(false));
    story(
        AlarmId.BAD_MESSAGE,
        FakeSite::connected,
        t -> t.in.badMessage(true),
        0.2,
        t -> t.in.badMessage(false));
    story(
        AlarmId.SYNC_TIMEOUT,
        t -> {
          t.islanded().utilityPu = 1;
          t.inverterObeys = false;
          t.until(Phase.SYNCHRONISE, 310);
        },
        t -> {},
        121,
        t -> {
          t.inverterObeys = true;
          t.until(Phase.CONNECTED, 60);
        });
    story(
        AlarmId.START_TIMEOUT,
        t -> {},
        t -> t.tieSilent = true,
        31,
        t -> {
          t.tieSilent = false;
          t.until(Phase.CONNECTED, 0.2);
        });
    story(
        AlarmId.CONTRADICTION,
        t -> {},
        t -> {
          t.inverterObeys = false;
          t.inverter = InverterState.FORMING;
        },
        1,
        t -> {
          t.inverter = InverterState.FOLLOWING;
          reset(t);
        });
    story(
        AlarmId.JOURNAL_FAILED,
        FakeSite::connected,
        t -> t.in.journalTrouble(true),
        0.2,
        t -> t.in.journalTrouble(false));
    story(
        AlarmId.OVERRIDE_ACTIVE,
        FakeSite::connected,
        t -> t.ask(OperatorOrder.OVERRIDE, Forced.FEED_OFF.name(), 60),
        0.2,
        t -> t.seconds(60));
  }

  @Test
  void everyAlarmHasAStory() {
    assertEquals(EnumSet.allOf(AlarmId.class), EnumSet.copyOf(STORIES.keySet()));
  }

  @ParameterizedTest
  @EnumSource(AlarmId.class)
  void ringsWhenItIsSoAndReturnsWhenItIsSoNoLonger(AlarmId id) {
    Story story = told(id);
    Teller t = new Teller(story.site());
    story.before().accept(t);
    assertEquals(EnumSet.noneOf(AlarmId.class), t.ringing(), "rings before its cause");
    story.cause().accept(t);
    t.until(() -> t.state(id) == AlarmState.UNACKNOWLEDGED, id.name(), story.withinS());
    assertEquals(EnumSet.of(id), t.ringing(), "one cause, one alarm");
    t.ask(OperatorOrder.ACKNOWLEDGE, id.name());
    t.scan();
    assertEquals(AlarmState.ACKNOWLEDGED, t.state(id));
    story.end().accept(t);
    t.seconds(2);
    assertEquals(AlarmState.NORMAL, t.state(id));
  }

  @ParameterizedTest
  @EnumSource(AlarmId.class)
  void anAlarmThatNobodyAcknowledgedIsToldToHaveReturned(AlarmId id) {
    Story story = told(id);
    Teller t = new Teller(story.site());
    story.before().accept(t);
    story.cause().accept(t);
    t.until(() -> t.state(id) == AlarmState.UNACKNOWLEDGED, id.name(), story.withinS());
    story.end().accept(t);
    t.seconds(2);
    assertEquals(AlarmState.RETURNED, t.state(id));
  }

  /** Alarms that wait do so for their whole time, and a cause that goes meanwhile is none. */
  @Test
  void aPassingCauseDoesNotRing() {
    for (AlarmId id :
        EnumSet.of(
            AlarmId.SENSORS_DISAGREE, AlarmId.BATTERY_COLD_OR_HOT, AlarmId.COMMAND_REFUSED)) {
      Story story = told(id);
      Teller t = new Teller(story.site());
      story.before().accept(t);
      for (int i = 0; i < 3; i++) {
        story.cause().accept(t);
        t.seconds(story.withinS() - 0.5);
        story.end().accept(t);
        t.seconds(0.2);
      }
      assertEquals(EnumSet.noneOf(AlarmId.class), t.ringing());
    }
  }

  /**
   * Judged by the rule for an island: an inverter that is missing rings, wherever it is missing.
   */
  @Test
  void anInverterThatTripsWhileItStandsByRingsUntilItStandsByAgain() {
    Teller t = new Teller("ferry-landing");
    t.connected().inverter = InverterState.FAULT;
    t.scan();
    assertEquals(EnumSet.of(AlarmId.INVERTER_TRIPPED), t.ringing());
    t.seconds(29);
    assertEquals(InverterState.OFF, t.inverter);
    assertEquals(EnumSet.of(AlarmId.INVERTER_TRIPPED), t.ringing());
    t.seconds(2);
    assertEquals(InverterState.FOLLOWING, t.inverter);
    assertEquals(AlarmState.RETURNED, t.state(AlarmId.INVERTER_TRIPPED));
  }

  @Test
  void anOverloadIsOneAlarmThoughTheInverterDoesNotFormAgain() {
    Teller t = new Teller("ferry-landing");
    t.islanded();
    t.inverterObeys = false;
    t.inverter = InverterState.FAULT;
    t.inverterTrip = InverterTrip.OVERLOAD;
    t.until(Phase.UNSUPPLIED, 1);
    t.inverter = InverterState.OFF;
    t.inverterTrip = InverterTrip.NONE;
    t.seconds(40);
    assertEquals(EnumSet.of(AlarmId.INVERTER_TRIPPED), t.ringing());
    assertTrue(t.state(AlarmId.INVERTER_NOT_FORMING) == AlarmState.SUPPRESSED);
  }
}
