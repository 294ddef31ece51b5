package islet.site;

import java.util.List;

/**
 * What the battery and the feed do for the bill, and how far the utility is trusted.
 *
 * @param plan who says what happens in the next hours
 * @param trade what the battery may do while energy is dear
 * @param roundTrip share of the energy taken from the utility that comes back, 0 to 1, until it has
 *     been measured
 * @param exportWindows times in which power may leave the site; empty for any time
 * @param waitConfidence charging waits for the next window only if the utility is there then with
 *     this probability at least, 0 to 1; 0 waits always
 * @param warning what a warning changes
 */
public record Dispatch(
    Plan plan,
    Trade trade,
    double roundTrip,
    List<ExportWindow> exportWindows,
    double waitConfidence,
    Warning warning) {

  /**
   * Where nothing is said: lead-acid with both conversions gives back about so much (common
   * practice).
   */
  public static final double USUAL_ROUND_TRIP = 0.70;

  /** Where nothing is said: a warned utility is worth the toss of a coin. */
  public static final double USUAL_WARNED_CONFIDENCE = 0.5;

  /** By the charge windows, with no trade, no export window, no warning beyond the reserve. */
  public static final Dispatch USUAL =
      new Dispatch(
          Plan.WINDOWS,
          Trade.NONE,
          USUAL_ROUND_TRIP,
          List.of(),
          0,
          new Warning(1, USUAL_WARNED_CONFIDENCE));

  public Dispatch {
    exportWindows = List.copyOf(exportWindows);
  }

  /** Who says what happens in the next hours. */
  public enum Plan {
    /** The charge windows as written, and the rule of prices for trade. */
    WINDOWS,
    /** A linear program over the next day and a half, solved anew each hour. */
    OPTIMAL
  }

  /** What the battery may do while energy is dear. */
  public enum Trade {
    /** It waits for an outage. */
    NONE,
    /** It carries the site's loads. */
    LOADS,
    /** It carries the loads, and is exported. */
    EXPORT
  }

  /** A time of day in which power may leave the site, on some days. */
  public record ExportWindow(Site.MinuteSpan span, DaySet days) implements Timed {}

  /**
   * What changes while somebody's warning stands, such as of a storm or an announced outage.
   *
   * @param reserveSoc the reserve meanwhile, unless another is higher, 0 to 1
   * @param confidence the most that the utility is trusted meanwhile, 0 to 1
   */
  public record Warning(double reserveSoc, double confidence) {}
}
