package islet.control;

import islet.contract.InverterState;
import islet.site.Site;

/**
 * What part of the energy taken from the utility comes back, measured as the site runs: the
 * inverter's efficiency each way by its own meters, and the battery's by the voltage at which it
 * takes and gives and the share of the charge that it stores. Until about one capacity has passed
 * each way the stated figure weighs in.
 */
final class RoundTrip {

  private static final long LATE_MICROS = 3_000_000;

  /** A converter gives on so much, until it has been measured (common practice). */
  private static final double USUAL_CONVERTER = 0.92;

  private final Site site;
  private final double storedShare;
  private final double capacityWh;
  private double chargeAcWh;
  private double chargeDcWh;
  private double feedAcWh;
  private double feedDcWh;
  private double inAh;
  private double inWh;
  private double outAh;
  private double outWh;
  private long last = Inputs.NEVER;

  RoundTrip(Site site) {
    this.site = site;
    storedShare = CellModel.of(site.battery()).coulombicShare();
    capacityWh = site.battery().capacity20hAh() * site.battery().nominalV();
  }

  /** Adds what has passed since the scan before. */
  void measure(Inputs in, Belief belief, long now) {
    double hours = now - last > LATE_MICROS || now < last ? 0 : (now - last) / 3.6e9;
    last = now;
    if (!belief.currentSure || hours == 0) {
      return;
    }
    double amps = belief.currentA;
    if (amps > 0) {
      inAh += amps * hours;
      inWh += amps * belief.voltageV * hours;
    } else {
      outAh -= amps * hours;
      outWh -= amps * belief.voltageV * hours;
    }
    if (now - in.inverterAt() <= BatteryEstimate.FRESH_MICROS
        && in.inverter().state() == InverterState.FOLLOWING) {
      double acWh = in.inverter().acPowerW() * hours;
      double dcWh = in.inverter().dcCurrentA() * in.inverter().busVoltageV() * hours;
      if (acWh < 0 && dcWh > 0) {
        chargeAcWh -= acWh;
        chargeDcWh += dcWh;
      } else if (acWh > 0 && dcWh < 0) {
        feedAcWh += acWh;
        feedDcWh -= dcWh;
      }
    }
    fade();
  }

  /** What lies further back than ten capacities counts half. */
  private void fade() {
    if (inWh + outWh > 20 * capacityWh) {
      chargeAcWh *= 0.5;
      chargeDcWh *= 0.5;
      feedAcWh *= 0.5;
      feedDcWh *= 0.5;
      inAh *= 0.5;
      inWh *= 0.5;
      outAh *= 0.5;
      outWh *= 0.5;
    }
  }

  /** The share that comes back, 0 to 1. */
  double share() {
    double stated = site.supervision().dispatch().roundTrip();
    double least = Math.min(Math.min(chargeDcWh, feedAcWh), Math.min(inWh, outWh));
    if (least <= 0) {
      return stated;
    }
    double converters = chargeDcWh / chargeAcWh * (feedAcWh / feedDcWh);
    double cells = storedShare * (outWh / outAh) / (inWh / inAh);
    double weight = least / (least + capacityWh);
    return stated + weight * (Math.min(1, converters * cells) - stated);
  }

  /** Of the AC power, the share that arrives at the DC side. */
  double rectifiedShare() {
    return converter(chargeDcWh, chargeAcWh);
  }

  /** Of the DC power, the share that arrives at the panels. */
  double invertedShare() {
    return converter(feedAcWh, feedDcWh);
  }

  /** What comes out of the battery of what goes in; the rest of the way is the converters'. */
  double storedShare() {
    double both = rectifiedShare() * invertedShare();
    return Math.max(0.2, Math.min(1, share() / both));
  }

  private double converter(double out, double in) {
    if (in <= 0) {
      return USUAL_CONVERTER;
    }
    double weight = in / (in + capacityWh);
    double measured = Math.max(0.5, Math.min(1, out / in));
    return USUAL_CONVERTER + weight * (measured - USUAL_CONVERTER);
  }

  void keep(Keepsake keepsake) {
    chargeAcWh = keepsake.estimate("charge ac", chargeAcWh);
    chargeDcWh = keepsake.estimate("charge dc", chargeDcWh);
    feedAcWh = keepsake.estimate("feed ac", feedAcWh);
    feedDcWh = keepsake.estimate("feed dc", feedDcWh);
    inAh = keepsake.estimate("battery in ah", inAh);
    inWh = keepsake.estimate("battery in wh", inWh);
    outAh = keepsake.estimate("battery out ah", outAh);
    outWh = keepsake.estimate("battery out wh", outWh);
  }

  void remember(Memory memory) {
    chargeAcWh = memory.number("charge ac", chargeAcWh);
    chargeDcWh = memory.number("charge dc", chargeDcWh);
    feedAcWh = memory.number("feed ac", feedAcWh);
    feedDcWh = memory.number("feed dc", feedDcWh);
    inAh = memory.number("battery in ah", inAh);
    inWh = memory.number("battery in wh", inWh);
    outAh = memory.number("battery out ah", outAh);
    outWh = memory.number("battery out wh", outWh);
    last = memory.instant("round trip at", last);
  }
}
