package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.EventLog;
import islet.bench.Sample;
import islet.bench.Signal;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Judged by counting: bounded however long the run is, from its start to its end, evenly. */
class LiveHistoryTest {

  private static final long START = 1_768_400_000_000_000L;

  private final LiveHistory history = new LiveHistory();

  @Test
  void eightHoursFitAndReachFromTheStartToNow() {
    Sample sample = new Sample();
    sample.at(START);
    long beats = 8 * 3_600 * 4;
    for (long i = 0; i < beats; i++) {
      sample.set(Signal.BATTERY_SOC, i / (double) beats);
      history.take(START + i * 250_000, sample);
    }
    List<double[]> rows = history.past().rows();
    assertTrue(rows.size() > 900 && rows.size() <= 2_000, "rows: " + rows.size());
    assertEquals(START / 1_000.0, rows.get(0)[0]);
    double stepMs = history.past().stepS() * 1_000;
    double end = (START + beats * 250_000) / 1_000.0;
    assertTrue(end - rows.get(rows.size() - 1)[0] <= 2 * stepMs);
    for (int i = 1; i < rows.size(); i++) {
      double apart = rows.get(i)[0] - rows.get(i - 1)[0];
      assertTrue(apart >= stepMs && apart <= 2 * stepMs, "apart: " + apart + " ms");
      double soc = rows.get(i)[Signal.BATTERY_SOC.ordinal() + 1];
      assertEquals((rows.get(i)[0] - START / 1_000.0) / (8 * 3_600_000.0), soc, 1e-5);
    }
  }

  @Test
  void aClockThatStandsStillAddsNothing() {
    Sample sample = new Sample();
    sample.at(START);
    for (int i = 0; i < 100; i++) {
      history.take(START, sample);
    }
    assertEquals(1, history.past().rows().size());
  }

  @Test
  void whatNobodyHasLookedAtIsNoRow() {
    history.take(START, new Sample());
    assertEquals(List.of(), history.past().rows());
  }

  @Test
  void ofTheSequenceOfEventsTheNewestStay() {
    for (int i = 0; i < 700; i++) {
      history.take(new EventLog.Row(START + i, "bench", "bookmark", "", "no. " + i, ""));
    }
    LiveHistory.Past past = history.past();
    assertEquals(500, past.events().size());
    assertEquals(200, past.dropped());
    assertEquals("no. 200", past.events().get(0).to());
    assertEquals("no. 699", past.events().get(499).to());
  }
}
