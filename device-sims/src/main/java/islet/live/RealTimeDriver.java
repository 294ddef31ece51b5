package islet.live;

import islet.bench.VirtualTime;
import islet.contract.Message;
import islet.contract.Port;
import java.util.Optional;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.LongAdder;
import java.util.function.LongSupplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Runs the queue of virtual time by the wall clock, so that plant, devices and controller are the
 * same code in a live run as in a rehearsal.
 *
 * <p><b>One thread owns the queue</b>: the one that calls {@link #run}. Everything that happens in
 * virtual time happens on it, in the queue's order, each work at or after its wall instant and
 * never before. Other threads (the MQTT ports', the web page's) touch nothing of the simulation;
 * they hand work over through a bounded queue with {@link #hand}, or have it done for them by
 * {@link #handingOver} and {@link #over}. What is handed over wakes the owner and runs at the
 * present instant at rank {@link VirtualTime#BROKER}.
 *
 * <p><b>Nothing is skipped.</b> When work takes longer than the wall clock allows, the rest runs
 * late, as fast as it can, in the same order and with the same virtual instants as ever; virtual
 * time then lags behind and {@link #lag} says by how much. What comes from outside while it lags is
 * taken in at the virtual instant that has been reached, before the next late work.
 *
 * <p><b>It may stand still.</b> Between two instants the owner obeys what is asked by {@link
 * #control}: pause, go on, step, another speed. Never within one, the first not excepted, so that
 * whoever asks finds every part of the simulation at the same point. While it stands still no work
 * runs and no time passes; what is handed over meanwhile waits until time goes on.
 *
 * <p><b>It may be held back.</b> When somebody says up to which instant virtual time may go ({@link
 * #holdBack}), it waits there and lags behind as with late work.
 */
public final class RealTimeDriver {

  /** Messages that may wait to be handed over. */
  public static final int HAND_OVER_LIMIT = 10_000;

  /** A lag above this goes into the log, in µs of wall time; telling people is the caller's. */
  private static final long WARN_LAG_MICROS = 1_000_000;

  /** The owner looks about at least this often, ns. */
  private static final long LONGEST_WAIT_NANOS = 100_000_000;

  /** While it is held back, the owner looks this often, ns. */
  private static final long HELD_WAIT_NANOS = 1_000_000;

  private static final double MICROS_PER_SECOND = 1e6;

  private static final Logger LOG = LoggerFactory.getLogger(RealTimeDriver.class);

  /**
   * How far the run is behind the wall clock.
   *
   * @param seconds by how much virtual time is behind at present, in site seconds
   * @param worstSeconds the most it has been so far, in site seconds
   * @param dropped messages that were not handed over since too many waited
   */
  public record Lag(double seconds, double worstSeconds, long dropped) {}

  private final VirtualTime time;
  private volatile double speed;
  private final LongSupplier wallNanos;
  private final long longestWaitNanos;
  private final LinkedBlockingQueue<Runnable> handedOver = new LinkedBlockingQueue<>();
  private final AtomicInteger waiting = new AtomicInteger();
  private final LongAdder dropped = new LongAdder();
  private final AtomicBoolean running = new AtomicBoolean();

  private final LinkedBlockingQueue<Runnable> controls = new LinkedBlockingQueue<>();
  private volatile boolean paused;
  private boolean ended;
  private boolean tiedAnew;
  private long stepEnd = VirtualTime.NEVER;
  private Optional<Runnable> atEnd = Optional.empty();
  private Runnable afterStep = () -> {};
  private Runnable beat = () -> {};
  private long beatNanos;
  private long nextBeat;

  private LongSupplier latest = () -> VirtualTime.NEVER;
  private volatile boolean stopped;
  private volatile long lagMicros;
  private volatile long worstLagMicros;
  private boolean warned;
  private int worksOfInstant;

  /**
   * Sets up a run by the machine's steady clock.
   *
   * @param speed site seconds in a wall second, above 0 to 1e6
   */
  public RealTimeDriver(VirtualTime time, double speed) {
    this(time, speed, System::nanoTime);
  }

  /**
   * Sets up a run by a given clock.
   *
   * @param speed site seconds in a wall second, above 0 to 1e6
   * @param wallNanos a steady clock, ns
   */
  RealTimeDriver(VirtualTime time, double speed, LongSupplier wallNanos) {
    this(time, speed, wallNanos, LONGEST_WAIT_NANOS);
  }

  /**
   * Sets up a run by a given clock.
   *
   * @param longestWaitNanos the owner looks about at least this often, ns
   */
  RealTimeDriver(VirtualTime time, double speed, LongSupplier wallNanos, long longestWaitNanos) {
    this.longestWaitNanos = longestWaitNanos;
    this.time = time;
    this.speed = new Pace(0, 0, speed).speed();
    this.wallNanos = wallNanos;
  }

  /**
   * Lets somebody hold virtual time back; to be called before {@link #run}.
   *
   * @param latestMicros the instant that it must not pass for now, µs since the Unix epoch; asked
   *     for on the owner's thread all the time
   */
  public void holdBack(LongSupplier latestMicros) {
    latest = latestMicros;
  }

  /**
   * Runs due work at its wall instants until a site instant has come or {@link #stop} is called.
   * The wall clock is tied to the site's at the call. An exception thrown by work ends the run and
   * is passed on.
   *
   * @param untilMicros µs since the Unix epoch; {@link VirtualTime#NEVER} for no end
   * @throws IllegalStateException when it is running already
   */
  public void run(long untilMicros) {
    if (!running.compareAndSet(false, true)) {
      throw new IllegalStateException("A live run was started twice; one thread owns its queue.");
    }
    try {
      Pace pace = new Pace(time.now(), wallNanos.getAsLong(), speed);
      nextBeat = wallNanos.getAsLong();
      while (!stopped) {
        if (paused || instantOver()) {
          obey();
        }
        if (tiedAnew) {
          tiedAnew = false;
          pace = new Pace(time.now(), wallNanos.getAsLong(), speed);
        }
        if (paused) {
          restWhilePaused();
          continue;
        }
        long latestWanted = Math.min(stepEnd, untilMicros);
        long onTime = Math.min(pace.siteAt(wallNanos.getAsLong()), latestWanted);
        long present = Math.min(onTime, Math.max(latest.getAsLong(), time.now()));
        takeIn(present);
        if (time.runNext(present)) {
          noteLag(onTime - time.now());
        } else {
          time.runUntil(present); // nothing is due: only moves the hands
          noteLag(onTime - time.now());
          if (present >= latestWanted) {
            if (present >= untilMicros && atEnd.isEmpty()) {
              return;
            }
            arrived(present >= untilMicros);
          } else if (present < onTime) {
            restWhileHeld();
          } else {
            rest(pace, Math.min(time.nextDue(), latestWanted));
          }
        }
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } finally {
      running.set(false);
    }
  }

  /**
   * Whether all work of the present instant is done. Not waited for without end: what is handed
   * over faster than it can be done would never let anybody be obeyed.
   */
  private boolean instantOver() {
    if (time.nextDue() > time.now() || ++worksOfInstant > HAND_OVER_LIMIT) {
      worksOfInstant = 0;
      return true;
    }
    return false;
  }

  /** A step is done, or the end has come. */
  private void arrived(boolean end) {
    stepEnd = VirtualTime.NEVER;
    paused = true;
    lagMicros = 0;
    if (end) {
      ended = true;
      atEnd.ifPresent(Runnable::run);
    } else {
      afterStep.run();
    }
  }

  /** Does what was asked for since, and beats. */
  private void obey() {
    for (Runnable work = controls.poll(); work != null; work = controls.poll()) {
      work.run();
    }
    if (beatNanos > 0 && wallNanos.getAsLong() - nextBeat >= 0) {
      nextBeat = wallNanos.getAsLong() + beatNanos;
      beat.run();
    }
  }

  private void restWhilePaused() throws InterruptedException {
    long most = beatNanos > 0 ? Math.min(beatNanos, longestWaitNanos) : longestWaitNanos;
    Runnable work = controls.poll(most, TimeUnit.NANOSECONDS);
    if (work != null) {
      work.run();
    }
  }

  /**
   * Lets something be done again and again by the wall clock, between two instants and also while
   * time stands still, on the owner's thread; to be called before {@link #run}. It is no part of
   * the simulation and must change nothing of it.
   *
   * @param everyNanos how often, ns; no oftener than the owner looks about
   */
  public void beating(long everyNanos, Runnable work) {
    beatNanos = everyNanos;
    beat = work;
  }

  /**
   * At the end time stands still and {@link #run} goes on until {@link #stop}; to be called before
   * it.
   *
   * @param work done once when the end has come, on the owner's thread
   */
  public void stayAtEnd(Runnable work) {
    atEnd = Optional.of(work);
  }

  /**
   * Says who is told that a step is done and time stands still again; to be called before {@link
   * #run}.
   */
  public void afterStep(Runnable work) {
    afterStep = work;
  }

  /**
   * Lets work be done on the owner's thread between two instants of the simulation, also while time
   * stands still. From any thread.
   */
  public void control(Runnable work) {
    controls.add(work);
    handedOver.add(() -> {}); // wakes the owner
  }

  /** Lets time stand still from now on. On the owner's thread, by {@link #control}. */
  public void pause() {
    paused = true;
    stepEnd = VirtualTime.NEVER;
    lagMicros = 0;
  }

  /** Lets time go on. On the owner's thread, by {@link #control}. Nothing after the end. */
  public void goOn() {
    if (!ended) {
      paused = false;
      stepEnd = VirtualTime.NEVER;
      tiedAnew = true;
    }
  }

  /**
   * Lets time go on until an instant has had all its work, then stand still again. On the owner's
   * thread, by {@link #control}. Nothing after the end.
   *
   * @param untilMicros µs since the Unix epoch, not before now
   */
  public void step(long untilMicros) {
    goOn();
    stepEnd = untilMicros;
  }

  /**
   * Lets time run faster or slower from now on; what it lagged behind is forgiven. On the owner's
   * thread, by {@link #control}.
   *
   * @param siteSeconds in a wall second, above 0 to 1e6
   */
  public void speed(double siteSeconds) {
    speed = new Pace(0, 0, siteSeconds).speed();
    tiedAnew = true;
  }

  /** Site seconds in a wall second, as asked. From any thread. */
  public double speed() {
    return speed;
  }

  /** Whether time stands still. From any thread. */
  public boolean paused() {
    return paused;
  }

  /** Whether the end has come. On the owner's thread. */
  public boolean ended() {
    return ended;
  }

  /** Ends the run after the work at hand. From any thread. */
  public void stop() {
    stopped = true;
    controls.add(() -> {}); // wakes the owner who stands still
    handedOver.add(() -> {}); // and the one who waits for his next work
  }

  /**
   * Lets work run on the owner's thread at the present instant. From any thread; never waits.
   *
   * @return whether there was room; if not, the work is dropped and counted
   */
  public boolean hand(Runnable work) {
    if (waiting.incrementAndGet() > HAND_OVER_LIMIT) {
      waiting.decrementAndGet();
      dropped.increment();
      return false;
    }
    handedOver.add(
        () -> {
          waiting.decrementAndGet();
          work.run();
        });
    return true;
  }

  /**
   * A listener for a real port that lets another one hear everything on the owner's thread.
   * Messages are dropped and counted when too many wait; news of the link, which is rare, never is.
   */
  public Port.Listener handingOver(Port.Listener listener) {
    return new Port.Listener() {
      @Override
      public void message(Message message) {
        hand(() -> listener.message(message));
      }

      @Override
      public void link(boolean up) {
        handedOver.add(() -> listener.link(up));
      }

      @Override
      public boolean wants(String topic) {
        return listener.wants(topic);
      }
    };
  }

  /** A real broker whose ports call their listeners on the owner's thread. */
  public Port.Broker over(Port.Broker broker) {
    return (clientId, will, listener) -> broker.connect(clientId, will, handingOver(listener));
  }

  /** How far the run is behind. From any thread. */
  public Lag lag() {
    return new Lag(
        lagMicros / MICROS_PER_SECOND, worstLagMicros / MICROS_PER_SECOND, dropped.sum());
  }

  private void takeIn(long present) {
    Runnable work = handedOver.poll();
    if (work != null && time.nextDue() > present) {
      time.runUntil(present); // nothing is due: only moves the hands
    }
    for (; work != null; work = handedOver.poll()) {
      time.at(time.now(), VirtualTime.BROKER, work);
    }
  }

  /** Waits until a site instant, or less when something is handed over. */
  private void rest(Pace pace, long nextMicros) throws InterruptedException {
    long nanos = pace.nanosUntil(nextMicros, wallNanos.getAsLong());
    Runnable work = handedOver.poll(Math.min(nanos, longestWaitNanos), TimeUnit.NANOSECONDS);
    if (work != null) {
      // Moves the hands at once, so that what is handed over next cannot overtake.
      time.runUntil(Math.min(pace.siteAt(wallNanos.getAsLong()), nextMicros));
      time.at(time.now(), VirtualTime.BROKER, work);
    }
  }

  private void restWhileHeld() throws InterruptedException {
    Runnable work = handedOver.poll(HELD_WAIT_NANOS, TimeUnit.NANOSECONDS);
    if (work != null) {
      time.at(time.now(), VirtualTime.BROKER, work);
    }
  }

  private void noteLag(long micros) {
    lagMicros = micros;
    if (micros > worstLagMicros) {
      worstLagMicros = micros;
    }
    boolean late = micros / speed > WARN_LAG_MICROS;
    if (late && !warned) {
      LOG.info(
          "The live run is {} s of site time behind the wall clock at speed {}; nothing is skipped.",
          micros / MICROS_PER_SECOND,
          speed);
    } else if (warned && micros == 0) {
      LOG.info("The live run has caught up with the wall clock.");
    }
    warned = late || (warned && micros > 0);
  }
}
