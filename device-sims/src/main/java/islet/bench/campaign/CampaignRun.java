package islet.bench.campaign;

import islet.bench.Scenario;
import islet.bench.plug.Supervisors;
import islet.control.SupervisorMaker;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.BooleanSupplier;
import java.util.function.Function;

/**
 * Runs a campaign, spread over several threads, and writes each case's row as it ends. Which rows
 * come out does not depend on how many threads there are, nor on how often the campaign was
 * interrupted.
 */
public final class CampaignRun {

  /** Told of the work that is done, from any thread. */
  public interface Progress {
    /**
     * So many cases are over.
     *
     * @param here how many of them in this call
     * @param of how many there are, or may be in a search
     */
    void at(long done, long here, long of, long failed);
  }

  private final Campaign campaign;
  private final SupervisorMaker maker;
  private final Function<String, SupervisorMaker> byName;
  private final String version;
  private final CaseRunner runner;
  private final HealthyRuns healthy;
  private final long limit;
  private final Optional<Cases> cases;

  /**
   * Sets a campaign up: runs each course undisturbed.
   *
   * @param maker whose logic is judged
   * @param byName the planted defects by name; asked for each of the file's once
   * @param version of Islet
   * @param limit how many cases at most, spread evenly over all of them; 0 for all
   */
  public CampaignRun(
      Campaign campaign,
      SupervisorMaker maker,
      Function<String, SupervisorMaker> byName,
      String version,
      long limit) {
    this.campaign = campaign;
    this.maker = maker;
    this.byName = byName;
    this.version = version;
    this.limit = limit;
    runner = new CaseRunner(campaign, version);
    List<Course> courses = new ArrayList<>(campaign.courses());
    if (campaign.method() instanceof Campaign.Planted planted) {
      planted.plants().forEach(plant -> courses.add(plant.course()));
    }
    SupervisorMaker measure =
        campaign.method() instanceof Campaign.Planted ? Supervisors.OWN : maker;
    healthy = new HealthyRuns(courses, course -> runner.healthy(course, measure));
    // A search makes its cases as it goes.
    cases = campaign.method() instanceof Campaign.Search ? Optional.empty() : Optional.of(cases());
  }

  /** What the results belong to, so that nobody goes on with those of something else. */
  public Map<String, String> about() {
    Map<String, String> about = new LinkedHashMap<>();
    about.put("title", campaign.title());
    about.put("campaign", digest());
    about.put("supervisor", maker.name());
    about.put("version", version);
    return about;
  }

  private String digest() {
    StringBuilder all = new StringBuilder();
    all.append(campaign.seed()).append(campaign.method());
    campaign.courses().forEach(all::append);
    campaign.waivers().forEach(all::append);
    campaign.mishaps().forEach(m -> all.append(m.label()).append(m.axes()));
    try {
      MessageDigest sha = MessageDigest.getInstance("SHA-256");
      byte[] hash = sha.digest(all.toString().getBytes(StandardCharsets.UTF_8));
      return HexFormat.of().formatHex(hash, 0, 8);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("Every Java has SHA-256.", e);
    }
  }

  /** How many cases there are; in a search, how many there may be. */
  public long count() {
    long courses = campaign.courses().size();
    if (campaign.method() instanceof Campaign.Search search) {
      return courses + new Searches(campaign, search, healthy).runs();
    }
    return courses + cases.orElseThrow().count();
  }

  private Cases cases() {
    if (campaign.method() instanceof Campaign.Product product) {
      return new ProductCases(campaign, product.instants(), healthy);
    }
    if (campaign.method() instanceof Campaign.Drawn drawn) {
      return new DrawnCases(campaign, drawn, healthy);
    }
    return new PlantedCases((Campaign.Planted) campaign.method());
  }

  /**
   * Runs what is not there yet.
   *
   * @param stopped asked before each case
   * @return whether all is there now
   */
  public boolean run(ResultStore store, int jobs, Progress progress, BooleanSupplier stopped)
      throws InterruptedException {
    Work work = new Work(store, progress, stopped);
    ExecutorService pool = Executors.newFixedThreadPool(jobs);
    try {
      List<Future<?>> workers = new ArrayList<>();
      for (int i = 0; i < jobs; i++) {
        workers.add(pool.submit(work::work));
      }
      for (Future<?> worker : workers) {
        get(worker);
      }
    } finally {
      pool.shutdownNow();
    }
    return work.complete();
  }

  /** Adds up what is there. */
  public Tally tally(ResultStore store) {
    Tally tally = new Tally(campaign, healthy);
    store.each(tally::add);
    return tally;
  }

  /** The runs that cases are made of, for shrinking. */
  CaseRunner runner() {
    return runner;
  }

  private static void get(Future<?> worker) throws InterruptedException {
    try {
      worker.get();
    } catch (ExecutionException e) {
      if (e.getCause() instanceof RuntimeException thrown) {
        throw thrown;
      }
      throw new IllegalStateException("A part of the campaign failed.", e);
    }
  }

  /**
   * The scenario of a row. A case of a search depends on those before it, so it is found again by
   * searching once more among the rows that are there.
   */
  public Optional<Scenario> scenario(CaseRow row, ResultStore store) {
    int courses = campaign.courses().size();
    if (row.id() < courses) {
      return Optional.of(
          CampaignCase.healthy(row.id(), campaign.courses().get((int) row.id())).scenario());
    }
    if (campaign.method() instanceof Campaign.Search search) {
      long number = (row.id() - courses) / search.evaluations();
      List<CampaignCase> found = new ArrayList<>(1);
      new Searches(campaign, search, healthy)
          .search(
              (int) number,
              courses + number * search.evaluations(),
              one -> {
                if (one.id() == row.id()) {
                  found.add(one);
                }
                return store.of(one.id()).orElseThrow(Stopped::new);
              });
      return found.stream().findFirst().map(CampaignCase::scenario);
    }
    return Optional.of(cases.orElseThrow().of(row.id() - courses, row.id()).scenario());
  }

  /** What the threads share: which piece is next, and what is over. */
  private final class Work {
    private final ResultStore store;
    private final Progress progress;
    private final BooleanSupplier stopped;
    private final BitSet done;
    private final Pieces pieces;
    private final AtomicLong next = new AtomicLong();
    private final AtomicLong over = new AtomicLong();
    private final AtomicLong here = new AtomicLong();
    private final AtomicLong failed = new AtomicLong();
    private final AtomicLong piecesOver = new AtomicLong();

    Work(ResultStore store, Progress progress, BooleanSupplier stopped) {
      this.store = store;
      this.progress = progress;
      this.stopped = stopped;
      done = store.done();
      pieces =
          campaign.method() instanceof Campaign.Search search
              ? new SearchPieces(new Searches(campaign, search, healthy), search.evaluations())
              : new CasePieces(cases.orElseThrow());
    }

    boolean complete() {
      return piecesOver.get() == pieces.count();
    }

    void work() {
      for (long piece = next.getAndIncrement();
          piece < pieces.count() && !stopped.getAsBoolean();
          piece = next.getAndIncrement()) {
        try {
          pieces.work(piece, this::judged);
          piecesOver.incrementAndGet();
        } catch (Stopped inTheMiddle) {
          return;
        }
      }
    }

    /** A case's row: looked up when the case was run before, else run and written. */
    private CaseRow judged(CampaignCase one) {
      CaseRow row;
      if (done.get((int) one.id())) {
        row = store.of(one.id()).orElseThrow();
      } else {
        if (stopped.getAsBoolean()) {
          throw new Stopped();
        }
        row = row(one);
        store.add(row);
        here.incrementAndGet();
      }
      if (row.failed()) {
        failed.incrementAndGet();
      }
      progress.at(over.incrementAndGet(), here.get(), pieces.cases(), failed.get());
      return row;
    }

    private CaseRow row(CampaignCase one) {
      if (campaign.method() instanceof Campaign.Planted planted) {
        PlantedCases plants = new PlantedCases(planted);
        long number = one.id() - campaign.courses().size();
        return PlantedCases.defective(number)
            ? runner.planted(
                one,
                byName.apply(plants.plant(number).defect()),
                healthy.of(one.course()),
                plants.plant(number).hazard())
            : runner.run(one, Supervisors.OWN, healthy.of(one.course()));
      }
      return runner.run(one, maker, healthy.of(one.course()));
    }
  }

  /** Somebody asked to stop while a search was on its way. */
  private static final class Stopped extends RuntimeException {
    private static final long serialVersionUID = 1L;

    Stopped() {
      super("stopped", null, false, false);
    }
  }

  /** What can be worked on by one thread without the others. */
  private interface Pieces {
    long count();

    /** How many cases all of them have, or may have. */
    long cases();

    void work(long piece, Judge judged);
  }

  /** Single cases: the courses undisturbed, then the campaign's own. */
  private final class CasePieces implements Pieces {
    private final Cases cases;
    private final long all;

    CasePieces(Cases cases) {
      this.cases = cases;
      all = campaign.courses().size() + cases.count();
    }

    @Override
    public long count() {
      return limit > 0 ? Math.min(limit, all) : all;
    }

    @Override
    public long cases() {
      return count();
    }

    @Override
    public void work(long piece, Judge judged) {
      long id = piece * all / count();
      int courses = campaign.courses().size();
      judged.judge(
          id < courses
              ? CampaignCase.healthy(id, campaign.courses().get((int) id))
              : cases.of(id - courses, id));
    }
  }

  /** The courses undisturbed, then whole searches. */
  private final class SearchPieces implements Pieces {
    private final Searches searches;
    private final int evaluations;
    private final int courses = campaign.courses().size();

    SearchPieces(Searches searches, int evaluations) {
      this.searches = searches;
      this.evaluations = evaluations;
    }

    private long searched() {
      long fitting = limit > 0 ? Math.max(1, limit / evaluations) : searches.count();
      return Math.min(fitting, searches.count());
    }

    @Override
    public long count() {
      return courses + searched();
    }

    @Override
    public long cases() {
      return courses + searched() * evaluations;
    }

    @Override
    public void work(long piece, Judge judged) {
      if (piece < courses) {
        judged.judge(CampaignCase.healthy(piece, campaign.courses().get((int) piece)));
        return;
      }
      long number = (piece - courses) * searches.count() / searched();
      searches.search((int) number, courses + number * evaluations, judged);
    }
  }
}
