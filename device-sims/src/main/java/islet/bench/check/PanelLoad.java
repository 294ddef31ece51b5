package islet.bench.check;

import islet.site.Site;
import java.util.ArrayList;
import java.util.List;

/**
 * What a panel's circuits draw at nominal voltage.
 *
 * @param meanW over a year of 365 days
 * @param worstDayW mean of the day that takes the most
 * @param peakW the most in any hour, with everything on that can be on in that hour
 * @param peakVa the same as apparent power
 * @param starts what the panel draws while each of its motors starts
 */
record PanelLoad(
    double meanW, double worstDayW, double peakW, double peakVa, List<MotorStart> starts) {

  PanelLoad {
    starts = List.copyOf(starts);
  }

  /**
   * A motor's start while all else is on.
   *
   * @param stated whether the file states the start; else it is assumed
   * @param panelVa what the panel draws meanwhile
   * @param forS how long
   */
  record MotorStart(String circuit, boolean stated, double panelVa, double forS) {}

  /** Running current times six for half a second: a usual small motor, from memory. */
  static final double USUAL_FACTOR = 6;

  static final double USUAL_START_S = 0.5;

  /** What cycles at a power factor of this or less is taken for a motor. */
  private static final double MOTOR_POWER_FACTOR = 0.85;

  private static final int HOURS_A_DAY = 24;

  static PanelLoad of(Site site, Site.Panel panel) {
    List<CircuitLoad> loads = new ArrayList<>();
    for (Site.Circuit circuit : site.circuits()) {
      if (circuit.panel() == panel) {
        loads.add(new CircuitLoad(circuit));
      }
    }
    double sumW = 0;
    double dayW = 0;
    double worstDayW = 0;
    double peakW = 0;
    double peakVa = 0;
    for (int hour = 0; hour < CircuitLoad.HOURS; hour++) {
      double w = 0;
      double var = 0;
      for (CircuitLoad load : loads) {
        double meanW = load.meanW(hour);
        double mostW = load.mostW(hour);
        dayW += meanW;
        sumW += meanW;
        w += mostW;
        var += mostW * tangent(load.circuit().powerFactor());
      }
      peakW = Math.max(peakW, w);
      peakVa = Math.max(peakVa, Math.sqrt(w * w + var * var));
      if (hour % HOURS_A_DAY == HOURS_A_DAY - 1) {
        worstDayW = Math.max(worstDayW, dayW / HOURS_A_DAY);
        dayW = 0;
      }
    }
    return new PanelLoad(sumW / CircuitLoad.HOURS, worstDayW, peakW, peakVa, starts(loads, peakVa));
  }

  /** Reactive over real power. */
  private static double tangent(double powerFactor) {
    return Math.sqrt(1 - powerFactor * powerFactor) / powerFactor;
  }

  private static List<MotorStart> starts(List<CircuitLoad> loads, double peakVa) {
    List<MotorStart> starts = new ArrayList<>();
    for (CircuitLoad load : loads) {
      Site.Circuit circuit = load.circuit();
      boolean stated = circuit.inrush().isPresent();
      boolean motor =
          circuit.load() instanceof Site.CyclingLoad && circuit.powerFactor() <= MOTOR_POWER_FACTOR;
      if (stated || motor) {
        double factor = circuit.inrush().map(Site.Inrush::factor).orElse(USUAL_FACTOR);
        double forS = circuit.inrush().map(Site.Inrush::forS).orElse(USUAL_START_S);
        double extraVa = (factor - 1) * load.mostW() / circuit.powerFactor();
        starts.add(new MotorStart(circuit.name(), stated, peakVa + extraVa, forS));
      }
    }
    return starts;
  }
}
