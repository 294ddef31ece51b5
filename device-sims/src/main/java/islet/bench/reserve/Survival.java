package islet.bench.reserve;

import islet.bench.reserve.Outage.End;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * How many of a set of outages are survived for how long. An outage that the end of the span cut
 * counts for as long as it was watched: the product-limit estimate of Kaplan and Meier (Journal of
 * the American Statistical Association 53, 1958; from memory). Where none is cut that is the plain
 * share.
 */
public final class Survival {

  private final long[] darkMicros;
  private final double[] shares;
  private final long watchedMicros;

  private Survival(long[] darkMicros, double[] shares, long watchedMicros) {
    this.darkMicros = darkMicros;
    this.shares = shares;
    this.watchedMicros = watchedMicros;
  }

  /** Of these outages; at least one. */
  public static Survival of(List<Outage> outages) {
    List<Outage> sorted = new ArrayList<>(outages);
    sorted.sort(Comparator.comparingLong(Outage::micros));
    List<Long> instants = new ArrayList<>();
    List<Double> shares = new ArrayList<>();
    double share = 1;
    int i = 0;
    while (i < sorted.size()) {
      long micros = sorted.get(i).micros();
      int watched = sorted.size() - i;
      int dark = 0;
      while (i < sorted.size() && sorted.get(i).micros() == micros) {
        dark += sorted.get(i).end() == End.DARK ? 1 : 0;
        i++;
      }
      if (dark > 0) {
        share *= (watched - dark) / (double) watched;
        instants.add(micros);
        shares.add(share);
      }
    }
    return new Survival(
        instants.stream().mapToLong(Long::longValue).toArray(),
        shares.stream().mapToDouble(Double::doubleValue).toArray(),
        sorted.get(sorted.size() - 1).micros());
  }

  /**
   * Share of outages that are survived for so long, 0 to 1; NaN when none was watched for so long
   * and some may have been survived.
   */
  public double share(long micros) {
    double share = 1;
    for (int i = 0; i < darkMicros.length && darkMicros[i] < micros; i++) {
      share = shares[i];
    }
    return micros > watchedMicros && share > 0 ? Double.NaN : share;
  }

  /**
   * The time after which this share of the panels is dark, microseconds; {@link Long#MAX_VALUE}
   * when fewer were seen to go dark.
   *
   * @param dark 0 to 1, such as 0.5 for the median
   */
  public long quantileMicros(double dark) {
    for (int i = 0; i < darkMicros.length; i++) {
      // Products of shares end a rounding away from the round figure.
      if (shares[i] <= 1 - dark + 1e-9) {
        return darkMicros[i];
      }
    }
    return Long.MAX_VALUE;
  }

  /** The longest time for which any outage was watched, microseconds. */
  public long watchedMicros() {
    return watchedMicros;
  }
}
