package islet.bench;

import islet.bench.margin.Sustained;
import islet.site.Site.Battery;
import islet.site.Site.Limits;
import java.util.Optional;

/**
 * The battery is below its floor, or below its disconnect voltage, and still gives current while
 * the inverter feeds the emergency panel.
 *
 * <p>Tolerated for as long as the battery's description says and 2 s more: two telemetry periods of
 * 1 Hz, in which the supervisor can see it and its order can arrive.
 *
 * <p>□ ◇[0,T] (serving → SoC ≥ S) ∧ □ ◇[0,T] (serving → v ≥ V) (see {@link HazardNote}).
 */
final class DeepDischarge implements Hazard {

  static final String ID = "deep-discharge";

  private static final double DELAY_S = 2;

  /** Below this the inverter only idles, or no load is on. */
  private static final double NOTHING_W = 1;

  /** Ten points of state of charge weigh as much as 5 % of nominal voltage. */
  private static final double SOC_SCALE = 0.1;

  private static final double VOLTAGE_SCALE = 0.05;

  private final Battery battery;
  private final Limits limits;
  private final Sustained charge;
  private final Sustained voltage;

  DeepDischarge(Battery battery) {
    this.battery = battery;
    this.limits = battery.limits();
    long tolerance = Amount.micros(limits.toleranceS() + DELAY_S);
    this.charge = new Sustained(tolerance);
    this.voltage = new Sustained(tolerance);
  }

  @Override
  public String id() {
    return ID;
  }

  @Override
  public String title() {
    return "Battery below its floor with loads still on";
  }

  @Override
  public void truth(Truth truth) {
    long micros = truth.micros();
    boolean giving =
        truth.get(Signal.BATTERY_CURRENT) < 0
            && truth.inverterOutW > NOTHING_W
            && truth.get(Signal.CRITICAL_POWER) > NOTHING_W;
    charge.update(
        micros,
        giving ? truth.get(Signal.BATTERY_SOC) - limits.floorSoc() : Double.POSITIVE_INFINITY);
    voltage.update(
        micros,
        giving
            ? truth.get(Signal.BATTERY_VOLTAGE) - limits.disconnectV()
            : Double.POSITIVE_INFINITY);
  }

  @Override
  public void finish(long endMicros) {
    charge.finish(endMicros);
    voltage.finish(endMicros);
  }

  @Override
  public Optional<Distance> distance(long micros) {
    return Distance.nearer(
        Excess.distance(
            charge,
            micros,
            SOC_SCALE,
            "SoC",
            left ->
                "The battery feeds loads at a state of charge of "
                    + Amount.of(100 * (left + limits.floorSoc()), "%")
                    + "; its floor is "
                    + Amount.of(100 * limits.floorSoc(), "%")),
        Excess.distance(
            voltage,
            micros,
            VOLTAGE_SCALE * battery.nominalV(),
            "V",
            left ->
                "The battery feeds loads at "
                    + Amount.of(left + limits.disconnectV(), "V")
                    + "; it is to be disconnected at "
                    + Amount.of(limits.disconnectV(), "V")));
  }

  @Override
  public Finding finding() {
    String tolerated =
        ", lasting longer than " + Amount.of(limits.toleranceS() + DELAY_S, "s") + ".";
    Finding idle =
        Finding.idle(
            1 - limits.floorSoc(), "SoC", "The battery never fed the emergency panel for long.");
    return Excess.finding(
            charge,
            SOC_SCALE,
            "SoC",
            margin ->
                "The battery fed loads down to a state of charge of "
                    + Amount.of(100 * (margin + limits.floorSoc()), "%")
                    + "; its floor is "
                    + Amount.of(100 * limits.floorSoc(), "%")
                    + tolerated,
            idle)
        .tighter(
            Excess.finding(
                voltage,
                VOLTAGE_SCALE * battery.nominalV(),
                "V",
                margin ->
                    "The battery fed loads down to "
                        + Amount.of(margin + limits.disconnectV(), "V")
                        + "; it is to be disconnected at "
                        + Amount.of(limits.disconnectV(), "V")
                        + tolerated,
                idle));
  }
}
