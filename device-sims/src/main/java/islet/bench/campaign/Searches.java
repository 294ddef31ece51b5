package islet.bench.campaign;

import islet.bench.Axis;
import islet.bench.Event;
import islet.bench.Hazards;
import islet.bench.Mishap;
import islet.bench.SplitMix;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.hipparchus.exception.MathIllegalStateException;
import org.hipparchus.optim.InitialGuess;
import org.hipparchus.optim.MaxEval;
import org.hipparchus.optim.SimpleBounds;
import org.hipparchus.optim.nonlinear.scalar.GoalType;
import org.hipparchus.optim.nonlinear.scalar.ObjectiveFunction;
import org.hipparchus.optim.nonlinear.scalar.noderiv.CMAESOptimizer;
import org.hipparchus.random.Well19937c;

/**
 * Searches that move instants and numbers toward the smallest margin. Each first looks at points
 * drawn all over, then lets the covariance matrix adaptation (Hansen and Ostermeier, "Completely
 * derandomized self-adaptation in evolution strategies", Evolutionary Computation 9(2), 2001; the
 * numerics library's) walk down from the best of them, and ends at the first violation.
 */
final class Searches {

  /** The share of a search's runs that look all over. */
  private static final double SCATTER = 0.4;

  /** First step of the walk, as a share of each range. */
  private static final double STEP = 0.08;

  /** Nearest and farthest distance from a change of mode, s. */
  private static final double NEAREST_S = 0.001;

  private static final double FARTHEST_S = 60;

  private static final int CMA_POPULATION_BASE = 4;

  /**
   * One search.
   *
   * @param around the change of mode around which instants are sought; −1 for all over the modes
   */
  record One(
      Course course, List<Mishap> mishaps, List<Integer> combinations, int around, int restart) {
    One {
      mishaps = List.copyOf(mishaps);
      combinations = List.copyOf(combinations);
    }
  }

  /** The search has found a violation, and need not go on. */
  private static final class Found extends RuntimeException {
    private static final long serialVersionUID = 1L;

    Found() {
      super("found", null, false, false);
    }
  }

  private final Campaign campaign;
  private final Campaign.Search search;
  private final HealthyRuns healthy;
  private final List<One> all = new ArrayList<>();

  Searches(Campaign campaign, Campaign.Search search, HealthyRuns healthy) {
    this.campaign = campaign;
    this.search = search;
    this.healthy = healthy;
    for (Course course : campaign.courses()) {
      List<Mishap> fitting =
          campaign.mishaps().stream()
              .filter(m -> m.fits(course.scenario().site().arrangement()))
              .toList();
      for (int i = 0; i < fitting.size(); i++) {
        if (search.together() == 1) {
          add(course, List.of(fitting.get(i)));
        } else {
          for (int j = i; j < fitting.size(); j++) {
            add(course, List.of(fitting.get(i), fitting.get(j)));
          }
        }
      }
    }
  }

  private void add(Course course, List<Mishap> mishaps) {
    int first = mishaps.get(0).combinations();
    int second = mishaps.size() > 1 ? mishaps.get(1).combinations() : 1;
    for (int c = 0; c < first * second; c++) {
      List<Integer> combinations =
          mishaps.size() > 1 ? List.of(c / second, c % second) : List.of(c);
      int changes = search.around() ? healthy.of(course).changes().size() : 0;
      for (int around = changes > 0 ? 0 : -1; around < changes; around++) {
        for (int restart = 0; restart < search.restarts(); restart++) {
          all.add(new One(course, mishaps, combinations, around, restart));
        }
      }
    }
  }

  /** How many searches there are. */
  int count() {
    return all.size();
  }

  /** The most runs that they may take. */
  long runs() {
    return (long) all.size() * search.evaluations();
  }

  /**
   * Searches.
   *
   * @param number which search, 0 to {@link #count} − 1
   * @param firstId the number of its first case
   * @param run runs a case, or looks up what it came to
   */
  void search(int number, long firstId, Judge run) {
    One one = all.get(number);
    new Walk(one, number, firstId, run).go();
  }

  /** One search on its way. */
  private final class Walk {
    private final One one;
    private final Judge run;
    private final SplitMix chance;
    private final long firstId;
    private final int variables;
    private int evaluated;
    private double best = Double.POSITIVE_INFINITY;
    private double[] bestAt = new double[0];

    Walk(One one, int number, long firstId, Judge run) {
      this.one = one;
      this.run = run;
      this.firstId = firstId;
      chance = new SplitMix(new SplitMix(campaign.seed() + 31L * number).next());
      int ranges = 0;
      for (Mishap mishap : one.mishaps()) {
        ranges += (int) mishap.axes().stream().filter(Axis::isRange).count();
      }
      variables = one.mishaps().size() + ranges;
    }

    void go() {
      try {
        int scattered = Math.max(1, (int) (SCATTER * search.evaluations()));
        for (int i = 0; i < scattered; i++) {
          value(scatter(i, scattered));
        }
        walk();
      } catch (Found found) {
        // What it found is in its rows.
      }
    }

    /** The first variable, an instant, stands in a lane of its own each time. */
    private double[] scatter(int i, int of) {
      double[] at = new double[variables];
      for (int v = 0; v < variables; v++) {
        at[v] = chance.fraction();
      }
      at[0] = (i + at[0]) / of;
      return at;
    }

    private void walk() {
      int left = search.evaluations() - evaluated;
      if (left < 1) {
        return;
      }
      double[] low = new double[variables];
      double[] high = new double[variables];
      double[] step = new double[variables];
      Arrays.fill(high, 1);
      Arrays.fill(step, STEP);
      int population = CMA_POPULATION_BASE + (int) (3 * StrictMath.log(Math.max(1, variables)));
      CMAESOptimizer optimizer =
          new CMAESOptimizer(
              Integer.MAX_VALUE,
              Double.NEGATIVE_INFINITY,
              true,
              0,
              10,
              new Well19937c(chance.next()),
              false,
              (iteration, previous, current) -> false);
      try {
        optimizer.optimize(
            new MaxEval(left),
            new ObjectiveFunction(this::value),
            GoalType.MINIMIZE,
            new InitialGuess(bestAt.clone()),
            new CMAESOptimizer.Sigma(step),
            new CMAESOptimizer.PopulationSize(population),
            new SimpleBounds(low, high));
      } catch (MathIllegalStateException spent) {
        // All its runs are spent.
      }
    }

    private double value(double[] at) {
      CampaignCase tried = made(at);
      double share;
      if (CampaignCase.possible(tried.course(), tried.events())) {
        CaseRow row = run.judge(tried);
        evaluated++;
        share = sought(row);
        if (row.failed() && share < 0) {
          throw new Found();
        }
      } else {
        evaluated++;
        share = IMPOSSIBLE;
      }
      if (share < best) {
        best = share;
        bestAt = at.clone();
      }
      return share;
    }

    /** Farther than any run is. */
    private static final double IMPOSSIBLE = 1e3;

    private double sought(CaseRow row) {
      if (search.hazard().isEmpty() || row.verdict() == CaseRow.Verdict.BROKEN) {
        return row.share();
      }
      int i = Hazards.IDS.indexOf(search.hazard());
      return healthy.of(one.course()).share(search.hazard(), row.shares().get(i));
    }

    private CampaignCase made(double[] at) {
      Healthy course = healthy.of(one.course());
      List<Event> events = new ArrayList<>();
      List<String> labels = new ArrayList<>();
      int next = one.mishaps().size();
      for (int m = 0; m < one.mishaps().size(); m++) {
        Mishap mishap = one.mishaps().get(m);
        double[] values = mishap.combination(one.combinations().get(m));
        for (int a = 0; a < values.length; a++) {
          Axis axis = mishap.axes().get(a);
          values[a] = axis.isRange() ? axis.at(at[next++]) : values[a];
        }
        long instant = instant(course, at[m]);
        events.add(mishap.at(instant, values));
        labels.add(mishap.label());
      }
      return new CampaignCase(
          firstId + evaluated,
          one.course(),
          course.modeAt(events.get(0).atMicros()),
          String.join(CampaignCase.JOINED, labels),
          one.mishaps().stream().map(Mishap::kind).toList(),
          events);
    }

    private long instant(Healthy course, double share) {
      double within = Math.min(share, Math.nextDown(1.0));
      return one.around() >= 0
          ? around(course.changes().get(one.around()), within)
          : overall(course, within);
    }

    private long overall(Healthy course, double share) {
      List<String> modes =
          course.modes().stream().filter(m -> ProductCases.asked(one.course(), m)).toList();
      int which = (int) (share * modes.size());
      return course.instant(modes.get(which), share * modes.size() - which);
    }

    /** Before and after a change, by the distance's logarithm. */
    private long around(long change, double share) {
      double place = 2 * share - 1;
      double distance = NEAREST_S * (StrictMath.pow(FARTHEST_S / NEAREST_S, Math.abs(place)) - 1);
      long at = change + StrictMath.round(Math.copySign(distance, place) * 1e6);
      return Math.max(0, Math.min(one.course().scenario().durationMicros() - 1, at));
    }
  }
}
