package islet.bench.reserve;

import islet.bench.Event;
import islet.bench.EventLog;
import islet.bench.HourState;
import islet.bench.HourStates;
import islet.bench.IslandLife;
import islet.bench.Rehearsal;
import islet.bench.Scenario;
import islet.bench.SplitMix;
import islet.bench.reserve.Outage.End;
import islet.bench.reserve.ReserveCurve.Proof;
import islet.plant.DataFiles;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.LongConsumer;

/**
 * Works a reserve curve out: for each reserve one rehearsal of the span, then an outage at every
 * full hour of it by {@link IslandLife}. Spread over several threads; what comes out does not
 * depend on how many.
 */
public final class ReserveStudy {

  private static final long DAY = 24 * HourStates.HOUR;

  /** A transfer is over long before, and a panel that is dark for longer has gone dark, µs. */
  private static final long TRANSFER = 1_000_000;

  /** Outages that one task runs, so that weather and loads are read once for many. */
  private static final int BATCH = 48;

  /** How a whole rehearsal goes on beyond what the account says, µs: enough to tell them apart. */
  private static final long BEYOND = HourStates.HOUR;

  /** Told of the work that is done, from any thread. */
  public interface Progress {
    /** So many simulated microseconds of all rehearsals are over. */
    void rehearsed(long micros, long ofMicros);

    /** So many outages are over. */
    void outages(long done, long of);

    /** So many of the outages that are rehearsed whole are over. */
    void proofs(long done, long of);
  }

  private final String version;
  private final long outageMicros;
  private final ExecutorService pool;
  private final Progress progress;
  private final DataFiles files = new DataFiles();

  private ReserveStudy(String version, long outageMicros, ExecutorService pool, Progress progress) {
    this.version = version;
    this.outageMicros = outageMicros;
    this.pool = pool;
    this.progress = progress;
  }

  /**
   * Works the curve out.
   *
   * @param labels the reserves as they were asked for
   * @param scenarios the same scenario without events, once for each reserve
   * @param version of Islet
   * @param outageMicros the outage that shall be survived, microseconds
   * @param proofs how many outages shall be rehearsed whole, at hours drawn by the scenario's seed
   * @param jobs how many threads
   */
  public static ReserveCurve of(
      List<String> labels,
      List<Scenario> scenarios,
      String version,
      long outageMicros,
      int proofs,
      int jobs,
      Progress progress)
      throws InterruptedException {
    ExecutorService pool = Executors.newFixedThreadPool(jobs);
    try {
      return new ReserveStudy(version, outageMicros, pool, progress)
          .work(labels, scenarios, proofs);
    } finally {
      pool.shutdownNow();
    }
  }

  /** Whether a span is a year, after whose end weather and loads begin again. */
  static boolean wraps(Scenario scenario) {
    return scenario.durationMicros() == 365 * DAY || scenario.durationMicros() == 366 * DAY;
  }

  private ReserveCurve work(List<String> labels, List<Scenario> scenarios, int proofs)
      throws InterruptedException {
    List<HourStates.Noted> noted = rehearse(scenarios);
    List<List<Outage>> outages = live(scenarios, noted);
    List<ReservePoint> points = new ArrayList<>();
    for (int i = 0; i < labels.size(); i++) {
      points.add(
          new ReservePoint(
              labels.get(i), noted.get(i).result(), outages.get(i), Survival.of(outages.get(i))));
    }
    Scenario first = scenarios.get(0);
    return new ReserveCurve(
        first, version, wraps(first), outageMicros, points, prove(scenarios, points, proofs));
  }

  private List<HourStates.Noted> rehearse(List<Scenario> scenarios) throws InterruptedException {
    AtomicLong done = new AtomicLong();
    long all = scenarios.stream().mapToLong(Scenario::durationMicros).sum();
    List<Future<HourStates.Noted>> runs = new ArrayList<>();
    for (Scenario scenario : scenarios) {
      runs.add(
          pool.submit(
              () -> {
                Steps steps = new Steps(done, all);
                HourStates.Noted noted = HourStates.of(scenario, version, steps);
                steps.accept(scenario.durationMicros());
                return noted;
              }));
    }
    List<HourStates.Noted> noted = new ArrayList<>();
    for (Future<HourStates.Noted> run : runs) {
      noted.add(get(run));
    }
    return noted;
  }

  /** One run's share of the progress of all. */
  private final class Steps implements LongConsumer {
    private final AtomicLong done;
    private final long all;
    private long last;

    Steps(AtomicLong done, long all) {
      this.done = done;
      this.all = all;
    }

    @Override
    public void accept(long micros) {
      progress.rehearsed(done.addAndGet(micros - last), all);
      last = micros;
    }
  }

  private List<List<Outage>> live(List<Scenario> scenarios, List<HourStates.Noted> noted)
      throws InterruptedException {
    AtomicLong done = new AtomicLong();
    List<List<HourState>> hours = new ArrayList<>();
    long all = 0;
    for (int i = 0; i < scenarios.size(); i++) {
      hours.add(startable(scenarios.get(i), noted.get(i).hours()));
      all += hours.get(i).size();
    }
    List<List<Future<List<Outage>>>> tasks = new ArrayList<>();
    for (int i = 0; i < scenarios.size(); i++) {
      List<Future<List<Outage>>> batches = new ArrayList<>();
      List<HourState> starts = hours.get(i);
      for (int from = 0; from < starts.size(); from += BATCH) {
        List<HourState> batch = starts.subList(from, Math.min(starts.size(), from + BATCH));
        Scenario scenario = scenarios.get(i);
        long of = all;
        batches.add(
            pool.submit(
                () -> {
                  List<Outage> lived = lives(scenario, batch);
                  progress.outages(done.addAndGet(batch.size()), of);
                  return lived;
                }));
      }
      tasks.add(batches);
    }
    List<List<Outage>> outages = new ArrayList<>();
    for (List<Future<List<Outage>>> batches : tasks) {
      List<Outage> together = new ArrayList<>();
      for (Future<List<Outage>> batch : batches) {
        together.addAll(get(batch));
      }
      outages.add(together);
    }
    return outages;
  }

  /** An outage that begins at the end of a span that does not begin again is none. */
  private static List<HourState> startable(Scenario scenario, List<HourState> hours) {
    long end = scenario.startMicros() + scenario.durationMicros();
    return wraps(scenario) ? hours : hours.stream().filter(h -> h.micros() < end).toList();
  }

  private List<Outage> lives(Scenario scenario, List<HourState> starts) {
    IslandLife life = new IslandLife(scenario, wraps(scenario), files);
    List<Outage> outages = new ArrayList<>();
    for (HourState start : starts) {
      long most = most(scenario, start.micros());
      outages.add(outage(start.micros(), life.live(start, most), most));
    }
    return outages;
  }

  /** How long an outage can be watched. */
  private static long most(Scenario scenario, long startMicros) {
    long left = scenario.startMicros() + scenario.durationMicros() - startMicros;
    return wraps(scenario) ? IslandLife.LONGEST : Math.min(IslandLife.LONGEST, left);
  }

  private static Outage outage(long startMicros, long micros, long most) {
    End end = micros < most ? End.DARK : most == IslandLife.LONGEST ? End.SURVIVED : End.CUT;
    return new Outage(startMicros, micros, end);
  }

  /** Draws outages that went dark and rehearses them whole, from the span's beginning. */
  private List<Proof> prove(List<Scenario> scenarios, List<ReservePoint> points, int proofs)
      throws InterruptedException {
    SplitMix chance = new SplitMix(scenarios.get(0).seed());
    List<Future<Proof>> tasks = new ArrayList<>();
    AtomicLong done = new AtomicLong();
    for (int i = 0; i < proofs; i++) {
      int which = i % points.size();
      ReservePoint point = points.get(which);
      List<Outage> dark =
          point.outages().stream().filter(outage -> outage.end() == End.DARK).toList();
      if (!dark.isEmpty()) {
        Outage account = dark.get((int) chance.below(dark.size()));
        tasks.add(
            pool.submit(
                () -> {
                  Outage rehearsed = rehearse(scenarios.get(which), account);
                  progress.proofs(done.incrementAndGet(), proofs);
                  return new Proof(point.reserve(), account, rehearsed);
                }));
      }
    }
    List<Proof> all = new ArrayList<>();
    for (Future<Proof> task : tasks) {
      all.add(get(task));
    }
    return all;
  }

  /** The outage with every device, message and scan; watched for half as long again. */
  static Outage rehearse(Scenario scenario, Outage account) {
    long at = account.startMicros() - scenario.startMicros();
    long most = account.micros() + account.micros() / 2 + BEYOND;
    Scenario whole =
        new Scenario(
            scenario.title(),
            scenario.file(),
            scenario.siteFile(),
            scenario.site(),
            scenario.settings(),
            scenario.startMicros(),
            at + most,
            scenario.seed(),
            scenario.weather(),
            scenario.initialSoc(),
            scenario.initialHealth(),
            scenario.tieClosed(),
            List.of(new Event.Outage(at, most + HourStates.HOUR)),
            List.of(),
            Map.of(),
            HourStates.HOUR / 1e6);
    long dark = firstDark(new Rehearsal(whole), account.startMicros());
    return dark == Long.MAX_VALUE
        ? new Outage(account.startMicros(), most, End.CUT)
        : new Outage(account.startMicros(), dark - account.startMicros(), End.DARK);
  }

  private static long firstDark(Rehearsal rehearsal, long outageAt) {
    long dark = Long.MAX_VALUE;
    for (EventLog.Row row : rehearsal.run(micros -> {}).record("").events().rows()) {
      if (row.micros() < outageAt || !row.source().equals("emergency panel")) {
        continue;
      }
      if (row.to().equals("dead")) {
        dark = row.micros();
      } else if (row.micros() - dark < TRANSFER) {
        dark = Long.MAX_VALUE;
      } else {
        return dark;
      }
    }
    return dark;
  }

  private static <T> T get(Future<T> task) throws InterruptedException {
    try {
      return task.get();
    } catch (ExecutionException e) {
      if (e.getCause() instanceof RuntimeException thrown) {
        throw thrown;
      }
      throw new IllegalStateException("A part of the study failed.", e);
    }
  }
}
