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
   * Doubt grows by this share of the charge that passes the shunt (1 % meter class, common
   * practice).
   */
  private static final double DOUBT_PER_THROUGHPUT = 0.01;

  /** By so much where the converters' meters stand in for the shunt (several meters, from far). */
  private static final double DOUBT_BY_CONVERTERS = 0.05;

  /**
   * A battery rests when less than this part of its capacity flows an hour, for so long that its
   * surface charge is gone (common practice).
   */
  private static final double REST_SHARE = 1 / 400.0;

  private static final double REST_HOURS = 3;

  /** The voltage alone is looked at once a second: it is shown and nothing more. */
  private static final long VOLTAGE_SOC_MICROS = 1_000_000;

  private final Battery battery;
  private final CellModel cell;
  private final double heldAh;
  private final VoltageVote vote;
  private final CurrentSense current;
  private final TemperatureSense temperature = new TemperatureSense();
  private final Belief belief = new Belief();
  private double voltageSoc;
  private long voltageSocAt = Inputs.NEVER;
  private String doubts = "";
  private int toldChanges;
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
    heldAh = battery.capacity20hAh() * cell.heldPerRated();
    vote = new VoltageVote(battery);
    current = new CurrentSense(site);
  }

  void measure(Inputs in, long now, Outputs out) {
    current.take(in, now, out);
    temperature.take(in, now, out);
    vote.take(in, current.amps(), now, out);
    count(now);
    if (vote.voices() > 0 && now - voltageSocAt >= VOLTAGE_SOC_MICROS) {
      voltageSoc = byRestingVoltage();
      voltageSocAt = now;
    }
    believe();
    word();
  }

  private void count(long now) {
    double currentA = current.amps();
    boolean counted = current.known();
    if (resumed) {
      resume(now);
    }
    if (!known) {
      if (vote.voices() > 0 && counted) {
        boolean resting = Math.abs(currentA) <= battery.capacity20hAh() / 100;
        soc = resting ? byRestingVoltage() : byLoadedVoltage(currentA, temperature.warmestC());
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
    double share = currentA * hours / heldAh;
    soc = Math.max(0, Math.min(1, soc + (share > 0 ? cell.coulombicShare() * share : share)));
    double perThroughput = current.sure() ? DOUBT_PER_THROUGHPUT : DOUBT_BY_CONVERTERS;
    doubt = Math.min(cell.guessDoubt(), doubt + perThroughput * Math.abs(share));
    rest(currentA, now);
  }

  private void believe() {
    belief.voltageV = vote.voltageV();
    belief.currentA = current.amps();
    belief.currentSure = current.sure();
    belief.coldestC = temperature.coldestC();
    belief.warmestC = temperature.warmestC();
    belief.temperatureKnown = temperature.known();
    belief.careful = vote.careful() || !temperature.known();
  }

  /** Puts into words what is not believed, only when that has changed. */
  private void word() {
    int changes =
        64 * (8 * vote.changes() + current.witness().status().ordinal()) + temperature.changes();
    if (changes != toldChanges) {
      toldChanges = changes;
      StringBuilder text = new StringBuilder();
      vote.tell(text);
      current.witness().tell(text);
      temperature.tell(text);
      doubts = text.toString();
    }
  }

  private void rest(double currentA, long now) {
    if (Math.abs(currentA) > battery.capacity20hAh() * REST_SHARE) {
      restSince = Long.MAX_VALUE;
    } else if (restSince == Long.MAX_VALUE) {
      restSince = now;
    } else if (now - restSince > REST_HOURS * 3.6e9 && vote.voices() > 0) {
      // Again only after another such rest: what is asked twice is no second witness.
      restSince = now;
      double seen = byRestingVoltage();
      if (cell.tellsAtRest(seen)) {
        weigh(seen);
      }
    }
  }

  /**
   * Puts count and resting voltage together, each by the square of its doubt, as two measurements
   * of one thing are (least squares). A count that is further off than both doubts explain has lost
   * its way, and the voltage stands alone.
   */
  private void weigh(double seen) {
    double guess = cell.guessDoubt();
    double gap = seen - soc;
    if (Math.abs(gap) > guess + doubt) {
      soc = seen;
      doubt = guess;
      return;
    }
    double gain = doubt * doubt / (doubt * doubt + guess * guess);
    soc += gain * gap;
    doubt = doubt * guess / Math.sqrt(doubt * doubt + guess * guess);
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
      if (battery.cells() * cellV < vote.voltageV()) {
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
      if (battery.cells() * cell.restingV(middle) < vote.voltageV()) {
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
    vote.remember(memory);
    current.remember(memory);
    temperature.remember(memory);
    voltageSoc = memory.number("soc by voltage", voltageSoc);
    voltageSocAt = memory.instant("soc by voltage at", voltageSocAt);
    soc = memory.number("soc", soc);
    doubt = memory.number("doubt", doubt);
    last = memory.instant("counted", last);
    restSince = memory.instant("rest", restSince);
  }

  /** Whether a count has begun, which starts wait for. */
  void rememberCourse(Memory memory) {
    known = memory.flag("known", known);
    resumed = memory.flag("resumed", resumed);
  }

  /** The charge coordinator has seen a full charge. */
  void full() {
    soc = 1;
    doubt = cell.fullDoubt();
  }

  /** How many meters have a vote on the voltage, 0 to 3. */
  int voices() {
    return vote.voices();
  }

  /** Whether a measurement is wrong for so long that a person should look. */
  boolean doubtful() {
    return vote.rings() || current.witness().rings() || temperature.rings();
  }

  /** What is measured and not believed, in words with commas between; empty for nothing. */
  String doubts() {
    return doubts;
  }

  double voltageV() {
    return vote.voltageV();
  }

  /** What the charge coordinator is to believe. */
  Belief belief() {
    return belief;
  }

  /**
   * What the voltage alone would make of the state of charge, as if the battery rested, 0 to 1.
   * Wrong under load and while charging; nothing is decided by it.
   */
  double voltageSoc() {
    return voltageSoc;
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
