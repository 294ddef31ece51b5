package islet.bench.reserve;

import islet.bench.RunResult;
import islet.bench.RunResult.Entry;
import java.util.Comparator;
import java.util.List;

/**
 * One reserve.
 *
 * @param reserve as it was asked for, such as 50%
 * @param result what the span came to with the utility there
 * @param outages one for every full hour, in the order of time; at least one
 * @param survival of those outages
 */
public record ReservePoint(
    String reserve, RunResult result, List<Outage> outages, Survival survival) {

  private static final String TOTAL = "total_";

  public ReservePoint {
    outages = List.copyOf(outages);
  }

  /** The currency of the bill. */
  public String currency() {
    return total().name().substring(TOTAL.length());
  }

  /** The whole bill of the span, in {@link #currency}. */
  public double bill() {
    return total().value();
  }

  private Entry total() {
    return result.cost().stream()
        .filter(entry -> entry.name().startsWith(TOTAL))
        .findFirst()
        .orElseThrow();
  }

  /** The outages after which the panel was dark soonest, the shortest first. */
  public List<Outage> worst(int most) {
    return outages.stream()
        .filter(outage -> outage.end() == Outage.End.DARK)
        .sorted(Comparator.comparingLong(Outage::micros))
        .limit(most)
        .toList();
  }

  /** How many outages ended so. */
  public long count(Outage.End end) {
    return outages.stream().filter(outage -> outage.end() == end).count();
  }
}
