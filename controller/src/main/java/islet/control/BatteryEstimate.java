package islet.control;

import islet.site.Site;
import islet.site.Site.Battery;

/**
 * The battery as the supervisor sees it: voltage by the vote of three meters, state of charge by
 * counting coulombs, set right by rest and by a full charge, with an honest figure of how far off
 * it may be.
 */
final class BatteryEstimate {

  /**
   * Telemetry comes at 1 Hz; three missed are taken as silence (common practice: three periods).
   */
  static final long FRESH_MICROS = 3_000_000;

  /**
   * Resting voltage of a 12 V flooded battery at 25 °C from 20 % to 100 % in steps of 10 %
   * (handbook table, common practice).
   */
  private static final double[] RESTING_12V = {
    11.66, 11.81, 11.96, 12.10, 12.24, 12.37, 12.50, 12.62, 12.73
  };

  /**
   * Resistance by which the voltage under load is corrected, Ω·Ah per cell: 0.27/SoC^1.5 + 0.2 at
   * half charge.
   */
  private static final double OHM_AH_PER_CELL = 0.9;

  /** How far a first guess by voltage may be off. */
  private static final double FIRST_DOUBT = 0.05;

  /** How far a count right after a full charge may be off. */
  private static final double FULL_DOUBT = 0.01;

  /**
   * Doubt grows by this share of the charge that passes the shunt (1 % meter class, common
   * practice).
   */
  private static final double DOUBT_PER_THROUGHPUT = 0.01;

  /** Share of the charging current that is stored below full; the rest is taken as lost. */
  private static final double COULOMBIC = 0.97;

  /** Meters that differ by more than this share of nominal voltage beyond cable drop disagree. */
  private static final double DISAGREE_SHARE = 0.02;

  private static final double REST_HOURS = 2;

  private final Battery battery;
  private final double lowestV;
  private final double highestV;
  private double voltageV;
  private int voices;
  private boolean disagree;
  private double soc;
  private double doubt = FIRST_DOUBT;
  private boolean known;
  private long last;
  private long restSince = Long.MAX_VALUE;

  BatteryEstimate(Site site) {
    battery = site.battery();
    lowestV = 0.5 * battery.nominalV();
    highestV = 1.6 * battery.nominalV();
  }

  void measure(Inputs in, long now) {
    vote(in, now);
    double currentA = in.meter().batteryCurrentA();
    boolean counted = now - in.meterAt() <= FRESH_MICROS;
    if (!known) {
      if (voices > 0 && counted) {
        soc = byVoltage(currentA);
        known = true;
        last = now;
      }
      return;
    }
    double hours = (now - last) / 3.6e9;
    last = now;
    if (!counted) {
      // Blind: the count stands still and the doubt grows as if the battery gave its ten-hour
      // current.
      doubt = Math.min(1, doubt + hours / 10);
      return;
    }
    double share = currentA * hours / battery.capacity20hAh();
    soc = Math.max(0, Math.min(1, soc + (share > 0 ? COULOMBIC * share : share)));
    doubt = Math.min(0.2, doubt + DOUBT_PER_THROUGHPUT * Math.abs(share));
    rest(currentA, now);
  }

  private void rest(double currentA, long now) {
    if (Math.abs(currentA) > battery.capacity20hAh() / 100) {
      restSince = Long.MAX_VALUE;
    } else if (restSince == Long.MAX_VALUE) {
      restSince = now;
    } else if (now - restSince > REST_HOURS * 3.6e9 && voices > 0) {
      double seen = byVoltage(currentA);
      // Resting voltage is the better witness only where the count has drifted beyond it.
      if (Math.abs(seen - soc) > FIRST_DOUBT) {
        soc = seen;
      }
      doubt = Math.min(doubt, FIRST_DOUBT);
    }
  }

  private void vote(Inputs in, long now) {
    double a = valid(in.regulator().busVoltageV(), in.regulatorAt(), now);
    double b = valid(in.inverter().busVoltageV(), in.inverterAt(), now);
    double c = valid(in.meter().batteryVoltageV(), in.meterAt(), now);
    voices = (a > 0 ? 1 : 0) + (b > 0 ? 1 : 0) + (c > 0 ? 1 : 0);
    double high = Math.max(a, Math.max(b, c));
    if (voices == 3) {
      voltageV = a + b + c - high - Math.min(a, Math.min(b, c));
    } else if (voices > 0) {
      // Two cannot outvote each other: the higher protects against overcharge, and the meter is at
      // the terminals.
      voltageV = c > 0 ? c : high;
    }
    double drop = battery.cableOhm() * Math.abs(in.meter().batteryCurrentA());
    double allowed = DISAGREE_SHARE * battery.nominalV() + drop;
    disagree =
        (a > 0 && Math.abs(a - voltageV) > allowed)
            || (b > 0 && Math.abs(b - voltageV) > allowed)
            || (c > 0 && Math.abs(c - voltageV) > allowed);
  }

  private double valid(double voltage, long arrived, long now) {
    return now - arrived <= FRESH_MICROS && voltage > lowestV && voltage < highestV ? voltage : 0;
  }

  private double byVoltage(double currentA) {
    double perCell = OHM_AH_PER_CELL / battery.capacity20hAh();
    double resting = voltageV - currentA * perCell * battery.cells();
    double twelve = resting * 6 / battery.cells();
    if (twelve <= RESTING_12V[0]) {
      return Math.max(0, 0.2 + (twelve - RESTING_12V[0]) * 0.1 / 0.15);
    }
    for (int i = 1; i < RESTING_12V.length; i++) {
      if (twelve <= RESTING_12V[i]) {
        double part = (twelve - RESTING_12V[i - 1]) / (RESTING_12V[i] - RESTING_12V[i - 1]);
        return 0.2 + 0.1 * (i - 1 + part);
      }
    }
    return 1;
  }

  /** The charge coordinator has seen a full charge. */
  void full() {
    soc = 1;
    doubt = FULL_DOUBT;
  }

  /** How many meters gave a valid voltage, 0 to 3. */
  int voices() {
    return voices;
  }

  boolean disagree() {
    return disagree;
  }

  double voltageV() {
    return voltageV;
  }

  boolean known() {
    return known;
  }

  double soc() {
    return soc;
  }

  /** The state of charge that is surely there. */
  double sureSoc() {
    return Math.max(0, soc - doubt);
  }
}
