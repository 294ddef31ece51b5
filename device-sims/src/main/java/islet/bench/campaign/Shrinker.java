package islet.bench.campaign;

import islet.bench.Event;
import islet.bench.RunResult;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.bench.Scenario;
import islet.control.SupervisorMaker;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * Makes a failing case as small as it gets while the same hazard still fails: first the fewest
 * events, taking away one after the other until none can be spared; then the shortest run.
 */
public final class Shrinker {

  /** A run goes on so long after the violation, µs: for a person to see what followed. */
  private static final long AFTERMATH = 5_000_000;

  private final CaseRunner runner;
  private final SupervisorMaker maker;
  private int runs;

  /** For the cases of a campaign under a supervisor. */
  public Shrinker(CampaignRun run, SupervisorMaker maker) {
    this.runner = run.runner();
    this.maker = maker;
  }

  /** How many runs it took so far. */
  public int runs() {
    return runs;
  }

  /**
   * Shrinks a scenario.
   *
   * @param hazard the one that fails, by id
   * @return a scenario in which it still does; empty when it does not fail in the given one
   */
  public Optional<Scenario> shrink(Scenario failing, String hazard) {
    if (violation(failing, hazard) < 0) {
      return Optional.empty();
    }
    Scenario least = failing;
    boolean spared = true;
    while (spared) {
      spared = false;
      for (int i = least.events().size() - 1; i >= 0; i--) {
        List<Event> fewer = new ArrayList<>(least.events());
        fewer.remove(i);
        Scenario tried = least.happening(least.title(), least.durationMicros(), fewer);
        if (violation(tried, hazard) >= 0) {
          least = tried;
          spared = true;
        }
      }
    }
    long at = violation(least, hazard);
    long last = least.events().stream().mapToLong(Event::atMicros).max().orElse(0);
    long lasting = (Math.max(at, last) / 1_000_000 + 1) * 1_000_000 + AFTERMATH;
    while (lasting < least.durationMicros()) {
      Scenario shorter = least.happening(least.title(), lasting, least.events());
      if (violation(shorter, hazard) >= 0) {
        return Optional.of(shorter);
      }
      lasting *= 2;
    }
    return Optional.of(least);
  }

  /** When the hazard is violated first, µs after the start; −1 when it is not. */
  private long violation(Scenario scenario, String hazard) {
    runs++;
    RunResult result = runner.result(scenario, maker);
    for (HazardVerdict verdict : result.hazards()) {
      if (verdict.id().equals(hazard) && verdict.verdict() == Outcome.FAIL) {
        return Math.max(0, StrictMath.round(verdict.firstAtSeconds() * 1e6));
      }
    }
    return -1;
  }
}
