package islet.plant;

import java.util.ArrayList;
import java.util.List;

/** The published values that the batteries are held against. */
final class BatteryReferences {
  private static final String PEUKERT = "Peukert's law, textbook form";
  private static final String WELLS = "Manwell, McGowan, Solar Energy 50, 1993";
  private static final String COPETTI =
      "Copetti, Lorenzo, Chenlo, Progress in Photovoltaics 1, 1993";
  private static final String RESTING = "handbook table of resting voltages, common practice";
  private static final String BANK =
      "Peukert's law with 1.2, common practice for flooded deep-cycle banks";

  /** The ferry landing's bank. */
  private static final double RATED_AH = 400;

  private static final double RATED_H = 20;
  private static final double EXPONENT = 1.2;
  private static final LeadAcidSpec LANDING = LeadAcidSpec.flooded(24, RATED_AH / 1.04);

  private static final double WARM_C = 25;

  /** End of a discharge of three hours and more, V per cell (common practice). */
  private static final double SLOW_CUT_V = 1.75;

  /**
   * End of a discharge of one or two hours, V per cell (common practice: the drop is allowed for).
   */
  private static final double FAST_CUT_V = 1.60;

  private BatteryReferences() {}

  static List<Row> rows() {
    List<Row> rows = new ArrayList<>();
    rows.add(
        new Row(
            "R13",
            "hours that 100 Ah at 20 h last at 10 A, exponent 1.2",
            PEUKERT,
            false,
            8.706,
            Peukert.hours(100, 20, 10, 1.2),
            0.0005,
            "h"));
    discharge(rows, 20, SLOW_CUT_V);
    discharge(rows, 10, SLOW_CUT_V);
    discharge(rows, 5, SLOW_CUT_V);
    discharge(rows, 2, FAST_CUT_V);
    rows.add(
        new Row(
            "R14",
            "largest difference of the two wells, closed form and numerical integration, over full",
            WELLS,
            false,
            0,
            wellsError(),
            1e-8,
            ""));
    copetti(rows);
    double[] twelveVolts = {11.66, 11.81, 11.96, 12.10, 12.24, 12.37, 12.50, 12.62, 12.73};
    for (int i = 0; i < twelveVolts.length; i++) {
      double soc = 0.2 + 0.1 * i;
      rows.add(
          new Row(
              "R16",
              "six cells at rest, " + (20 + 10 * i) + " % charged",
              RESTING,
              true,
              twelveVolts[i],
              6 * RestingVoltage.volts(soc),
              0.01,
              "V"));
    }
    return rows;
  }

  /** Ten percent is what banks of one type differ by. */
  private static void discharge(List<Row> rows, int rate, double cutV) {
    double amps = RATED_AH / rate;
    double expected = Peukert.hours(RATED_AH, RATED_H, amps, EXPONENT);
    rows.add(
        new Row(
            "R13",
            "hours that 400 Ah at 20 h last at C/" + rate + ", down to " + cutV + " V per cell",
            BANK,
            true,
            expected,
            LoneBank.dischargeHours(LANDING, amps, cutV, WARM_C),
            0.1 * expected,
            "h"));
  }

  /**
   * Two hours of 60 A out and two of 30 A in, against the paper's two equations by the classical
   * Runge-Kutta rule in steps of 1 s, whose own error is far below the tolerance.
   */
  private static double wellsError() {
    double share = LANDING.availableShare();
    double rate = LANDING.ratePerH() / 3600;
    double full = LANDING.fullAh() * 3600;
    KineticBattery closed = new KineticBattery(share, rate, full, 0.8);
    double q1 = closed.availableC();
    double q2 = closed.boundC();
    double worst = 0;
    for (int step = 0; step < 14_400; step++) {
      double amps = step < 7200 ? -60 : 30;
      double k1 = exchange(q1, q2, share, rate);
      double k2 = exchange(q1 + 0.5 * (amps - k1), q2 + 0.5 * k1, share, rate);
      double k3 = exchange(q1 + 0.5 * (amps - k2), q2 + 0.5 * k2, share, rate);
      double k4 = exchange(q1 + amps - k3, q2 + k3, share, rate);
      double moved = (k1 + 2 * k2 + 2 * k3 + k4) / 6;
      q1 += amps - moved;
      q2 += moved;
      closed.advance(amps, 1);
      double off = Math.max(Math.abs(q1 - closed.availableC()), Math.abs(q2 - closed.boundC()));
      worst = Math.max(worst, off / full);
    }
    return worst;
  }

  /** From the available to the bound well, A. */
  private static double exchange(double q1, double q2, double share, double rate) {
    return rate * share * (1 - share) * (q1 / share - q2 / (1 - share));
  }

  private static void copetti(List<Row> rows) {
    rows.add(
        new Row(
            "R15",
            "capacity at the ten-hour current over ten-hour capacity",
            COPETTI,
            true,
            1,
            Copetti.capacityShare(1, 0),
            1e-12,
            ""));
    rows.add(
        new Row(
            "R15",
            "discharge voltage, 100 Ah cell, 10 A, half full, 25 °C",
            COPETTI,
            true,
            1.92754,
            Copetti.dischargeV(0.5, 10, 100, 0),
            1e-5,
            "V"));
    double amps = LANDING.capacityC10Ah() / 10;
    double cold =
        LoneBank.dischargeHours(LANDING, amps, SLOW_CUT_V, 0)
            / LoneBank.dischargeHours(LANDING, amps, SLOW_CUT_V, WARM_C);
    rows.add(
        new Row(
            "R15",
            "the bank's capacity at 0 °C over that at 25 °C, at the ten-hour current",
            COPETTI,
            true,
            Copetti.capacityShare(1, -WARM_C) / Copetti.capacityShare(1, 0),
            cold,
            0.02,
            ""));
  }
}
