package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.RunResult.Transition;
import islet.contract.Alarm;
import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.Device;
import islet.contract.Event;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Judged by what a reader of the trace and of the sequence of events must find in them. */
class RecorderTest {

  private static final long START = 1_768_424_400_000_000L;

  private final Truth truth = new Truth();
  private final Recorder recorder = new Recorder(START, 10);

  RecorderTest() {
    truth.utilitySourceLive = true;
    truth.utilitySourcePu = 1;
    truth.utilitySourceHz = 60;
    truth.contactClosed = true;
    truth.sample.set(Signal.CRITICAL_VOLTAGE, 1);
  }

  private void at(double seconds) {
    truth.sample.at(START + Math.round(seconds * 1e6));
    recorder.truth(truth);
  }

  private List<Double> times() {
    List<Double> times = new ArrayList<>();
    for (int row = 0; row < recorder.trace().rows(); row++) {
      times.add((recorder.trace().micros(row) - START) / 1e6);
    }
    return times;
  }

  @Test
  void aQuietRunHasARowAtEveryStepAndOneAtTheEnd() {
    for (int s = 0; s <= 35; s++) {
      at(s);
    }
    recorder.finish(START + 35_000_000);
    assertEquals(List.of(0.0, 10.0, 20.0, 30.0, 35.0), times());
  }

  @Test
  void aStepThatFallsBetweenSamplesTakesWhatHeldThen() {
    truth.sample.set(Signal.BATTERY_VOLTAGE, 50);
    at(0);
    at(9.5);
    truth.sample.set(Signal.BATTERY_VOLTAGE, 51);
    at(10.5);
    recorder.finish(START + 12_000_000);
    assertEquals(List.of(0.0, 10.0, 12.0), times());
    assertEquals(50, recorder.trace().value(1, Signal.BATTERY_VOLTAGE));
    assertEquals(51, recorder.trace().value(2, Signal.BATTERY_VOLTAGE));
  }

  @Test
  void aJumpHasARowJustBeforeAndOneJustAfterWithTheLastWordOfThatInstant() {
    at(0);
    at(3);
    truth.sample.set(Signal.CRITICAL_VOLTAGE, 0);
    at(3.25);
    truth.sample.set(Signal.CRITICAL_VOLTAGE, 0.4);
    at(3.25);
    at(4);
    recorder.finish(START + 5_000_000);
    assertEquals(List.of(0.0, 3.249999, 3.25, 5.0), times());
    assertEquals(1, recorder.trace().value(1, Signal.CRITICAL_VOLTAGE));
    assertEquals(0.4, recorder.trace().value(2, Signal.CRITICAL_VOLTAGE));
  }

  @Test
  void aChatteringContactIsCutShortAndTheSequenceOfEventsSaysSo() {
    at(0);
    for (int i = 1; i <= 2000; i++) {
      truth.sample.set(Signal.TIE_CLOSED, i % 2 == 0);
      at(1 + i * 0.01);
    }
    recorder.finish(START + 30_000_000);
    assertTrue(recorder.trace().rows() <= 605, recorder.trace().rows() + " rows");
    assertEquals(
        1, recorder.events().rows().stream().filter(row -> row.kind().equals("trace")).count());
  }

  @Test
  void theSequenceOfEventsTellsPlantAndWireInOrder() {
    at(0);
    truth.utilitySourceLive = false;
    at(7);
    truth.contactClosed = false;
    truth.sample.set(Signal.CRITICAL_VOLTAGE, 0);
    at(7.012);
    recorder.happened(
        START + 7_100_000,
        Device.SUPERVISOR,
        new Event(1, 0, "mode", "GRID_PRESENT", "ISLANDING", "the utility is gone"));
    recorder.note(START + 8_000_000, "operator", "order", "", "ISLAND", "");
    List<String> told =
        recorder.events().rows().stream()
            .map(r -> r.source() + " " + r.kind() + " " + r.from() + ">" + r.to())
            .toList();
    assertEquals(
        List.of(
            "utility source live>dead",
            "tie contact closed>open",
            "emergency panel supply live>dead",
            "supervisor mode GRID_PRESENT>ISLANDING",
            "operator order >ISLAND"),
        told);
    assertEquals(
        List.of(new Transition(7.1, "GRID_PRESENT", "ISLANDING", "the utility is gone")),
        recorder.transitions());
  }

  @Test
  void anAlarmIsListedOnceForEachRise() {
    AlarmId id = AlarmId.BATTERY_LOW;
    List<AlarmState> life =
        List.of(
            AlarmState.UNACKNOWLEDGED,
            AlarmState.UNACKNOWLEDGED,
            AlarmState.ACKNOWLEDGED,
            AlarmState.NORMAL,
            AlarmState.UNACKNOWLEDGED);
    for (int i = 0; i < life.size(); i++) {
      recorder.alarmed(
          START + i * 1_000_000L,
          Device.SUPERVISOR,
          new Alarm(
              i, 0, id, life.get(i), id.priority(), id.text(), id.consequence(), id.action()));
    }
    assertEquals(2, recorder.alarms().size());
    assertEquals("battery-low", recorder.alarms().get(0).id());
    assertEquals(4, recorder.events().rows().size());
  }
}
