package islet.bench;

import islet.bench.margin.Sustained;
import islet.site.Site.Battery;
import islet.site.Site.Limits;
import java.util.Optional;

/**
 * The battery is above its voltage limit or its charge current limit, or it is charged outside its
 * temperature limits, for longer than the tolerance that its description states.
 *
 * <p>It counts as being charged above 1 % of the 20-hour capacity in amperes; less is what a full
 * lead-acid bank draws on float (common practice). A full lithium bank draws nothing, so there the
 * bound is the 0.1 % that a shunt can tell from nothing.
 *
 * <p>□ ◇[0,T] (v ≤ V) ∧ □ ◇[0,T] (i ≤ I) ∧ □ ◇[0,T] (charging → C₁ ≤ ϑ ≤ C₂) (see {@link
 * HazardNote}).
 */
final class Overcharge implements Hazard {

  static final String ID = "overcharge";

  /** A distance of 5 % of nominal voltage weighs as much as the whole charge current limit. */
  private static final double VOLTAGE_SCALE = 0.05;

  /** And as 10 K. */
  private static final double TEMPERATURE_SCALE_K = 10;

  private final Battery battery;
  private final Limits limits;
  private final double chargingA;
  private final Sustained voltage;
  private final Sustained current;
  private final Sustained temperature;

  Overcharge(Battery battery) {
    this.battery = battery;
    this.limits = battery.limits();
    double charging =
        switch (battery.chemistry()) {
          case LEAD_ACID -> 0.01;
          case LFP -> 0.001;
        };
    this.chargingA = charging * battery.capacity20hAh();
    long tolerance = Amount.micros(limits.toleranceS());
    this.voltage = new Sustained(tolerance);
    this.current = new Sustained(tolerance);
    this.temperature = new Sustained(tolerance);
  }

  @Override
  public String id() {
    return ID;
  }

  @Override
  public String title() {
    return "Battery charged beyond its limits";
  }

  @Override
  public void truth(Truth truth) {
    long micros = truth.micros();
    double amperes = truth.get(Signal.BATTERY_CURRENT);
    double celsius = truth.get(Signal.BATTERY_TEMPERATURE);
    voltage.update(micros, limits.maximumV() - truth.get(Signal.BATTERY_VOLTAGE));
    current.update(
        micros, amperes > 0 ? limits.maximumChargeA() - amperes : Double.POSITIVE_INFINITY);
    temperature.update(
        micros,
        amperes > chargingA
            ? Math.min(celsius - limits.minimumChargeC(), limits.maximumChargeC() - celsius)
            : Double.POSITIVE_INFINITY);
  }

  @Override
  public void finish(long endMicros) {
    voltage.finish(endMicros);
    current.finish(endMicros);
    temperature.finish(endMicros);
  }

  @Override
  public Optional<Distance> distance(long micros) {
    return Distance.nearer(
        Excess.distance(
            voltage,
            micros,
            VOLTAGE_SCALE * battery.nominalV(),
            "V",
            left ->
                "The battery stands at "
                    + Amount.of(limits.maximumV() - left, "V")
                    + "; allowed are "
                    + Amount.of(limits.maximumV(), "V")),
        Distance.nearer(
            Excess.distance(
                current,
                micros,
                limits.maximumChargeA(),
                "A",
                left ->
                    "The battery takes "
                        + Amount.of(limits.maximumChargeA() - left, "A")
                        + "; allowed are "
                        + Amount.of(limits.maximumChargeA(), "A")),
            Excess.distance(
                temperature,
                micros,
                TEMPERATURE_SCALE_K,
                "°C",
                left ->
                    "The battery is charged "
                        + Amount.of(Math.abs(left), "°C")
                        + (left < 0 ? " outside" : " inside")
                        + " its temperature limits of "
                        + Amount.of(limits.minimumChargeC(), "°C")
                        + " to "
                        + Amount.of(limits.maximumChargeC(), "°C"))));
  }

  @Override
  public Finding finding() {
    String tolerated = ", lasting longer than " + Amount.of(limits.toleranceS(), "s") + ".";
    Finding idle =
        Finding.idle(limits.maximumChargeA(), "A", "The run was too short to judge the battery.");
    return Excess.finding(
            voltage,
            VOLTAGE_SCALE * battery.nominalV(),
            "V",
            margin ->
                "Battery voltage reached "
                    + Amount.of(limits.maximumV() - margin, "V")
                    + "; allowed are "
                    + Amount.of(limits.maximumV(), "V")
                    + tolerated,
            idle)
        .tighter(
            Excess.finding(
                current,
                limits.maximumChargeA(),
                "A",
                margin ->
                    "Charge current reached "
                        + Amount.of(limits.maximumChargeA() - margin, "A")
                        + "; allowed are "
                        + Amount.of(limits.maximumChargeA(), "A")
                        + tolerated,
                idle))
        .tighter(
            Excess.finding(
                temperature,
                TEMPERATURE_SCALE_K,
                "°C",
                margin ->
                    "The battery was charged "
                        + Amount.of(Math.abs(margin), "°C")
                        + (margin < 0 ? " outside" : " inside")
                        + " its temperature limits of "
                        + Amount.of(limits.minimumChargeC(), "°C")
                        + " to "
                        + Amount.of(limits.maximumChargeC(), "°C")
                        + tolerated,
                idle));
  }
}
