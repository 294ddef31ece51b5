package islet.plant;

import java.nio.file.Path;

/**
 * How fast the plant alone goes: days of a year of weather in steps of a second, actuators held.
 * Prints steps and nanoseconds a step. {@code .ci/benchmark} runs it, also against another version.
 */
final class PlantPace {
  private static final long SECOND = 1_000_000L;
  private static final int DAY_S = 86_400;

  private PlantPace() {}

  /** Days to run; the folder of the project. */
  public static void main(String[] args) {
    int days = Integer.parseInt(args[0]);
    Path epw = Path.of(args[1], "config/weather/chicago-ohare-tmy3.epw");
    Plant plant = new Plant(DemoPlants.spec(0.6), EpwWeather.read(epw), DemoPlants.SUMMER_NOON);
    plant.setUtility(true, 1, 60);
    plant.setTieClosed(true);
    plant.setRegulator(true, 57.6, 80);
    plant.setInverterFollowing(50, 30, 57.0, 5000);
    plant.solve();
    long steps = (long) days * DAY_S;
    long begun = System.nanoTime();
    for (long i = 0; i < steps; i++) {
      plant.advanceTo(plant.nowMicros() + SECOND);
    }
    double seconds = (System.nanoTime() - begun) * 1e-9;
    System.out.printf(
        "%d steps, %.2f s, %.0f ns a step, %.0f simulated seconds per second%n",
        steps, seconds, 1e9 * seconds / steps, steps / seconds);
  }
}
