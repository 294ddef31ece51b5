package islet.executive.wall;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.Message;
import islet.contract.Port;
import islet.executive.Turn;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Judged by a steady clock that the test moves: a scan each 10 ms on a fixed grid. */
class FixedCycleTest {

  private static final long MS = 1_000_000;

  /** Time passes with each look at the clock, so that waiting for nothing ends. */
  private static final class Steady {
    long nanos;

    long look() {
      nanos += MS / 4;
      return nanos;
    }
  }

  private final Steady steady = new Steady();
  private final FixedCycle cycle = new FixedCycle(0.01, steady::look);
  private final List<Long> scans = new ArrayList<>();

  private void scan(long atMs, long lasts, int last) {
    scans.add(atMs);
    steady.nanos += lasts * MS;
    if (scans.size() == last) {
      cycle.stop();
    }
  }

  /** On the grid of the first scan, within the clock's own looks. */
  private void onGrid(int scan, int cycles) {
    long apart = scans.get(scan) - scans.get(0);
    assertTrue(Math.abs(apart - 10L * cycles) <= 2, "scan " + scan + " " + apart + " ms later");
  }

  @Test
  void aScanThatIsOverInTimeCostsNothing() throws InterruptedException {
    cycle.run(() -> scan(steady.nanos / MS, 3, 10));
    assertEquals(0, cycle.overruns());
    for (int i = 1; i < 10; i++) {
      onGrid(i, i);
    }
  }

  @Test
  void aScanThatTakesLongerCostsTheCyclesThatItCoversAndTheGridStays() throws InterruptedException {
    cycle.run(() -> scan(steady.nanos / MS, scans.size() == 2 ? 33 : 3, 6));
    assertEquals(3, cycle.overruns());
    onGrid(2, 2);
    onGrid(3, 6);
    onGrid(4, 7);
  }

  @Test
  void messagesAreHeardOnTheCyclesThreadBeforeTheScanAndAFloodIsCounted()
      throws InterruptedException {
    List<Port.Listener> inner = new ArrayList<>();
    Port.Broker broker =
        cycle.over(
            (id, will, listener) -> {
              inner.add(listener);
              return new NoPort();
            });
    List<String> heard = new ArrayList<>();
    broker.connect(
        "c",
        Message.of("", new byte[0], 0, false),
        new Port.Listener() {
          @Override
          public void message(Message message) {
            heard.add(message.topic());
          }

          @Override
          public void link(boolean up) {
            heard.add("link");
          }
        });
    for (int i = 0; i < FixedCycle.MOST_WAITING + 5; i++) {
      inner.get(0).message(Message.of("t" + i, new byte[0], 0, false));
    }
    inner.get(0).link(true);
    assertEquals(List.of(), heard);
    assertEquals(5, cycle.dropped());
    cycle.run(() -> scan(0, 1, 3));
    assertEquals(FixedCycle.MOST_WAITING + 1, heard.size());
    assertEquals("t0", heard.get(0));
    assertEquals("link", heard.get(heard.size() - 1));
  }

  @Test
  void aFloodOnOneTopicPushesOutNothingOfTheOthers() throws InterruptedException {
    List<Port.Listener> inner = new ArrayList<>();
    Port.Broker broker =
        cycle.over(
            (id, will, listener) -> {
              inner.add(listener);
              return new NoPort();
            });
    List<String> heard = new ArrayList<>();
    broker.connect(
        "c",
        Message.of("", new byte[0], 0, false),
        new Port.Listener() {
          @Override
          public void message(Message message) {
            heard.add(message.topic());
          }

          @Override
          public void link(boolean up) {}
        });
    for (int i = 0; i < 100_000; i++) {
      inner.get(0).message(Message.of("islet/v1/s/tie/telemetry", new byte[0], 0, false));
    }
    inner.get(0).message(Message.of("islet/v1/s/meter/telemetry", new byte[0], 0, false));
    cycle.run(() -> scan(0, 1, 2));
    assertEquals(FixedCycle.MOST_OF_TOPIC + 1, heard.size());
    assertEquals("islet/v1/s/meter/telemetry", heard.get(heard.size() - 1));
    assertEquals(100_000 - FixedCycle.MOST_OF_TOPIC, cycle.dropped());
  }

  @Test
  void urgentMessagesBringEarlyScansButNotMoreThanACycleMayHaveAndTheGridStays()
      throws InterruptedException {
    List<Port.Listener> inner = new ArrayList<>();
    boolean[] urgent = {false};
    Port.Broker broker =
        cycle.over(
            (id, will, listener) -> {
              inner.add(listener);
              return new NoPort();
            });
    broker.connect(
        "c",
        Message.of("", new byte[0], 0, false),
        new Port.Listener() {
          @Override
          public void message(Message message) {
            urgent[0] = message.topic().equals("urgent");
          }

          @Override
          public void link(boolean up) {}
        });
    // Whoever makes urgent messages up sends the next at once.
    int perCycle = 1 + FixedCycle.MOST_EARLY;
    cycle.run(
        new Turn() {
          @Override
          public void act() {
            scan(steady.nanos / MS, 0, 3 * perCycle + 1);
            inner.get(0).message(Message.of("urgent", new byte[0], 0, false));
          }

          @Override
          public boolean urgent() {
            boolean was = urgent[0];
            urgent[0] = false;
            return was;
          }
        });
    assertEquals(3L * FixedCycle.MOST_EARLY, cycle.early());
    assertEquals(0, cycle.overruns());
    onGrid(perCycle, 1);
    onGrid(2 * perCycle, 2);
    onGrid(3 * perCycle, 3);
    assertTrue(scans.get(1) - scans.get(0) <= 2, "the first early scan comes at once");
  }

  /**
   * Judged by the grid, and by what {@link FixedCycle#NEWS_WAITS_NANOS} says: 2 ms, which is eight
   * looks at this clock.
   */
  @Test
  void newsOfAnEarlyScanWaitsAMomentAndNoScanBeginsBeforeTheNewsOfTheLast()
      throws InterruptedException {
    List<Port.Listener> inner = new ArrayList<>();
    Port.Broker broker =
        cycle.over(
            (id, will, listener) -> {
              inner.add(listener);
              return new NoPort();
            });
    boolean[] urgent = {false};
    broker.connect(
        "c",
        Message.of("", new byte[0], 0, false),
        new Port.Listener() {
          @Override
          public void message(Message message) {
            urgent[0] |= message.topic().startsWith("urgent");
          }

          @Override
          public void link(boolean up) {}
        });
    List<String> course = new ArrayList<>();
    List<Long> acts = new ArrayList<>();
    List<Long> tells = new ArrayList<>();
    cycle.run(
        new Turn() {
          @Override
          public void act() {
            course.add("act");
            acts.add(steady.nanos);
            switch (acts.size()) {
              case 1 -> bring("urgent"); // an early scan follows, whose news waits
              case 3 -> bring("urgent", "more", "urgent"); // the second one's news cannot wait
              case 5 -> bring("urgent");
              case 6 -> cycle.stop(); // with its news untold
              default -> {}
            }
          }

          private void bring(String... topics) {
            for (String topic : topics) {
              inner.get(0).message(Message.of(topic, new byte[0], 0, false));
            }
          }

          @Override
          public void tell() {
            course.add("tell");
            tells.add(steady.nanos);
          }

          @Override
          public boolean urgent() {
            boolean was = urgent[0];
            urgent[0] = false;
            return was;
          }
        });
    assertEquals(acts.size(), tells.size(), "every scan is told, the last one too");
    for (int i = 0; i < course.size(); i++) {
      assertEquals(i % 2 == 0 ? "act" : "tell", course.get(i), course.toString());
    }
    assertEquals(acts.get(0), tells.get(0), "a scan of the grid is told at once");
    long waited = tells.get(1) - acts.get(1);
    assertTrue(
        waited >= FixedCycle.NEWS_WAITS_NANOS && waited <= FixedCycle.NEWS_WAITS_NANOS + MS,
        "the early one's news waited " + waited + " ns");
  }

  private static final class NoPort implements Port {
    @Override
    public void publish(Message message) {}

    @Override
    public void subscribe(String filter, int qos) {}

    @Override
    public boolean connected() {
      return false;
    }

    @Override
    public void close() {}
  }

  @Test
  void theWatchdogBitesWhenTheThreadHasNotComeRoundForTwoSeconds() {
    List<String> told = new ArrayList<>();
    long[] now = {0};
    FixedCycle hung = new FixedCycle(0.1, () -> now[0]);
    Watchdog dog = new Watchdog(hung, () -> now[0], told::add);
    now[0] = 2_000 * MS;
    assertFalse(dog.look());
    now[0] = 2_100 * MS;
    assertTrue(dog.look(new StackTraceElement("Disk", "write", "Disk.java", 7)));
    assertTrue(told.get(0).contains("has not come back for 2.1 s"), told.get(0));
    assertTrue(told.get(0).contains("Disk.write"), "it says where the scan was");
  }
}
