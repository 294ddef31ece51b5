package islet.executive.wall;

import islet.contract.Mailbox;
import islet.contract.Message;
import islet.contract.Port;
import islet.executive.Turn;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.LongAdder;
import java.util.function.LongSupplier;

/**
 * One thread that does everything: it takes in what has come and scans at a fixed cycle. Scans lie
 * on a fixed grid; one that is not over when the next is due costs that next one, which is counted
 * as an overrun and never made up for.
 *
 * <p>Between two scans of the grid an urgent message brings an early one, so that a lost utility is
 * not left waiting for its turn. There are at most {@link #MOST_EARLY} of them in a cycle, and the
 * grid stays where it is. What an early scan has to tell waits a moment, so that its orders have
 * processor, link and broker to themselves: on two cores that halved the way of an order to its
 * device (measured).
 */
public final class FixedCycle {

  /** Messages that may wait for the scan; more are dropped and counted. */
  static final int MOST_WAITING = 10_000;

  /** Of one topic: ten seconds of the fastest telemetry, which comes every 20 ms. */
  static final int MOST_OF_TOPIC = 500;

  /**
   * Early scans in a cycle. What happens at a site at once comes as a message of each device that
   * saw it; and somebody who makes urgent messages up must not get the scan to run all the time.
   */
  static final int MOST_EARLY = 4;

  /** So long after an early scan its news waits; the way of an order takes a third of it. */
  static final long NEWS_WAITS_NANOS = 2_000_000;

  private static final long NONE = Long.MIN_VALUE;

  private final long periodNanos;
  private final LongSupplier steadyNanos;
  private final LinkedBlockingQueue<Runnable> queue = new LinkedBlockingQueue<>();
  private final LongAdder dropped = new LongAdder();
  private volatile boolean stopped;
  private volatile long aliveNanos;
  private final LongAdder overruns = new LongAdder();
  private final LongAdder early = new LongAdder();

  /**
   * A cycle by the machine's steady clock.
   *
   * @param periodS from scan to scan, s, above 0
   */
  public FixedCycle(double periodS) {
    this(periodS, System::nanoTime);
  }

  FixedCycle(double periodS, LongSupplier steadyNanos) {
    periodNanos = Math.round(periodS * 1e9);
    this.steadyNanos = steadyNanos;
    aliveNanos = steadyNanos.getAsLong();
  }

  /** Ports that call their listeners on the cycle's thread. */
  public Port.Broker over(Port.Broker broker) {
    return (clientId, will, listener) -> broker.connect(clientId, will, handingOver(listener));
  }

  private Port.Listener handingOver(Port.Listener listener) {
    Mailbox mailbox = new Mailbox(MOST_OF_TOPIC, MOST_WAITING);
    Runnable hearing =
        () -> {
          // There is one turn for each message that waits.
          var unused = mailbox.deliver(listener::message);
        };
    return new Port.Listener() {
      @Override
      public void message(Message message) {
        switch (mailbox.put(message)) {
          case TAKEN -> queue.add(hearing);
          case TAKEN_FOR_AN_OLDER, REFUSED -> dropped.increment();
        }
      }

      @Override
      public boolean wants(String topic) {
        return listener.wants(topic);
      }

      @Override
      public void link(boolean up) {
        queue.add(() -> listener.link(up));
      }
    };
  }

  /**
   * Goes round until {@link #stop}, with a scan in each cycle and early ones when something is
   * urgent. An exception of a scan or a listener ends it and is passed on.
   *
   * @param turn is called on this thread; whether something is urgent it is asked after each
   *     message
   */
  public void run(Turn turn) throws InterruptedException {
    long due = steadyNanos.getAsLong() + periodNanos;
    long newsDue = NONE;
    int earlyLeft = MOST_EARLY;
    while (!stopped) {
      long now = steadyNanos.getAsLong();
      boolean news = newsDue != NONE;
      if (news && newsDue - now <= 0) {
        turn.tell();
        newsDue = NONE;
      } else if (due - now > 0) {
        long wait = news ? Math.min(due - now, newsDue - now) : due - now;
        Runnable work = queue.poll(wait, TimeUnit.NANOSECONDS);
        if (work != null) {
          work.run();
          if (turn.urgent() && earlyLeft > 0) {
            earlyLeft--;
            early.increment();
            takeIn(turn);
            if (news) {
              turn.tell(); // of the early scan before
            }
            turn.act();
            newsDue = steadyNanos.getAsLong() + NEWS_WAITS_NANOS;
          }
        }
      } else {
        takeIn(turn);
        if (news) {
          turn.tell();
          newsDue = NONE;
        }
        turn.act();
        turn.tell();
        earlyLeft = MOST_EARLY;
        due += periodNanos;
        long late = steadyNanos.getAsLong() - due;
        if (late > 0) {
          long missed = late / periodNanos + 1;
          overruns.add(missed);
          due += missed * periodNanos;
        }
      }
      aliveNanos = steadyNanos.getAsLong();
    }
    if (newsDue != NONE) {
      turn.tell();
    }
  }

  /** What waits now, and not what comes meanwhile: a flood must not hold the scan. */
  private void takeIn(Turn turn) {
    for (int i = queue.size(); i > 0; i--) {
      Runnable work = queue.poll();
      if (work != null) {
        work.run();
      }
    }
    var unused = turn.urgent(); // whatever it is, the scan that follows heeds it
  }

  /** Ends after the scan at hand. From any thread. */
  public void stop() {
    stopped = true;
    queue.add(() -> {}); // wakes the thread
  }

  /** Cycles that went without a scan since the start. From any thread. */
  public long overruns() {
    return overruns.sum();
  }

  /** Scans between those of the grid since the start. From any thread. */
  public long early() {
    return early.sum();
  }

  /** Messages dropped since too many waited. From any thread. */
  public long dropped() {
    return dropped.sum();
  }

  /** When the thread was last seen to get on, by the steady clock, ns. From any thread. */
  long aliveNanos() {
    return aliveNanos;
  }

  long periodNanos() {
    return periodNanos;
  }
}
