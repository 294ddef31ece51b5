package islet.control;

import islet.site.Site;

/**
 * Switches circuits off in the declared order as the island's energy falls, one at each of evenly
 * spaced states of charge between the site's threshold and the floor, and on again with hysteresis.
 * Last of all comes the low-voltage disconnect, which is the inverter's and the mode machine's.
 */
final class LoadShedding {

  private final int circuits;
  private final double firstSoc;
  private final double stepSoc;
  private final double hysteresis;
  private int off;

  LoadShedding(Site site) {
    circuits = site.supervision().shedding().size();
    firstSoc = site.supervision().shedBelowSoc();
    stepSoc = circuits == 0 ? 0 : (firstSoc - site.battery().limits().floorSoc()) / circuits;
    hysteresis = site.supervision().restoreAboveSoc() - firstSoc;
  }

  /** How many circuits are to be off. */
  int decide(double soc, boolean islanded) {
    if (!islanded) {
      off = 0;
      return 0;
    }
    while (off < circuits && soc < firstSoc - off * stepSoc) {
      off++;
    }
    while (off > 0 && soc > firstSoc - (off - 1) * stepSoc + hysteresis) {
      off--;
    }
    return off;
  }
}
