package islet.device;

import islet.contract.ChargeStage;

/**
 * The charge stages of a device that is left to itself: bulk, absorption, float, by the voltage at
 * its own terminals and by its own current. So it takes another source's current for a full
 * battery's, and the drop over a cable for the battery's voltage, as such devices do.
 */
final class OwnCharging {

  private static final double REFERENCE_C = 25;

  /** Close enough to a set point to count as there, V per V. */
  private static final double NEAR_SHARE = 0.003;

  /** So long at the set point with less than the tail current, and the battery counts as full. */
  private static final long TAIL_MICROS = 120_000_000;

  private final ChargingSettings settings;
  private ChargeStage stage = ChargeStage.BULK;
  private long until;
  private long tailSince = SimulatedDevice.NEVER;

  OwnCharging(ChargingSettings settings) {
    this.settings = settings;
  }

  /**
   * Judges once more.
   *
   * @param terminalV voltage at the device's own terminals, V
   * @param ownA what the device itself gives, A
   * @param temperatureC battery temperature by its own sensor, °C
   */
  void step(double terminalV, double ownA, double temperatureC, long now) {
    double absorption = compensated(settings.absorptionV(), temperatureC);
    boolean there = terminalV >= absorption * (1 - NEAR_SHARE);
    switch (stage) {
      case BULK -> {
        if (there) {
          stage = ChargeStage.ABSORPTION;
          until = now + SimulatedDevice.micros(settings.absorptionS());
          tailSince = SimulatedDevice.NEVER;
        }
      }
      case ABSORPTION -> {
        boolean tail = there && ownA < settings.tailA();
        tailSince = tail ? Math.min(tailSince, now) : SimulatedDevice.NEVER;
        boolean tailed = tail && now - tailSince >= TAIL_MICROS;
        if (tailed || now >= until) {
          stage = ChargeStage.FLOAT;
        } else if (terminalV < settings.rebulkV()) {
          stage = ChargeStage.BULK;
        }
      }
      case FLOAT -> {
        if (terminalV < settings.rebulkV()) {
          stage = ChargeStage.BULK;
        }
      }
      case OFF, EQUALISE, REST -> stage = ChargeStage.BULK;
    }
  }

  ChargeStage stage() {
    return stage;
  }

  /** Whether the battery's temperature lets it charge. */
  boolean allowed(double temperatureC) {
    return temperatureC >= settings.minimumC() && temperatureC <= settings.maximumC();
  }

  /** The voltage to hold in the present stage, V. */
  double setV(double temperatureC) {
    return compensated(
        stage == ChargeStage.FLOAT ? settings.floatV() : settings.absorptionV(), temperatureC);
  }

  private double compensated(double setPoint, double temperatureC) {
    // Rounded to the tenth of a volt per step as real units do, which also keeps the plant from
    // being set anew each second.
    double raw = setPoint + settings.compensationVPerK() * (temperatureC - REFERENCE_C);
    return Math.min(Math.round(raw * 20) / 20.0, settings.maximumV() - 0.1);
  }
}
