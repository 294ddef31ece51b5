package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.AlarmId;
import islet.contract.AlarmPriority;
import islet.contract.AlarmState;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * The life of an alarm, judged by the state transition diagram of IEC 62682 (the same in ANSI/ISA
 * 18.2), written down here from memory as a table: every state, every thing that can happen.
 */
class AlarmLifeTest {

  private static final long SECOND = 1_000_000;
  private static final AlarmId LOW = AlarmId.COMMAND_REFUSED;

  private final AlarmBoard board = new AlarmBoard();
  private final Outputs out = new Outputs();
  private final List<AlarmState> told = new ArrayList<>();
  private final List<String> events = new ArrayList<>();
  private long now = 1_768_424_400_000_000L;
  private AlarmState state = AlarmState.NORMAL;

  private void scan(Runnable what) {
    now += SECOND;
    out.begin();
    board.begin(now, out);
    what.run();
    for (int i = 0; i < out.alarms(); i++) {
      if (out.alarmId(i) == LOW) {
        state = out.alarmState(i);
      }
      told.add(out.alarmState(i));
    }
    for (int i = 0; i < out.events(); i++) {
      events.add(out.to(i));
    }
  }

  private void quiet(double seconds) {
    for (int i = 0; i < seconds; i++) {
      scan(() -> {});
    }
  }

  private void raise() {
    scan(() -> board.raise(LOW, out));
  }

  private void lower() {
    scan(() -> board.lower(LOW, out));
  }

  private void bring(AlarmState wanted) {
    switch (wanted) {
      case NORMAL -> {}
      case UNACKNOWLEDGED -> raise();
      case ACKNOWLEDGED -> {
        raise();
        scan(() -> board.acknowledge("", out));
      }
      case RETURNED -> {
        raise();
        lower();
      }
      case SHELVED -> scan(() -> assertEquals("", board.shelve(LOW.name(), 60, out)));
      case SUPPRESSED -> throw new AssertionError("has a test of its own");
    }
    assertEquals(wanted, state);
  }

  @ParameterizedTest
  @CsvSource({
    "NORMAL,         raise,       UNACKNOWLEDGED",
    "NORMAL,         lower,       NORMAL",
    "NORMAL,         acknowledge, NORMAL",
    "NORMAL,         shelve,      SHELVED",
    "NORMAL,         unshelve,    NORMAL",
    "UNACKNOWLEDGED, raise,       UNACKNOWLEDGED",
    "UNACKNOWLEDGED, lower,       RETURNED",
    "UNACKNOWLEDGED, acknowledge, ACKNOWLEDGED",
    "UNACKNOWLEDGED, shelve,      SHELVED",
    "UNACKNOWLEDGED, unshelve,    UNACKNOWLEDGED",
    "ACKNOWLEDGED,   raise,       ACKNOWLEDGED",
    "ACKNOWLEDGED,   lower,       NORMAL",
    "ACKNOWLEDGED,   acknowledge, ACKNOWLEDGED",
    "ACKNOWLEDGED,   shelve,      SHELVED",
    "ACKNOWLEDGED,   unshelve,    ACKNOWLEDGED",
    "RETURNED,       raise,       UNACKNOWLEDGED",
    "RETURNED,       lower,       RETURNED",
    "RETURNED,       acknowledge, NORMAL",
    "RETURNED,       shelve,      SHELVED",
    "RETURNED,       unshelve,    RETURNED",
    "SHELVED,        raise,       SHELVED",
    "SHELVED,        lower,       SHELVED",
    "SHELVED,        acknowledge, SHELVED",
    "SHELVED,        shelve,      SHELVED",
    "SHELVED,        unshelve,    NORMAL",
  })
  void leadsWhereTheStandardSays(AlarmState from, String happens, AlarmState to) {
    bring(from);
    switch (happens) {
      case "raise" -> raise();
      case "lower" -> lower();
      case "acknowledge" -> scan(() -> board.acknowledge(LOW.name(), out));
      case "shelve" -> scan(() -> board.shelve(LOW.name(), 60, out));
      default -> scan(() -> board.unshelve(LOW.name(), out));
    }
    assertEquals(to, state);
  }

  @Test
  void whatComesOffTheShelfRingsAnewWhenItsCauseIsThere() {
    bring(AlarmState.ACKNOWLEDGED);
    scan(() -> board.shelve(LOW.name(), 60, out));
    scan(() -> assertEquals("", board.unshelve(LOW.name(), out)));
    assertEquals(AlarmState.UNACKNOWLEDGED, state);
  }

  @Test
  void theShelfEndsByItself() {
    scan(() -> board.shelve(LOW.name(), 60, out));
    raise();
    quiet(58);
    assertEquals(AlarmState.SHELVED, state);
    quiet(1);
    assertEquals(AlarmState.UNACKNOWLEDGED, state);
  }

  @Test
  void theShelfEndsInSilenceWhenTheCauseHasGoneMeanwhile() {
    raise();
    scan(() -> board.shelve(LOW.name(), 60, out));
    lower();
    quiet(60);
    assertEquals(AlarmState.NORMAL, state);
    assertEquals(List.of(AlarmState.UNACKNOWLEDGED, AlarmState.SHELVED, AlarmState.NORMAL), told);
  }

  @Test
  void shelvingAgainGivesTheNewTime() {
    scan(() -> board.shelve(LOW.name(), 60, out));
    scan(() -> board.shelve(LOW.name(), 600, out));
    quiet(599);
    assertEquals(AlarmState.SHELVED, state);
    quiet(1);
    assertEquals(AlarmState.NORMAL, state);
  }

  @ParameterizedTest
  @CsvSource({
    "BATTERY_LOW, 60, an alarm of high priority cannot be shelved",
    "NO_SUCH, 60, there is no such alarm",
    "'', 60, there is no such alarm",
    "COMMAND_REFUSED, 0, an alarm is shelved for more than 0 s and at most 8 h",
    "COMMAND_REFUSED, 28800.5, an alarm is shelved for more than 0 s and at most 8 h",
    "COMMAND_REFUSED, 28800, ''",
  })
  void whatMayNotBeShelvedIsRefusedWithAReason(String name, double forS, String reason) {
    scan(() -> assertEquals(reason, board.shelve(name, forS, out)));
    assertEquals(reason.isEmpty() ? List.of(AlarmState.SHELVED) : List.of(), told);
  }

  @ParameterizedTest
  @EnumSource(AlarmId.class)
  void onlyWhatIsNotUrgentGoesOutOfSight(AlarmId id) {
    String reason = board.shelve(id.name(), 60, out);
    assertEquals(id.priority() == AlarmPriority.HIGH, !reason.isEmpty());
  }

  @Test
  void whatIsNotShelvedCannotBeTakenUp() {
    assertEquals("no such alarm is shelved", board.unshelve(LOW.name(), out));
    assertEquals("no such alarm is shelved", board.unshelve("", out));
  }

  /** Three times in a minute chatters, by the standard; the alarm then stands, and is told once. */
  @Test
  void aChatteringAlarmStandsUntilAMinuteHasBeenQuiet() {
    for (int i = 0; i < 6; i++) {
      raise();
      lower();
    }
    assertEquals(AlarmState.UNACKNOWLEDGED, state);
    assertEquals(List.of(LOW.name()), events);
    assertEquals(5, told.size(), told.toString());
    quiet(59);
    assertEquals(AlarmState.UNACKNOWLEDGED, state);
    quiet(1);
    assertEquals(AlarmState.RETURNED, state);
    lower();
    assertEquals(6, told.size(), told.toString());
  }

  @Test
  void threeTimesInMoreThanAMinuteDoNotChatter() {
    for (int i = 0; i < 6; i++) {
      raise();
      lower();
      quiet(29);
    }
    assertEquals(List.of(), events);
    assertEquals(AlarmState.RETURNED, state);
  }

  @Test
  void whatAnotherAlarmExplainsDoesNotRing() {
    scan(() -> board.raise(AlarmId.BATTERY_CONTACTOR_OPEN, out));
    scan(() -> board.raise(AlarmId.SENSORS_DISAGREE, out));
    assertEquals(List.of(AlarmState.UNACKNOWLEDGED, AlarmState.SUPPRESSED), told);
    scan(() -> board.acknowledge("", out));
    scan(() -> board.lower(AlarmId.BATTERY_CONTACTOR_OPEN, out));
    told.clear();
    scan(() -> {});
    assertEquals(List.of(AlarmState.NORMAL, AlarmState.UNACKNOWLEDGED), told);
  }

  @Test
  void whatWasExplainedGoesInSilence() {
    scan(() -> board.raise(AlarmId.BATTERY_CONTACTOR_OPEN, out));
    scan(() -> board.raise(AlarmId.SENSORS_DISAGREE, out));
    told.clear();
    scan(() -> board.lower(AlarmId.SENSORS_DISAGREE, out));
    assertEquals(List.of(AlarmState.NORMAL), told);
  }

  /** More than ten in ten minutes are a flood, by the standard; it is over below five. */
  @Test
  void aFloodIsToldOnce() {
    List<AlarmId> ten = List.of(AlarmId.values()).subList(6, 18);
    for (AlarmId id : ten) {
      if (id == AlarmId.SENSORS_DISAGREE || id == AlarmId.COMMAND_REFUSED) {
        continue; // the one is explained by another, the other comes last
      }
      scan(() -> board.raise(id, out));
    }
    assertFalse(board.flooded());
    scan(() -> board.raise(AlarmId.TIE_DOUBTFUL, out));
    assertTrue(board.flooded());
    scan(() -> board.raise(AlarmId.COMMAND_REFUSED, out));
    assertEquals(List.of("flood"), events);
    quiet(590);
    assertTrue(board.flooded());
    quiet(12);
    assertFalse(board.flooded());
  }

  @ParameterizedTest
  @EnumSource(AlarmId.class)
  void everyAlarmSaysWhatFollowsAndWhatToDo(AlarmId id) {
    for (String text : List.of(id.text(), id.consequence(), id.action())) {
      assertTrue(text.length() > 15 && text.endsWith("."), text);
    }
  }

  /** Alarms that no other explains. */
  private static List<AlarmId> eleven() {
    return Arrays.stream(AlarmId.values())
        .filter(id -> id != AlarmId.SENSORS_DISAGREE)
        .filter(id -> id != AlarmId.DEVICE_SILENT)
        .filter(id -> id != AlarmId.INVERTER_NOT_FORMING)
        .limit(11)
        .toList();
  }

  /** Eleven alarms ten seconds apart: the fifth youngest is the seventh, and counts for 600 s. */
  @Test
  void aFloodIsOverWhenOnlyFourAreLeftOfTenMinutes() {
    List<AlarmId> eleven = eleven();
    for (AlarmId id : eleven) {
      scan(() -> board.raise(id, out));
      quiet(9);
    }
    assertTrue(board.flooded());
    // The seventh rang 10 - 6 = 4 tens of seconds before the eleventh, which was 9 s ago.
    quiet(600 - 40 - 9);
    assertTrue(board.flooded());
    quiet(1);
    assertFalse(board.flooded());
  }

  /** Ten minutes from the first to the eleventh are a flood, a second more is none. */
  @ParameterizedTest
  @CsvSource({"500, true", "501, false"})
  void elevenInTenMinutesAreAFlood(int pause, boolean flood) {
    List<AlarmId> eleven = eleven();
    for (int i = 0; i < 11; i++) {
      AlarmId id = eleven.get(i);
      scan(() -> board.raise(id, out));
      quiet(i == 0 ? pause : i == 10 ? 0 : 10);
    }
    assertEquals(flood, board.flooded());
  }

  @ParameterizedTest
  @CsvSource({"28, true", "29, false"})
  void threeInAMinuteToTheSecondChatter(int quiet, boolean chatters) {
    raise();
    lower();
    quiet(28);
    raise();
    lower();
    quiet(quiet);
    raise();
    assertEquals(chatters, events.contains(LOW.name()));
  }

  @Test
  void aCauseThatIsThereFromTheBeginningWaitsItsTimeToo() {
    scan(() -> board.follow(LOW, true, 2 * SECOND, out));
    assertEquals(List.of(), told);
    scan(() -> board.follow(LOW, true, 2 * SECOND, out));
    assertEquals(List.of(), told);
    scan(() -> board.follow(LOW, true, 2 * SECOND, out));
    assertEquals(List.of(AlarmState.UNACKNOWLEDGED), told);
  }

  @Test
  void theFirstOfTheListIsFoundToo() {
    assertEquals(
        "an alarm of high priority cannot be shelved",
        board.shelve(AlarmId.values()[0].name(), 60, out));
  }
}
