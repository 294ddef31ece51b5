package islet.control;

import islet.site.Site;

/**
 * Switches circuits off in the declared order as the island's energy falls, one at each of evenly
 * spaced states of charge between the site's threshold and the floor, and on again with hysteresis.
 * An island that has ended by overload starts again with half of them, and then with none. Last of
 * all comes the low-voltage disconnect, which is the inverter's and the mode machine's.
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

  void remember(Memory memory) {
    off = (int) memory.count("shed", off);
  }

  /**
   * How many circuits are to be off.
   *
   * @param overloads how often in a row the island has ended by overload
   */
  int decide(double soc, boolean islanded, int overloads) {
    if (!islanded) {
      off = 0;
      return 0;
    }
    return Math.max(byEnergy(soc), byOverload(overloads));
  }

  private int byOverload(int overloads) {
    return overloads == 0 ? 0 : overloads == 1 ? (circuits + 1) / 2 : circuits;
  }

  private int byEnergy(double soc) {
    while (off < circuits && soc < firstSoc - off * stepSoc) {
      off++;
    }
    while (off > 0 && soc > firstSoc - (off - 1) * stepSoc + hysteresis) {
      off--;
    }
    return off;
  }
}
