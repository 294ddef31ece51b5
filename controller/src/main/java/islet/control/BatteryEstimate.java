package islet.control;

import islet.contract.BatteryPath;
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

  /** How far a count right after a full charge may be off. */
  private static final double FULL_DOUBT = 0.01;

  /**
   * Doubt grows by this share of the charge that passes the shunt (1 % meter class, common
   * practice).
   */
  private static final double DOUBT_PER_THROUGHPUT = 0.01;

  /** Meters that differ by more than this share of nominal voltage beyond cable drop disagree. */
  private static final double DISAGREE_SHARE = 0.02;

  /**
   * A battery rests when less than this part of its capacity flows an hour, for so long that its
   * surface charge is gone (common practice).
   */
  private static final double REST_SHARE = 1 / 400.0;

  private static final double REST_HOURS = 3;

  private final Battery battery;
  private final CellModel cell;
  private final double lowestV;
  private final double highestV;
  private double voltageV;
  private int voices;
  private boolean disagree;
  private double soc;
  private double doubt;
  private boolean known;
  private boolean resumed;
  private long last;
  private long restSince = Long.MAX_VALUE;

  BatteryEstimate(Site site) {
    battery = site.battery();
    cell = CellModel.of(battery);
    doubt = cell.guessDoubt();
    lowestV = 0.5 * battery.nominalV();
    highestV = 1.6 * battery.nominalV();
  }

  void measure(Inputs in, long now) {
    vote(in, now);
    double currentA = in.meter().batteryCurrentA();
    boolean counted = now - in.meterAt() <= FRESH_MICROS;
    if (resumed) {
      resume(now);
    }
    if (!known) {
      if (voices > 0 && counted) {
        boolean resting = Math.abs(currentA) <= battery.capacity20hAh() / 100;
        soc =
            resting
                ? byRestingVoltage()
                : byLoadedVoltage(currentA, in.meter().batteryTemperatureC());
        doubt = cell.guessDoubt();
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
      doubt = Math.min(cell.guessDoubt(), doubt + hours / 10);
      return;
    }
    double share = currentA * hours / battery.capacity20hAh();
    soc = Math.max(0, Math.min(1, soc + (share > 0 ? cell.coulombicShare() * share : share)));
    doubt = Math.min(cell.guessDoubt(), doubt + DOUBT_PER_THROUGHPUT * Math.abs(share));
    rest(currentA, now);
  }

  private void rest(double currentA, long now) {
    if (Math.abs(currentA) > battery.capacity20hAh() * REST_SHARE) {
      restSince = Long.MAX_VALUE;
    } else if (restSince == Long.MAX_VALUE) {
      restSince = now;
    } else if (now - restSince > REST_HOURS * 3.6e9 && voices > 0) {
      double seen = byRestingVoltage();
      // Resting voltage is the better witness only where the count has drifted beyond it.
      if (cell.tellsAtRest(seen) && Math.abs(seen - soc) > cell.guessDoubt()) {
        soc = seen;
      }
      doubt = Math.min(doubt, cell.guessDoubt());
    }
  }

  private void vote(Inputs in, long now) {
    double a = valid(in.regulator().busVoltageV(), in.regulatorAt(), now);
    double b = valid(in.inverter().busVoltageV(), in.inverterAt(), now);
    double c = valid(in.meter().batteryVoltageV(), in.meterAt(), now);
    voices = (a > 0 ? 1 : 0) + (b > 0 ? 1 : 0) + (c > 0 ? 1 : 0);
    double high = Math.max(a, Math.max(b, c));
    if (c > 0 && in.meter().batteryPath() != BatteryPath.CLOSED) {
      // The other two measure a bus that floats apart from the battery.
      voices = 1;
      voltageV = c;
      disagree = false;
      return;
    }
    if (voices == 3) {
      voltageV = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
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
            || (c > 0 && Math.abs(c - voltageV) > allowed)
            || slipped(in, now);
  }

  /** Whether a meter that speaks was left out of the vote because its unit slipped. */
  private boolean slipped(Inputs in, long now) {
    return voices > 0
        && (slipped(in.regulator().busVoltageV(), in.regulatorAt(), now)
            || slipped(in.inverter().busVoltageV(), in.inverterAt(), now)
            || slipped(in.meter().batteryVoltageV(), in.meterAt(), now));
  }

  private boolean slipped(double voltage, long arrived, long now) {
    return now - arrived <= FRESH_MICROS && UnitSlip.between(voltage, voltageV);
  }

  private double valid(double voltage, long arrived, long now) {
    return now - arrived <= FRESH_MICROS && voltage > lowestV && voltage < highestV ? voltage : 0;
  }

  /**
   * State of charge at which the resting voltage and the drop of this current give the voltage
   * seen. Both rise with the state of charge, so halving finds it.
   */
  private double byLoadedVoltage(double currentA, double temperatureC) {
    double low = 0;
    double high = 0.99;
    for (int i = 0; i < 30; i++) {
      double middle = 0.5 * (low + high);
      double cellV = cell.restingV(middle) + cell.dropV(middle, currentA, temperatureC);
      if (battery.cells() * cellV < voltageV) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return 0.5 * (low + high);
  }

  private double byRestingVoltage() {
    double low = 0;
    double high = 1;
    for (int i = 0; i < 30; i++) {
      double middle = 0.5 * (low + high);
      if (battery.cells() * cell.restingV(middle) < voltageV) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return 0.5 * (low + high);
  }

  /** The count goes on from where it stood; what passed meanwhile adds to the doubt. */
  void keep(Keepsake keepsake) {
    boolean knew = known;
    known = keepsake.flag("charge known", known);
    soc = Math.max(0, Math.min(1, keepsake.estimate("charge", soc)));
    doubt = Math.max(0, keepsake.estimate("charge doubt", doubt));
    last = keepsake.instant("charge counted at", last);
    resumed |= known && !knew;
  }

  /**
   * A restored count is as good as one that was blind meanwhile: the doubt grows as if the battery
   * gave its ten-hour current. When that alone makes it no better than a guess from the voltage, or
   * the clock has gone back, the voltage is asked.
   */
  private void resume(long now) {
    resumed = false;
    double grown = (now - last) / 3.6e9 / 10;
    doubt = Math.min(cell.guessDoubt(), doubt + grown);
    known = grown >= 0 && grown < cell.guessDoubt();
    last = now;
  }

  void remember(Memory memory) {
    voltageV = memory.number("voltage", voltageV);
    soc = memory.number("soc", soc);
    doubt = memory.number("doubt", doubt);
    known = memory.flag("known", known);
    last = memory.instant("counted", last);
    restSince = memory.instant("rest", restSince);
    resumed = memory.flag("resumed", resumed);
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
