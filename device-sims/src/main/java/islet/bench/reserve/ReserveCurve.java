package islet.bench.reserve;

import islet.bench.Scenario;
import java.util.List;

/**
 * Bill against hours survived, for several reserves.
 *
 * @param scenario whose span it is, with the settings that all reserves share
 * @param version of Islet
 * @param wraps whether weather and loads go on at the span's beginning when it is over
 * @param outageMicros the outage that shall be survived, microseconds
 * @param points one for each reserve, in the order asked for
 * @param proofs outages that were rehearsed whole, to be set beside the account of energy
 */
public record ReserveCurve(
    Scenario scenario,
    String version,
    boolean wraps,
    long outageMicros,
    List<ReservePoint> points,
    List<Proof> proofs) {

  /**
   * An outage that was rehearsed whole.
   *
   * @param reserve as it was asked for
   * @param account what the account of energy says
   * @param rehearsed what the rehearsal says
   */
  public record Proof(String reserve, Outage account, Outage rehearsed) {

    /** An account may be off by a twentieth, or by a quarter of an hour in a short outage. */
    private static final double SHARE = 0.05;

    private static final double LEAST_MICROS = 900e6;

    /** Whether the account is within 5 % or 15 minutes of the rehearsal. */
    public boolean close() {
      double off = Math.abs(account.micros() - rehearsed.micros());
      return off <= Math.max(LEAST_MICROS, SHARE * rehearsed.micros());
    }
  }

  public ReserveCurve {
    points = List.copyOf(points);
    proofs = List.copyOf(proofs);
  }

  /** Whether every run passed its verdict. */
  public boolean passed() {
    return points.stream().allMatch(point -> point.result().passed());
  }
}
