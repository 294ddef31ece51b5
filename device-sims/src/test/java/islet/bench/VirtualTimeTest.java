package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * Judged by the definition of a total order on (instant, rank, insertion): the same entries, sorted
 * by the library's stable sort, must come out in the same order as the queue serves them.
 */
class VirtualTimeTest {

  private static final long START = 1_768_400_000_000_000L;

  private final VirtualTime time = new VirtualTime(START);
  private final List<String> ran = new ArrayList<>();

  @Test
  void workRunsAtItsInstantAndTimeThenStandsWhereItWasAskedToStand() {
    time.at(START + 30, VirtualTime.PLANT, () -> ran.add("late at " + (time.now() - START)));
    time.at(START + 10, VirtualTime.PLANT, () -> ran.add("early at " + (time.now() - START)));
    time.at(START + 51, VirtualTime.PLANT, () -> ran.add("never"));
    time.runUntil(START + 50);
    assertEquals(List.of("early at 10", "late at 30"), ran);
    assertEquals(START + 50, time.now());
    assertEquals(START + 51, time.nextDue());
  }

  @Test
  void tiesGoByRankAndThenByOrderOfInsertion() {
    time.at(START, VirtualTime.RECORDER, () -> ran.add("recorder"));
    time.at(START, VirtualTime.CONTROLLER, () -> ran.add("controller"));
    time.at(START, VirtualTime.DEVICE, () -> ran.add("regulator"));
    time.at(START, VirtualTime.DEVICE, () -> ran.add("inverter"));
    time.at(START, VirtualTime.UTILITY, () -> ran.add("utility"));
    time.runUntil(START);
    assertEquals(List.of("utility", "regulator", "inverter", "controller", "recorder"), ran);
  }

  @Test
  void workPutInForThePresentInstantStillRunsAtThatInstant() {
    time.at(
        START,
        VirtualTime.CONTROLLER,
        () -> time.at(time.now(), VirtualTime.PLANT, () -> ran.add("answer")));
    time.at(START, VirtualTime.RECORDER, () -> ran.add("recorder"));
    time.runUntil(START);
    assertEquals(List.of("answer", "recorder"), ran);
  }

  @Test
  void randomEntriesComeOutAsAStableSortWouldPutThem() {
    record Entry(long due, int rank, int insertion) {}
    SplitMix chance = new SplitMix(5);
    List<Entry> entries = new ArrayList<>();
    List<Entry> served = new ArrayList<>();
    List<VirtualTime.Timer> timers = new ArrayList<>();
    for (int i = 0; i < 5_000; i++) {
      Entry entry = new Entry(START + chance.below(400), (int) chance.below(7), i);
      entries.add(entry);
      VirtualTime.Timer timer = time.timer(entry.rank(), () -> served.add(entry));
      timer.arm(entry.due());
      timers.add(timer);
    }
    // A third is cancelled and a third is armed anew, to work the middle of the heap too.
    List<Entry> expected = new ArrayList<>();
    for (int i = 0; i < entries.size(); i++) {
      Entry entry = entries.get(i);
      if (i % 3 == 0) {
        timers.get(i).cancel();
        assertFalse(timers.get(i).armed());
      } else if (i % 3 == 1) {
        expected.add(entry);
      }
    }
    for (int i = 2; i < entries.size(); i += 3) {
      Entry entry = entries.get(i);
      timers.get(i).arm(entry.due());
      expected.add(new Entry(entry.due(), entry.rank(), entry.insertion() + entries.size()));
    }
    expected.sort(
        Comparator.comparingLong(Entry::due)
            .thenComparingInt(Entry::rank)
            .thenComparingInt(Entry::insertion));
    time.runUntil(START + 400);
    assertEquals(
        expected.stream().map(e -> e.insertion() % entries.size()).toList(),
        served.stream().map(Entry::insertion).toList());
  }

  @Test
  void aTimerRunsOnceForEachArmingAndCanArmItself() {
    VirtualTime.Timer[] itself = new VirtualTime.Timer[1];
    itself[0] =
        time.timer(
            VirtualTime.CONTROLLER,
            () -> {
              ran.add("scan at " + (time.now() - START));
              itself[0].arm(time.now() + 100);
            });
    itself[0].arm(START + 100);
    time.runUntil(START + 350);
    assertEquals(List.of("scan at 100", "scan at 200", "scan at 300"), ran);
    assertTrue(itself[0].armed());
  }

  @Test
  void thePastIsRefusedWithASentence() {
    IllegalArgumentException refusal =
        assertThrows(
            IllegalArgumentException.class,
            () -> time.at(START - 5, VirtualTime.PLANT, () -> ran.add("never")));
    assertTrue(String.valueOf(refusal.getMessage()).contains("5 µs before now"));
    assertThrows(IllegalArgumentException.class, () -> time.at(START, 128, () -> {}));
    assertEquals(VirtualTime.NEVER, time.nextDue());
  }

  @Test
  void workThatThrowsIsGoneAndTheRestIsKept() {
    time.at(
        START,
        VirtualTime.PLANT,
        () -> {
          throw new IllegalStateException("no convergence");
        });
    time.at(START, VirtualTime.DEVICE, () -> ran.add("device"));
    assertThrows(IllegalStateException.class, () -> time.runUntil(START));
    time.runUntil(START);
    assertEquals(List.of("device"), ran);
  }

  @Test
  void runningFromInsideRunningWorkIsRefused() {
    time.at(START, VirtualTime.PLANT, () -> time.runUntil(START + 1));
    assertThrows(IllegalStateException.class, () -> time.runUntil(START));
  }

  @Test
  void oneItemAtATimeForADriver() {
    time.at(START + 1, VirtualTime.PLANT, () -> ran.add("one"));
    time.at(START + 2, VirtualTime.PLANT, () -> ran.add("two"));
    assertTrue(time.runNext(START + 1));
    assertFalse(time.runNext(START + 1));
    assertEquals(List.of("one"), ran);
    assertEquals(START + 1, time.now());
  }
}
