package islet.control;

import islet.site.Site.Battery;

/**
 * A flooded lead-acid cell: resting voltage and resistances tell the state of charge fairly well.
 */
final class LeadAcidCell implements CellModel {

  /**
   * Resting voltage of a 12 V flooded battery at 25 °C from 20 % to 100 % in steps of 10 %
   * (handbook table, common practice).
   */
  private static final double[] RESTING_12V = {
    11.66, 11.81, 11.96, 12.10, 12.24, 12.37, 12.50, 12.62, 12.73
  };

  /** How far a guess by voltage may be off: half a step of the table above. */
  private static final double GUESS_DOUBT = 0.03;

  /**
   * The ten-hour capacity is this part of the twenty-hour one (common practice for Peukert's law).
   */
  private static final double TEN_HOURS = 0.94;

  /**
   * At a tail current of some hundredths of the capacity the last 2 to 3 % are still missing
   * (common practice).
   */
  private static final double FULL_DOUBT = 0.025;

  private static final double REFERENCE_C = 25;

  /** Share of the charging current that is stored below full; the rest is taken as lost. */
  private static final double COULOMBIC = 0.97;

  /**
   * A full cell holds more than the twenty-hour current gets out of it; the rest is still bound
   * when the voltage ends. By the two wells of Manwell and McGowan (Solar Energy 50, 1993, from
   * memory) with a ratio of 0.4 and a rate of 2 per hour: (1 + 0.4 · 39) / (0.4 · 40).
   */
  private static final double HELD = 1.0375;

  private final double tenHourAh;

  LeadAcidCell(Battery battery) {
    tenHourAh = TEN_HOURS * battery.capacity20hAh();
  }

  /**
   * Voltage drop of a cell by the resistances of Copetti, Lorenzo and Chenlo (Progress in
   * Photovoltaics 1, 1993, from memory), V, positive while it charges. The charge term is fitted so
   * that C/10 reaches 2.40 V per cell at 85 to 90 % (common practice).
   */
  @Override
  public double dropV(double charge, double currentA, double temperatureC) {
    double warmerK = temperatureC - REFERENCE_C;
    double amps = Math.abs(currentA);
    double rate = amps / tenHourAh;
    if (currentA < 0) {
      double share = Math.max(0.02, charge);
      double resistance =
          4 / (1 + StrictMath.pow(amps, 1.3)) + 0.27 / StrictMath.pow(share, 1.5) + 0.02;
      return -rate * resistance * (1 - 0.007 * warmerK);
    }
    double resistance =
        6 / (1 + StrictMath.pow(amps, 0.86)) + 0.23 / StrictMath.pow(1 - charge, 1.2) + 0.036;
    return rate * resistance * (1 - 0.025 * warmerK);
  }

  /** Resting voltage of a cell, V, by the table, carried on in a straight line below it. */
  @Override
  public double restingV(double charge) {
    double place = (charge - 0.2) / 0.1;
    int i = (int) Math.max(0, Math.min(RESTING_12V.length - 2, Math.floor(place)));
    double twelve = RESTING_12V[i] + (place - i) * (RESTING_12V[i + 1] - RESTING_12V[i]);
    return twelve / 6;
  }

  @Override
  public double guessDoubt() {
    return GUESS_DOUBT;
  }

  @Override
  public double fullDoubt() {
    return FULL_DOUBT;
  }

  @Override
  public boolean tellsAtRest(double soc) {
    return true;
  }

  @Override
  public double coulombicShare() {
    return COULOMBIC;
  }

  @Override
  public double heldPerRated() {
    return HELD;
  }
}
