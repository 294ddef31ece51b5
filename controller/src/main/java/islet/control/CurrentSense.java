package islet.control;

import islet.site.Site;

/**
 * The battery's current: by the shunt as long as it is to be believed, else by what the converters
 * put onto the bus, for nothing else hangs there. One shunt against that sum cannot be outvoted by
 * it, so where they differ the count goes on by the shunt, and is less and less sure.
 */
final class CurrentSense {

  /** Sound meters of current differ by less than the 50-hour current (common practice). */
  private static final double METER_HOURS = 50;

  /** And by this share of what flows: meter classes, a cable's loss, ripple (common practice). */
  private static final double METER_SHARE = 0.05;

  /** Loads come and go, and are not told by all at once: what differs for so long differs. */
  private static final long DIFFERS_MICROS = 30_000_000;

  private final Witness witness = new Witness("battery current by the meter");
  private final Sameness sameness;
  private final boolean separate;
  private final double leastA;
  private final double mostA;
  private double amps;
  private boolean known;
  private boolean byShunt;
  private long differsSince = Long.MAX_VALUE;

  CurrentSense(Site site) {
    separate = site.arrangement().hasCharger();
    leastA = site.battery().capacity20hAh() / METER_HOURS;
    sameness = new Sameness(leastA);
    // Twice what all converters together can give or take, at the lowest voltage.
    double inverterA = site.inverter().ratedW() / site.battery().limits().disconnectV();
    mostA = 2 * (site.regulator().ratedA() + inverterA + site.utilityChargeA());
  }

  void take(Inputs in, long now, Outputs out) {
    boolean heard = now - in.meterAt() <= BatteryEstimate.FRESH_MICROS;
    boolean summed =
        now - in.regulatorAt() <= BatteryEstimate.FRESH_MICROS
            && now - in.inverterAt() <= BatteryEstimate.FRESH_MICROS
            && (!separate || now - in.chargerAt() <= BatteryEstimate.FRESH_MICROS);
    double sumA =
        in.regulator().outputCurrentA()
            + in.inverter().dcCurrentA()
            + (separate ? in.charger().outputCurrentA() : 0);
    double told = in.meter().batteryCurrentA();
    if (heard) {
      judge(told, sumA, summed, in.meterAt(), now, out);
    } else {
      witness.unheard();
      differsSince = Long.MAX_VALUE;
    }
    byShunt = heard && (witness.good() || witness.status() == SignalStatus.DISAGREES);
    known = byShunt || summed;
    amps = byShunt ? told : summed ? sumA : 0;
  }

  private void judge(double told, double sumA, boolean summed, long at, long now, Outputs out) {
    double largest = Math.max(Math.abs(told), Math.abs(sumA));
    boolean differs = summed && Math.abs(told - sumA) > leastA + METER_SHARE * largest;
    differsSince = differs ? Math.min(differsSince, now) : Long.MAX_VALUE;
    SignalStatus looks = SignalStatus.GOOD;
    boolean frozen = sameness.frozen(told, at, sumA, sumA, summed ? 1 : 0);
    if (Math.abs(told) > mostA) {
      looks = SignalStatus.OUT_OF_RANGE;
    } else if (frozen) {
      looks = SignalStatus.FROZEN;
    } else if (differs && now - differsSince >= DIFFERS_MICROS) {
      looks = SignalStatus.DISAGREES;
    }
    witness.judge(looks, now, out);
  }

  /** Current into the battery, A; 0 when it is not {@link #known()}. */
  double amps() {
    return amps;
  }

  /** Whether somebody tells the current. */
  boolean known() {
    return known;
  }

  /** Whether it is told by a shunt that nothing speaks against. */
  boolean sure() {
    return byShunt && witness.good();
  }

  Witness witness() {
    return witness;
  }

  void remember(Memory memory) {
    witness.remember(memory);
    sameness.remember(memory);
    differsSince = memory.instant("current differs", differsSince);
  }
}
