package islet.plant;

/**
 * A bank on a bench supply, at one temperature: what a laboratory does with it. Its books are
 * closed after every step, with the supply in the place of a plant.
 */
final class LoneBank {
  private static final double LONGEST_STEP_S = 5;

  private final Battery battery;
  private final Ledger ledger;
  private final double celsius;

  LoneBank(BatterySpec spec, double soc, double health, double celsius) {
    this.battery = Battery.of(spec, soc, health, celsius);
    this.ledger = new Ledger(battery.storedJ(), battery.wellsC());
    this.celsius = celsius;
  }

  /** Terminal voltage at once after a current was set, V. */
  double volts(double amps) {
    battery.prepare(0);
    battery.evaluate(amps);
    return battery.terminalV();
  }

  /** Holds a main current into it for a while. */
  void hold(double amps, double seconds) {
    double left = seconds;
    while (left > 0) {
      left -= step(amps, left);
    }
  }

  /** One step, not longer than asked; returns its length, s. */
  double step(double amps, double mostS) {
    battery.setTemperatureC(celsius);
    battery.prepare(0);
    battery.evaluate(amps);
    double seconds = Math.min(mostS, Math.min(LONGEST_STEP_S, battery.longestStepS()));
    battery.prepare(seconds);
    battery.evaluate(amps);
    ledger.beginStep();
    double joules = battery.terminalV() * battery.terminalA() * seconds;
    ledger.add(Flow.PV, Math.max(0, joules));
    ledger.add(Flow.REGULATOR_LOSS, Math.max(0, -joules));
    battery.advance(ledger);
    ledger.endStep(battery.storedJ(), battery.wellsC(), ledger.steps());
    return seconds;
  }

  Battery battery() {
    return battery;
  }

  Ledger ledger() {
    return ledger;
  }

  /**
   * How long a bank lasts from full, h.
   *
   * @param amps constant current out of it, A
   * @param cutV where it ends, V per cell
   * @param celsius held temperature, °C
   */
  static double dischargeHours(BatterySpec spec, double amps, double cutV, double celsius) {
    LoneBank bank = new LoneBank(spec, 1, 1, celsius);
    double seconds = 0;
    while (bank.volts(-amps) >= cutV * spec.cells()) {
      seconds += bank.step(-amps, LONGEST_STEP_S);
    }
    return seconds / 3600;
  }
}
