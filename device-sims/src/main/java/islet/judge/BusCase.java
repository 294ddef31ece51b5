package islet.judge;

import islet.plant.ConstantWeather;
import islet.plant.Plant;
import islet.plant.PlantSpec;

/**
 * One operating point of a DC bus: the parts, the battery's state and what every converter is told.
 *
 * @param seed from which it was drawn
 * @param spec the parts; the battery starts rested at its initial state of charge
 * @param celsius the battery's temperature, °C
 * @param resistanceFactor of the battery's resistances, 1 when healthy
 * @param shade light on the array, 0 to 1
 * @param regulator what the charge regulator is told
 * @param charger what the charger is told; off where there is none
 * @param inverter what the inverter does
 */
record BusCase(
    long seed,
    PlantSpec spec,
    double celsius,
    double resistanceFactor,
    double shade,
    Setting regulator,
    Setting charger,
    Inverter inverter) {

  /** 2026-07-01T18:00Z; any instant does, since the weather is the same always. */
  private static final long NOON = 1_782_928_800L * 1_000_000L;

  /**
   * What a charging converter is told.
   *
   * @param setV voltage to hold, V
   * @param limitA current limit, A
   */
  record Setting(boolean on, double setV, double limitA) {}

  /** What the inverter does. */
  sealed interface Inverter {}

  /** It is blocked. */
  record Off() implements Inverter {}

  /** It charges below one voltage and feeds above the other, on a utility at nominal voltage. */
  record Following(double chargeV, double chargeLimitA, double feedV, double feedLimitW)
      implements Inverter {}

  /** It carries the critical circuits alone. */
  record Forming() implements Inverter {}

  /** The plant with all of this set, and solved. */
  Plant plant() {
    Plant plant = new Plant(spec, new ConstantWeather(900, 0, 900, 20, 2), NOON);
    plant.setShade(shade);
    plant.setBatteryTemperature(celsius);
    plant.setBatteryResistanceFactor(resistanceFactor);
    plant.setUtility(true, 1, spec.utility().nominalHz());
    plant.setRegulator(regulator.on(), regulator.setV(), regulator.limitA());
    plant.setCharger(charger.on(), charger.setV(), charger.limitA());
    if (inverter instanceof Following f) {
      plant.setTieClosed(true);
      plant.setInverterFollowing(f.chargeV(), f.chargeLimitA(), f.feedV(), f.feedLimitW());
    } else if (inverter instanceof Forming) {
      plant.setInverterForming(spec.utility().nominalHz());
    }
    plant.solve();
    return plant;
  }
}
