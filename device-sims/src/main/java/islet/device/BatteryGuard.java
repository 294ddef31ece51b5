package islet.device;

import islet.plant.Contactor;
import islet.plant.Plant;
import java.util.Locale;

/**
 * A lithium bank's battery management unit. It asks nobody and hangs on no link; the site meter
 * reads the position of its contactor.
 *
 * <p>It opens on a cell's over-voltage and under-voltage, on over-current either way and on
 * over-temperature, each for longer than a delay. In frost and in heat it blocks charging and lets
 * discharging be, by one of two switches that stand against each other. It closes again when the
 * cause has gone with some distance: after over-voltage for discharge alone until the cells have
 * come down, and never onto a bus above the cells' limit; after under-voltage when the cells have
 * recovered or when a charger lifts the bus above the battery.
 *
 * <p>Cells are alike, so each has its share of the bank's voltage. Delays and distances are common
 * practice, from memory.
 */
public final class BatteryGuard {

  /** Why the contactor is open. */
  private enum Cause {
    NONE,
    OVER_VOLTAGE,
    UNDER_VOLTAGE,
    OVER_CURRENT,
    OVER_TEMPERATURE
  }

  private static final long VOLTAGE_MICROS = 2_000_000;
  private static final long CURRENT_MICROS = 5_000_000;
  private static final long TEMPERATURE_MICROS = 2_000_000;

  /** How long a cause must have been gone, and how long a charger must have been there. */
  private static final long GONE_MICROS = 60_000_000;

  private static final long CHARGER_MICROS = 2_000_000;

  /** A cell counts as come down, or recovered, this far from its limit, V. */
  private static final double DOWN_V = 0.20;

  private static final double RECOVERED_V = 0.45;

  /** A charger is seen by this much on the bus above the battery, V per cell. */
  private static final double CHARGER_CELL_V = 0.02;

  private static final double COOLED_K = 10;

  /** Charging comes back this far inside its temperatures, K. */
  private static final double INSIDE_K = 2;

  private static final long NEVER = SimulatedDevice.NEVER;

  private final Plant plant;
  private final BatteryGuardSettings settings;
  private final Surroundings surroundings;
  private Cause cause = Cause.NONE;
  private Contactor ordered = Contactor.CLOSED;
  private boolean outsideCharging;
  private boolean brimming;
  private long overSince = NEVER;
  private long underSince = NEVER;
  private long currentSince = NEVER;
  private long hotSince = NEVER;
  private long goneSince = NEVER;
  private long chargerSince = NEVER;

  /** Wires the unit to its bank. */
  public BatteryGuard(Plant plant, BatteryGuardSettings settings, Surroundings surroundings) {
    this.plant = plant;
    this.settings = settings;
    this.surroundings = surroundings;
  }

  /**
   * Lets the unit look and act.
   *
   * @param now the present instant, to which the plant has been advanced and solved
   * @return whether it moved the contactor
   */
  public boolean run(long now) {
    double cellV = plant.batteryTerminalV() / settings.cells();
    double amps = plant.batteryCurrentA();
    double celsius = plant.batteryTemperatureC();
    limitCharging(cellV, celsius);
    if (cause == Cause.NONE) {
      watch(cellV, amps, celsius, now);
    } else {
      recover(cellV, celsius, now);
    }
    Contactor next =
        cause != Cause.NONE
            ? Contactor.OPEN
            : outsideCharging || brimming ? Contactor.DISCHARGE_ONLY : Contactor.CLOSED;
    Contactor before = ordered;
    if (next == before) {
      return false;
    }
    surroundings.note("battery", "contactor", before.name(), next.name(), reason());
    ordered = next;
    plant.setBatteryContactor(next);
    return true;
  }

  private void limitCharging(double cellV, double celsius) {
    double inside = outsideCharging ? INSIDE_K : 0;
    outsideCharging =
        celsius < settings.minimumChargeC() + inside
            || celsius > settings.maximumChargeC() - inside;
    brimming &= cellV > settings.overV() - DOWN_V;
  }

  private void watch(double cellV, double amps, double celsius, long now) {
    overSince = since(overSince, cellV >= settings.overV(), now);
    // A charger on an empty bank is what it waits for; only what draws it down further counts.
    underSince = since(underSince, cellV <= settings.underV() && amps < 0, now);
    currentSince =
        since(currentSince, amps > settings.chargeA() || -amps > settings.dischargeA(), now);
    hotSince = since(hotSince, celsius >= settings.overC(), now);
    if (over(overSince, VOLTAGE_MICROS, now)) {
      open(Cause.OVER_VOLTAGE);
      brimming = true;
    } else if (over(underSince, VOLTAGE_MICROS, now)) {
      open(Cause.UNDER_VOLTAGE);
    } else if (over(currentSince, CURRENT_MICROS, now)) {
      open(Cause.OVER_CURRENT);
    } else if (over(hotSince, TEMPERATURE_MICROS, now)) {
      open(Cause.OVER_TEMPERATURE);
    }
  }

  private void open(Cause why) {
    cause = why;
    overSince = NEVER;
    underSince = NEVER;
    currentSince = NEVER;
    hotSince = NEVER;
    goneSince = NEVER;
    chargerSince = NEVER;
  }

  private void recover(double cellV, double celsius, long now) {
    double busV = plant.busVoltageV();
    boolean charger = busV > plant.batteryTerminalV() + CHARGER_CELL_V * settings.cells();
    boolean gone =
        switch (cause) {
          case NONE, OVER_CURRENT -> true;
          case OVER_VOLTAGE -> cellV < settings.overV();
          case UNDER_VOLTAGE -> cellV >= settings.underV() + RECOVERED_V;
          case OVER_TEMPERATURE -> celsius <= settings.overC() - COOLED_K;
        };
    boolean safeBus = busV <= settings.cells() * settings.overV();
    goneSince = since(goneSince, gone && safeBus, now);
    chargerSince = since(chargerSince, cause == Cause.UNDER_VOLTAGE && charger && safeBus, now);
    if (over(goneSince, GONE_MICROS, now) || over(chargerSince, CHARGER_MICROS, now)) {
      cause = Cause.NONE;
    }
  }

  private static long since(long start, boolean condition, long now) {
    return condition ? Math.min(start, now) : NEVER;
  }

  private static boolean over(long start, long micros, long now) {
    return start != NEVER && now - start >= micros;
  }

  private String reason() {
    if (cause != Cause.NONE) {
      return cause.name().toLowerCase(Locale.ROOT).replace('_', ' ');
    }
    return outsideCharging
        ? "too cold or too hot to be charged"
        : brimming ? "full to the brim" : "cause gone";
  }

  /** When the unit wants to look next for its own sake, microseconds since 1970, or never. */
  public long wake(long now) {
    long next =
        after(after(NEVER, overSince, VOLTAGE_MICROS, now), underSince, VOLTAGE_MICROS, now);
    next = after(after(next, currentSince, CURRENT_MICROS, now), hotSince, TEMPERATURE_MICROS, now);
    return after(after(next, goneSince, GONE_MICROS, now), chargerSince, CHARGER_MICROS, now);
  }

  private static long after(long next, long since, long micros, long now) {
    return since == NEVER ? next : SimulatedDevice.sooner(next, since + micros, now);
  }
}
