package islet.plant;

import java.util.ArrayList;
import java.util.List;

/**
 * The whole current-voltage curve of a module, as a table to be drawn or compared.
 *
 * @param points from short circuit to open circuit
 * @param maximumPower where its power is largest
 */
public record IvCurve(List<Point> points, Point maximumPower) {

  /** Takes a copy. */
  public IvCurve {
    points = List.copyOf(points);
  }

  /**
   * A point of the curve.
   *
   * @param volts at the terminals, V
   * @param amps out of the module, A
   */
  public record Point(double volts, double amps) {
    /** V times A, W. */
    public double watts() {
      return volts * amps;
    }
  }

  /**
   * A module's curve.
   *
   * @param module fitted to its datasheet
   * @param irradiance in the module's plane, W/m², more than 0
   * @param cellC cell temperature, °C
   * @param steps between the points, equal in the junction's voltage and so closer at the knee
   */
  public static IvCurve of(ModuleModel module, double irradiance, double cellC, int steps) {
    Require.positive(irradiance, "The irradiance in W/m²");
    Require.atLeastOne(steps, "The number of steps of a curve");
    SingleDiode diode = module.at(irradiance, cellC);
    double shorted = diode.currentA(0) * diode.seriesOhm();
    double open = diode.openCircuitV();
    List<Point> points = new ArrayList<>();
    for (int i = 0; i <= steps; i++) {
      points.add(at(diode, shorted + (open - shorted) * i / steps));
    }
    return new IvCurve(points, at(diode, diode.junctionAtMaximumPowerV()));
  }

  private static Point at(SingleDiode diode, double junctionV) {
    return new Point(diode.terminalV(junctionV), diode.currentAtJunction(junctionV));
  }

  /** Current at no voltage, A. */
  public double shortCircuitA() {
    return points.get(0).amps();
  }

  /** Voltage at no current, V. */
  public double openCircuitV() {
    return points.get(points.size() - 1).volts();
  }
}
