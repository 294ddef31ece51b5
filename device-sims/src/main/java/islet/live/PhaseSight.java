package islet.live;

import islet.contract.Decimal;
import islet.contract.Mode;
import islet.control.Phase;
import islet.control.SiteSupervisor;
import islet.control.Supervisor;
import islet.site.Site;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Optional;
import java.util.function.Function;

/**
 * In which step of the mode machine Islet's own supervisor is: of the supervisors that a run has
 * made, the newest one that is in the mode that the wire tells, since one that only looks on may be
 * in another. Belongs to the run's own thread.
 */
final class PhaseSight {

  /** The first, one after a restart, and a second one beside it. */
  private static final int MOST = 3;

  private static final int DECIMALS = 2;
  private static final double MOST_S = 1e6;

  private final Deque<SiteSupervisor> made = new ArrayDeque<>();

  /**
   * A step, since when, and what its rows wait for.
   *
   * @param sinceMicros µs since 1970
   * @param waits as {@link islet.contract.BenchTelemetry} has it
   */
  record Seen(Phase phase, long sinceMicros, String waits) {}

  /** The same maker, whose supervisors are seen. */
  Function<Site, Supervisor> over(Function<Site, Supervisor> maker) {
    return site -> {
      Supervisor supervisor = maker.apply(site);
      if (supervisor instanceof SiteSupervisor own) {
        made.addFirst(own);
        if (made.size() > MOST) {
          made.removeLast();
        }
      }
      return supervisor;
    };
  }

  private static String waits(SiteSupervisor supervisor) {
    StringBuilder out = new StringBuilder();
    supervisor.waits(
        (row, wait, passedS, limitS) -> {
          // What has been so since long before the site was looked at needs no more digits.
          String passed = Decimal.text(Math.min(passedS, MOST_S), DECIMALS);
          out.append(out.length() == 0 ? "" : ", ").append(row).append(' ').append(wait);
          out.append(' ').append(passed).append('/').append(Decimal.text(limitS, DECIMALS));
        });
    return out.toString();
  }

  /** The step of the one that is in this mode; empty when nobody is. */
  Optional<Seen> in(Mode told) {
    for (SiteSupervisor supervisor : made) {
      if (supervisor.phase().mode() == told) {
        return Optional.of(
            new Seen(supervisor.phase(), supervisor.phaseSince(), waits(supervisor)));
      }
    }
    return Optional.empty();
  }
}
