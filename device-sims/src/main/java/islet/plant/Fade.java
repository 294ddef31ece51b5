package islet.plant;

/**
 * Capacity that is lost by use: linear in the charge that has passed through, a fifth of the new
 * bank's capacity in a given number of equivalent full cycles (common practice: data sheets state
 * cycles to 80 %). Depth of discharge, temperature and the calendar are left out.
 *
 * <p>Active material that is lost takes its charge and its energy along; the state of charge of the
 * rest stays as it is. So a bank's books close with one more term.
 */
final class Fade {
  private static final double LOST_AT_END = 0.2;

  /** Below this share of the new capacity the line means nothing; it stops there. */
  private static final double LEAST_HEALTH = 0.1;

  private final double lostPerC;
  private double health;

  /**
   * From some health on.
   *
   * @param ratedAh one equivalent full cycle takes so much out, Ah
   * @param cyclesTo80 equivalent full cycles after which 80 % of the capacity are left
   * @param health capacity over the new bank's, 0.1 to 1
   */
  Fade(double ratedAh, double cyclesTo80, double health) {
    this.lostPerC = LOST_AT_END / (cyclesTo80 * ratedAh * 3600);
    this.health = health;
  }

  /** Counts a charge that was taken out, C; returns the share of what is left that went with it. */
  double wear(double dischargedC) {
    double lost = Math.min(lostPerC * dischargedC, health - LEAST_HEALTH);
    if (!(lost > 0)) {
      return 0;
    }
    double share = lost / health;
    health -= lost;
    return share;
  }

  /** Loses a share of what is left at once; returns the share that went, as far as any may. */
  double lose(double share) {
    double lost = Math.min(share * health, health - LEAST_HEALTH);
    if (!(lost > 0)) {
      return 0;
    }
    double went = lost / health;
    health -= lost;
    return went;
  }

  double health() {
    return health;
  }
}
