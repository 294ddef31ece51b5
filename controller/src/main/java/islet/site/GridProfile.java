package islet.site;

import java.util.List;

/**
 * A grid code's limits, read from a profile file.
 *
 * @param trips voltage and frequency limits with their clearing times
 * @param enter when a source may come back
 * @param sync what a sync check demands
 * @param islandDetectionS within this an unintentional island must end
 * @param cessationBelowPu below this the source ceases to feed while it rides through
 */
public record GridProfile(
    String name,
    String source,
    List<Trip> trips,
    EnterService enter,
    SyncLimits sync,
    double islandDetectionS,
    double cessationBelowPu) {

  public GridProfile {
    trips = List.copyOf(trips);
  }

  /** What a limit watches and on which side. */
  public enum Quantity {
    OVER_VOLTAGE,
    UNDER_VOLTAGE,
    OVER_FREQUENCY,
    UNDER_FREQUENCY
  }

  /**
   * One limit: pass it for the clearing time and the source must have left.
   *
   * @param name as the code names it, such as UV1
   * @param limit in per unit of nominal voltage or in Hz
   * @param clearingS in seconds
   */
  public record Trip(String name, Quantity quantity, double limit, double clearingS) {}

  /** The band that the utility must hold, for how long, and how fast power may rise afterwards. */
  public record EnterService(
      double minimumPu,
      double maximumPu,
      double minimumHz,
      double maximumHz,
      double delayS,
      double rampS) {}

  /** The largest differences across the tie at which it may close. */
  public record SyncLimits(double voltagePu, double frequencyHz, double angleDeg) {}
}
