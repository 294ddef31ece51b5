package islet.control;

import islet.site.Site.Battery;

/**
 * A lithium iron phosphate cell: its resting voltage is so flat that it tells little between a
 * sixth and nine tenths of its charge, so there the count is believed.
 */
final class LfpCell implements CellModel {

  /** Resting voltage from 0 % to 100 % in steps of 10 % (common practice, from memory), V. */
  private static final double[] RESTING = {
    2.50, 3.00, 3.20, 3.22, 3.25, 3.26, 3.27, 3.30, 3.32, 3.35, 3.40
  };

  /** Drop at the one-hour current after a minute at 25 °C, V (from memory). */
  private static final double DROP_V = 0.12;

  /** The middle is flat: 10 mV too much or too little are a tenth of the charge. */
  private static final double GUESS_DOUBT = 0.10;

  /** Below here the voltage falls by 20 mV and more for each hundredth. */
  private static final double STEEP_BELOW = 0.15;

  /** Resistance doubles from 25 to 0 °C (from memory). */
  private static final double DOUBLES_K = 25;

  private static final double REFERENCE_C = 25;
  private static final double COULOMBIC = 0.998;

  private final double capacityAh;

  LfpCell(Battery battery) {
    capacityAh = battery.capacity20hAh();
  }

  @Override
  public double restingV(double soc) {
    double place = 10 * soc;
    int i = (int) Math.max(0, Math.min(RESTING.length - 2, Math.floor(place)));
    return RESTING[i] + (place - i) * (RESTING[i + 1] - RESTING[i]);
  }

  @Override
  public double dropV(double soc, double currentA, double temperatureC) {
    double colder = StrictMath.pow(2, (REFERENCE_C - temperatureC) / DOUBLES_K);
    return DROP_V * currentA / capacityAh * colder;
  }

  @Override
  public double guessDoubt() {
    return GUESS_DOUBT;
  }

  /** The voltage rises steeply at the end: what a cell takes beyond is little (common practice). */
  @Override
  public double fullDoubt() {
    return 0.01;
  }

  @Override
  public boolean tellsAtRest(double soc) {
    return soc < STEEP_BELOW;
  }

  @Override
  public double coulombicShare() {
    return COULOMBIC;
  }

  @Override
  public double heldPerRated() {
    return 1;
  }
}
