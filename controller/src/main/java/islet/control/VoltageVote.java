package islet.control;

import islet.contract.BatteryPath;
import islet.site.Site.Battery;

/**
 * The battery's voltage by the vote of three meters: regulator, inverter and the meter at the
 * terminals. Three: the middle one. Two: the meter's, which needs no cable reckoned, or the higher
 * of the others, since that protects against overcharge. One: it alone, and charging goes
 * carefully. Those found bad are not asked unless nobody better speaks.
 */
final class VoltageVote {

  /**
   * Sound meters differ by no more than this share of nominal voltage: twice a class of 1 % (common
   * practice).
   */
  private static final double METER_SHARE = 0.02;

  /**
   * And by this share of the drop of the battery's cable: the converters' own cables, and a current
   * told up to a second before or after.
   */
  private static final double CABLE_SHARE = 0.5;

  private static final int REGULATOR = 0;
  private static final int INVERTER = 1;
  private static final int METER = 2;

  private final Battery battery;
  private final Voltmeter[] meters = new Voltmeter[3];
  private final boolean[] votes = new boolean[3];
  private final double leastV;
  private double voltageV;
  private int voices;
  private boolean apart;

  /** The pair that is left when the one of this number has no vote. */
  private final Witness[] pairs = {
    new Witness("battery voltage by inverter or meter"),
    new Witness("battery voltage by regulator or meter"),
    new Witness("battery voltage by regulator or inverter")
  };

  /** Only meters vote that were found bad before, since nobody better speaks. */
  private boolean lastResort;

  VoltageVote(Battery battery) {
    this.battery = battery;
    meters[REGULATOR] = new Voltmeter("regulator", battery);
    meters[INVERTER] = new Voltmeter("inverter", battery);
    meters[METER] = new Voltmeter("meter", battery);
    leastV = METER_SHARE * battery.nominalV();
  }

  /**
   * Takes the reports of a scan and votes.
   *
   * @param currentA into the battery, A, as far as it is known
   */
  void take(Inputs in, double currentA, long now, Outputs out) {
    double dropV = battery.cableOhm() * currentA;
    meters[REGULATOR].take(in.regulator().busVoltageV(), in.regulatorAt(), dropV, now);
    meters[INVERTER].take(in.inverter().busVoltageV(), in.inverterAt(), dropV, now);
    meters[METER].take(in.meter().batteryVoltageV(), in.meterAt(), 0, now);
    lastResort = false;
    apart = meters[METER].inRange() && in.meter().batteryPath() != BatteryPath.CLOSED;
    if (apart) {
      // The other two measure a bus that floats apart from the battery.
      voices = 1;
      voltageV = meters[METER].terminalV();
      return;
    }
    elect(true);
    lastResort = voices == 0;
    if (lastResort) {
      elect(false);
    }
    vote();
    double allowedV = leastV + CABLE_SHARE * Math.abs(dropV);
    for (int i = 0; i < meters.length; i++) {
      judge(i, allowedV, now, out);
    }
    quarrel(allowedV, now, out);
  }

  /** Gives a vote to whoever is in range, and good when only the good are asked. */
  private void elect(boolean onlyGood) {
    voices = 0;
    for (int i = 0; i < meters.length; i++) {
      votes[i] = meters[i].inRange() && (!onlyGood || meters[i].witness().good());
      voices += votes[i] ? 1 : 0;
    }
  }

  private void vote() {
    double a = heard(REGULATOR);
    double b = heard(INVERTER);
    double c = heard(METER);
    if (voices == 3) {
      voltageV = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
    } else if (voices > 0) {
      voltageV = votes[METER] ? c : Math.max(a, b);
    }
  }

  private double heard(int i) {
    return votes[i] ? meters[i].terminalV() : 0;
  }

  /** Judges a meter by those others that have a vote. */
  private void judge(int i, double allowedV, long now, Outputs out) {
    int one = (i + 1) % 3;
    int two = (i + 2) % 3;
    int others = (votes[one] ? 1 : 0) + (votes[two] ? 1 : 0);
    Voltmeter first = votes[one] ? meters[one] : votes[two] ? meters[two] : meters[i];
    Voltmeter second = votes[two] ? meters[two] : first;
    int who = (votes[one] ? 1 << one : 0) | (votes[two] ? 1 << two : 0);
    meters[i].judge(first, second, others, who, allowedV, voices > 0 ? voltageV : 0, now, out);
  }

  /** Two who contradict each other, and nobody left to say who is right. */
  private void quarrel(double allowedV, long now, Outputs out) {
    for (int left = 0; left < pairs.length; left++) {
      Witness pair = pairs[left];
      boolean alone = voices == 2 && !votes[left];
      double limitV = pair.good() ? allowedV : Voltmeter.BACK_SHARE * allowedV;
      double apartV = alone ? Math.abs(heard((left + 1) % 3) - heard((left + 2) % 3)) : 0;
      pair.judge(apartV > limitV ? SignalStatus.DISAGREES : SignalStatus.GOOD, now, out);
    }
  }

  private boolean quarrels() {
    return !pairs[0].good() || !pairs[1].good() || !pairs[2].good();
  }

  /** The battery's voltage at its terminals, V; when nobody has a voice, the last known. */
  double voltageV() {
    return voltageV;
  }

  /** How many meters have a vote, 0 to 3. */
  int voices() {
    return voices;
  }

  /**
   * Whether the voltage hangs on one meter alone, on two that contradict each other, or on such as
   * were found bad before.
   */
  boolean careful() {
    return !apart && (voices == 1 || lastResort || quarrels());
  }

  /** Whether something is wrong for so long that a person should look. */
  boolean rings() {
    // With no voice left another alarm tells it.
    return voices > 0 && anyRings();
  }

  private boolean anyRings() {
    for (Voltmeter meter : meters) {
      if (meter.witness().rings()) {
        return true;
      }
    }
    return pairs[0].rings() || pairs[1].rings() || pairs[2].rings();
  }

  /** Appends what is not believed, with commas between. */
  void tell(StringBuilder text) {
    for (Voltmeter meter : meters) {
      meter.witness().tell(text);
    }
    for (Witness pair : pairs) {
      pair.tell(text);
    }
  }

  /** A number that changes whenever what {@link #tell} says may change. */
  int changes() {
    int sum = 0;
    for (Witness pair : pairs) {
      sum = 2 * sum + (pair.good() ? 0 : 1);
    }
    for (Voltmeter meter : meters) {
      sum = 8 * sum + meter.witness().status().ordinal();
    }
    return sum;
  }

  void remember(Memory memory) {
    voltageV = memory.number("voltage", voltageV);
    for (Voltmeter meter : meters) {
      meter.remember(memory);
    }
    for (Witness pair : pairs) {
      pair.remember(memory);
    }
  }
}
