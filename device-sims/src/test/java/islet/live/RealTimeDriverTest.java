package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.VirtualTime;
import islet.contract.Message;
import islet.contract.Port;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.atomic.AtomicReference;
import java.util.stream.IntStream;
import java.util.stream.LongStream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** Judged by the machine's own clock and by plain arithmetic on a clock set by hand. */
@Timeout(60)
@Tag("apart")
class RealTimeDriverTest {

  private static final long START = 1_768_400_000_000_000L;

  private final VirtualTime time = new VirtualTime(START);

  @Test
  void paceMultipliesWallTime() {
    Pace pace = new Pace(START, 500, 60);
    assertEquals(START + 60_000_000, pace.siteAt(1_000_000_500));
    assertEquals(500_000_000, pace.nanosUntil(START + 60_000_000, 500_000_500));
    assertEquals(0, pace.nanosUntil(START, 501));
    assertThrows(IllegalArgumentException.class, () -> new Pace(0, 0, 0));
    assertThrows(IllegalArgumentException.class, () -> new Pace(0, 0, Double.NaN));
  }

  @Test
  void workRunsAtItsWallInstantAndNeverBefore() {
    // 20 works, 10 s of site time apart, at 1000 times: 10 ms apart on the wall.
    List<Long> earlinessNanos = new ArrayList<>();
    AtomicLong begin = new AtomicLong();
    for (long i = 1; i <= 20; i++) {
      long due = i;
      time.at(
          START + due * 10_000_000,
          VirtualTime.CONTROLLER,
          () -> earlinessNanos.add(due * 10_000_000 - (System.nanoTime() - begin.get())));
    }
    begin.set(System.nanoTime());
    new RealTimeDriver(time, 1_000).run(START + 200_000_000);
    assertEquals(20, earlinessNanos.size());
    assertTrue(earlinessNanos.stream().allMatch(early -> early <= 0), earlinessNanos.toString());
    assertEquals(START + 200_000_000, time.now());
  }

  @Test
  void lateWorkIsNeverSkippedAndTheLagIsTold() {
    // A clock set by hand: each scan takes 30 ms of wall time where 10 ms are allowed.
    AtomicLong wall = new AtomicLong();
    RealTimeDriver driver = new RealTimeDriver(time, 1, wall::get);
    List<Long> scans = new ArrayList<>();
    List<Double> lags = new ArrayList<>();
    VirtualTime.Timer[] scan = new VirtualTime.Timer[1];
    scan[0] =
        time.timer(
            VirtualTime.CONTROLLER,
            () -> {
              scans.add(time.now() - START);
              lags.add(driver.lag().seconds());
              wall.addAndGet(30_000_000);
              if (scans.size() < 10) {
                scan[0].arm(time.now() + 10_000);
              }
            });
    scan[0].arm(START);
    time.at(START + 300_000, VirtualTime.BENCH, driver::stop);
    driver.run(START + 300_000);
    assertEquals(LongStream.range(0, 10).mapToObj(i -> i * 10_000).toList(), scans);
    // At the start of scan i the wall stands at 30 i ms, the scan before was due at 10 (i - 1) ms
    // and was begun when the wall stood at 30 (i - 1) ms.
    assertEquals(0.0, lags.get(1), 1e-9);
    assertEquals(0.16, lags.get(9), 1e-9);
    assertEquals(0.18, driver.lag().worstSeconds(), 1e-9);
  }

  @Test
  void whatOtherThreadsHandOverRunsOnTheOwnersThreadAtThePresentInstant() throws Exception {
    // By itself the owner would look in an hour: only the hand-over can wake it.
    RealTimeDriver driver =
        new RealTimeDriver(time, 1, System::nanoTime, TimeUnit.HOURS.toNanos(1));
    AtomicReference<Thread> ranOn = new AtomicReference<>();
    AtomicLong ranAt = new AtomicLong();
    CountDownLatch done = new CountDownLatch(1);
    Thread owner = new Thread(() -> driver.run(VirtualTime.NEVER));
    owner.start();
    Thread.sleep(150);
    driver.hand(
        () -> {
          ranOn.set(Thread.currentThread());
          ranAt.set(time.now());
          done.countDown();
        });
    assertTrue(done.await(30, TimeUnit.SECONDS));
    driver.stop();
    owner.join(5_000);
    assertFalse(owner.isAlive());
    assertSame(owner, ranOn.get());
    assertTrue(ranAt.get() >= START + 100_000, "at " + (ranAt.get() - START) + " µs");
  }

  /** Scans every 100 ms of site time on a wall clock that goes on by 1 ms at each look. */
  private final class Scans {
    private final List<Long> at = new ArrayList<>();
    private final AtomicLong wall = new AtomicLong();
    private final RealTimeDriver driver =
        new RealTimeDriver(time, 1, () -> wall.addAndGet(1_000_000), 1_000);
    private final VirtualTime.Timer scan = time.timer(VirtualTime.CONTROLLER, this::scan);

    private Scans() {
      scan.arm(START + 100_000);
    }

    private void scan() {
      at.add((time.now() - START) / 1_000);
      scan.arm(time.now() + 100_000);
    }

    /** Does something once so many beats after another, and stops after the last. */
    private void beats(Runnable... works) {
      AtomicInteger beat = new AtomicInteger();
      driver.beating(
          1,
          () -> {
            int now = beat.getAndIncrement();
            if (now % 1_000 == 999) {
              works[now / 1_000].run();
              if (now / 1_000 == works.length - 1) {
                driver.stop();
              }
            }
          });
    }
  }

  @Test
  void whileTimeStandsStillNothingRunsAndNoScanIsLostAfterwards() {
    Scans scans = new Scans();
    List<Integer> counts = new ArrayList<>();
    List<Long> stood = new ArrayList<>();
    scans.beats(
        () -> {
          scans.driver.pause();
          stood.add(time.now());
          counts.add(scans.at.size());
          scans.driver.hand(() -> counts.add(-1));
        },
        () -> {
          // A thousand looks later: a second of the wall's and more.
          stood.add(time.now());
          counts.add(scans.at.size());
          scans.driver.goOn();
        },
        () -> counts.add(scans.at.size()));
    scans.driver.run(VirtualTime.NEVER);
    assertEquals(stood.get(0), stood.get(1));
    assertEquals(counts.get(0), counts.get(1));
    assertEquals(-1, counts.get(2), "what was handed over meanwhile waits, and is not lost");
    assertTrue(counts.get(3) > counts.get(1), "time goes on");
    assertEquals(
        LongStream.rangeClosed(1, scans.at.size()).mapToObj(i -> i * 100).toList(), scans.at);
    assertTrue(scans.driver.lag().worstSeconds() < 0.1, "standing still is no lag");
  }

  @Test
  void whatIsAskedWaitsUntilTheFirstInstantIsOver() {
    // A person may be faster than the first look at the second of two plants.
    RealTimeDriver driver = new RealTimeDriver(time, 1);
    List<String> course = new ArrayList<>();
    driver.control(() -> course.add("asked before"));
    time.at(
        START,
        VirtualTime.DEVICE,
        () -> {
          course.add("first plant");
          driver.control(() -> course.add("asked between"));
        });
    time.at(START, VirtualTime.DEVICE, () -> course.add("second plant"));
    driver.hand(() -> course.add("message"));
    time.at(START, VirtualTime.CONTROLLER, () -> course.add("scan"));
    time.at(START + 1, VirtualTime.DEVICE, () -> course.add("next"));
    driver.run(START + 1);
    assertEquals(
        List.of(
            "first plant",
            "second plant",
            "message",
            "scan",
            "asked before",
            "asked between",
            "next"),
        course);
  }

  @Test
  void anInstantThatNeverEndsKeepsNobodyFromBeingObeyed() {
    RealTimeDriver driver = new RealTimeDriver(time, 1);
    VirtualTime.Timer[] again = new VirtualTime.Timer[1];
    AtomicInteger works = new AtomicInteger();
    again[0] =
        time.timer(
            VirtualTime.BROKER,
            () -> {
              if (works.incrementAndGet() < 10 * RealTimeDriver.HAND_OVER_LIMIT) {
                again[0].arm(START);
              }
            });
    again[0].arm(START);
    driver.control(driver::stop);
    driver.run(START + 1);
    assertTrue(works.get() < 2 * RealTimeDriver.HAND_OVER_LIMIT, "obeyed after " + works);
  }

  @Test
  void aStepIsOneScan() {
    Scans scans = new Scans();
    List<Integer> counts = new ArrayList<>();
    AtomicInteger done = new AtomicInteger();
    scans.driver.afterStep(done::incrementAndGet);
    Runnable step = () -> scans.driver.step(START + (scans.at.size() + 1) * 100_000L);
    scans.beats(
        () -> {
          scans.driver.pause();
          counts.add(scans.at.size());
          step.run();
        },
        () -> {
          counts.add(scans.at.size());
          step.run();
        },
        () -> counts.add(scans.at.size()));
    scans.driver.run(VirtualTime.NEVER);
    assertEquals(List.of(counts.get(0), counts.get(0) + 1, counts.get(0) + 2), counts);
    assertEquals(2, done.get());
    assertTrue(scans.driver.paused());
    assertEquals(START + counts.get(2) * 100_000L, time.now());
  }

  @Test
  void anotherSpeedCountsFromNowOn() {
    Scans scans = new Scans();
    List<Long> at = new ArrayList<>();
    List<Long> wall = new ArrayList<>();
    Runnable look =
        () -> {
          at.add(time.now());
          wall.add(scans.wall.get());
        };
    scans.beats(
        () -> {
          look.run();
          scans.driver.speed(10);
        },
        look);
    scans.driver.run(VirtualTime.NEVER);
    double speed = (at.get(1) - at.get(0)) * 1_000.0 / (wall.get(1) - wall.get(0));
    assertEquals(10, speed, 0.1);
    assertEquals(10, scans.driver.speed());
    assertThrows(IllegalArgumentException.class, () -> scans.driver.speed(0));
  }

  @Test
  void atTheEndItStaysWhenItIsToldTo() {
    Scans scans = new Scans();
    List<Long> ends = new ArrayList<>();
    scans.driver.stayAtEnd(() -> ends.add(time.now() - START));
    AtomicInteger beats = new AtomicInteger();
    scans.driver.beating(
        1,
        () -> {
          if (scans.driver.ended()) {
            scans.driver.goOn(); // after the end there is nothing to go on with
            scans.driver.step(START + 2_000_000);
            if (beats.incrementAndGet() == 100) {
              scans.driver.stop();
            }
          }
        });
    scans.driver.run(START + 1_000_000);
    assertEquals(List.of(1_000_000L), ends);
    assertEquals(10, scans.at.size());
    assertEquals(START + 1_000_000, time.now());
  }

  @Test
  void whatIsHandedOverKeepsItsOrder() throws Exception {
    RealTimeDriver driver = new RealTimeDriver(time, 1);
    VirtualTime.Timer[] scan = new VirtualTime.Timer[1];
    scan[0] = time.timer(VirtualTime.CONTROLLER, () -> scan[0].arm(time.now() + 700));
    scan[0].arm(START);
    List<Integer> ran = new ArrayList<>();
    Thread owner = new Thread(() -> driver.run(VirtualTime.NEVER));
    owner.start();
    for (int i = 0; i < 3_000; i++) {
      int number = i;
      driver.hand(() -> ran.add(number));
      if (i % 50 == 0) {
        Thread.sleep(1);
      }
    }
    CountDownLatch done = new CountDownLatch(1);
    driver.hand(done::countDown);
    assertTrue(done.await(15, TimeUnit.SECONDS));
    driver.stop();
    owner.join(5_000);
    assertEquals(IntStream.range(0, 3_000).boxed().toList(), ran);
  }

  @Test
  void tooManyMessagesAreDroppedAndCountedButNewsOfTheLinkIsNot() {
    RealTimeDriver driver = new RealTimeDriver(time, 1);
    List<String> heard = new ArrayList<>();
    Port.Listener outside =
        driver.handingOver(
            new Port.Listener() {
              @Override
              public void message(Message message) {
                heard.add("message");
              }

              @Override
              public void link(boolean up) {
                heard.add("link");
              }
            });
    for (int i = 0; i < RealTimeDriver.HAND_OVER_LIMIT + 7; i++) {
      outside.message(Message.of("x", new byte[0], 0, false));
    }
    outside.link(false);
    driver.run(START + 1_000);
    assertEquals(RealTimeDriver.HAND_OVER_LIMIT + 1, heard.size());
    assertEquals("link", heard.get(heard.size() - 1));
    assertEquals(7, driver.lag().dropped());
  }

  @Test
  void anExceptionEndsTheRunAndIsPassedOn() {
    time.at(
        START,
        VirtualTime.PLANT,
        () -> {
          throw new IllegalStateException("no convergence");
        });
    RealTimeDriver driver = new RealTimeDriver(time, 1);
    assertThrows(IllegalStateException.class, () -> driver.run(START + 1_000));
  }
}
