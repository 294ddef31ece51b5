package islet.plant;

/**
 * A module's single-diode parameters, fitted to its datasheet and translated to irradiance and cell
 * temperature, after Villalva, Gazoli and Ruppert Filho, IEEE Transactions on Power Electronics
 * 24(5), 2009.
 *
 * <p>Valid from some 50 to 1200 W/m² and −30 to 90 °C cell temperature for crystalline silicon;
 * below it the shunt, held constant here, takes too much.
 */
public final class ModuleModel {
  /** Boltzmann's constant, J/K, and the elementary charge, C (SI 2019, exact). */
  private static final double BOLTZMANN = 1.380649e-23;

  private static final double CHARGE = 1.602176634e-19;

  /** The diode's ideality; the paper sets it rather than fits it, 1.0 to 1.5. */
  static final double IDEALITY = 1.3;

  private static final double KELVIN = 273.15;
  private static final double REFERENCE_C = 25;
  private static final double REFERENCE_W_PER_M2 = 1000;

  /** The paper raises Rs from zero in steps until the curve's peak meets the datasheet's. */
  private static final double SERIES_STEP_OHM = 0.001;

  /**
   * The share by which the peak may still exceed the datasheet's power when the search stops. The
   * paper names no figure; this one reproduces its published pair. The curve is flat there: going
   * on to exact agreement would change the power by less than this and nothing else that matters.
   */
  private static final double PEAK_TOLERANCE = 3e-5;

  private final ModuleSpec spec;
  private final double seriesOhm;
  private final double shuntOhm;

  /**
   * Fits a module.
   *
   * @throws IllegalArgumentException when no single diode with this ideality meets the datasheet
   */
  public ModuleModel(ModuleSpec spec) {
    this.spec = spec;
    double peak = spec.vmpV() * spec.impA();
    double rs = 0;
    int step = 0;
    while (true) {
      double rp = shuntThroughPeak(rs);
      if (!(rp > 0)) {
        throw new IllegalArgumentException(
            "The module's datasheet (short circuit "
                + spec.iscA()
                + " A, open circuit "
                + spec.vocV()
                + " V, maximum power at "
                + spec.vmpV()
                + " V and "
                + spec.impA()
                + " A, "
                + spec.cells()
                + " cells) fits no single diode with ideality "
                + IDEALITY
                + "; check the figures and the number of cells.");
      }
      double excess = reference(rs, rp).maximumPowerW() - peak;
      if (excess <= PEAK_TOLERANCE * peak && rs > 0) {
        seriesOhm = rs;
        shuntOhm = rp;
        return;
      }
      rs = ++step * SERIES_STEP_OHM;
    }
  }

  /** The shunt with which the curve passes through the datasheet's maximum power point. */
  private double shuntThroughPeak(double rs) {
    double diode =
        saturationA(REFERENCE_C)
            * StrictMath.expm1((spec.vmpV() + spec.impA() * rs) / thermalV(REFERENCE_C));
    double shortfall = spec.iscA() - spec.impA();
    return (spec.vmpV() - shortfall * rs) / (shortfall - diode);
  }

  private SingleDiode reference(double rs, double rp) {
    return new SingleDiode(
        spec.iscA() * (rs + rp) / rp, saturationA(REFERENCE_C), rs, rp, thermalV(REFERENCE_C));
  }

  private double thermalV(double cellC) {
    return IDEALITY * spec.cells() * BOLTZMANN * (cellC + KELVIN) / CHARGE;
  }

  private double saturationA(double cellC) {
    double warmer = cellC - REFERENCE_C;
    return (spec.iscA() + spec.kiAPerK() * warmer)
        / StrictMath.expm1((spec.vocV() + spec.kvVPerK() * warmer) / thermalV(cellC));
  }

  /**
   * The module's curve.
   *
   * @param irradiance in its plane, W/m²
   * @param cellC cell temperature, °C
   */
  public SingleDiode at(double irradiance, double cellC) {
    double photo =
        (spec.iscA() * (seriesOhm + shuntOhm) / shuntOhm + spec.kiAPerK() * (cellC - REFERENCE_C))
            * irradiance
            / REFERENCE_W_PER_M2;
    return new SingleDiode(photo, saturationA(cellC), seriesOhm, shuntOhm, thermalV(cellC));
  }

  /**
   * Cell temperature by the NOCT relation (IEC 61215's definition: 800 W/m², 20 °C air), °C.
   *
   * @param irradiance in the module's plane, W/m²
   * @param ambientC air, °C
   */
  public double cellC(double irradiance, double ambientC) {
    return ambientC + (spec.noctC() - 20) / 800 * irradiance;
  }

  /** Fitted series resistance, Ω. */
  public double seriesOhm() {
    return seriesOhm;
  }

  /** Fitted shunt resistance, Ω. */
  public double shuntOhm() {
    return shuntOhm;
  }
}
