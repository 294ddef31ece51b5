package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;

/**
 * 250 states for each seed, 51,000 in the long form. Judged by Kirchhoff's current law, by
 * conservation (the books throw) and by finiteness; the long run is {@link PlantTrial#main}.
 */
class PlantRandomTest {
  private static final int SEEDS = LongTest.ASKED_FOR ? 204 : 34;

  @Test
  void randomStatesOfAllPlantsAreSolvedAndBalanced() {
    List<String> findings = new ArrayList<>();
    for (long seed = 1; seed <= SEEDS; seed++) {
      findings.addAll(PlantTrial.run(seed));
    }
    assertEquals(List.of(), findings.subList(0, Math.min(10, findings.size())));
  }

  /** What no plant can be told is refused with the figure, and the plant stays as it was. */
  @Test
  void statesThatCannotBeAreRefusedWithTheFigure() {
    Map<String, Consumer<Plant>> wrong =
        Map.ofEntries(
            Map.entry("NaN", p -> p.setRegulator(true, Double.NaN, 10)),
            Map.entry("-Infinity", p -> p.setCharger(true, 50, Double.NEGATIVE_INFINITY)),
            Map.entry("Infinity", p -> p.setInverterFollowing(50, 10, 57, 1.0 / 0)),
            Map.entry("0.0", p -> p.setInverterForming(0)),
            Map.entry("1.4", p -> p.setIslandVoltage(1.4)),
            Map.entry("3.5", p -> p.setUtility(true, 3.5, 60)),
            Map.entry("500.0", p -> p.setUtility(true, 1, 500)),
            Map.entry("-0.1", p -> p.setShade(-0.1)),
            Map.entry("0.01", p -> p.setBatteryResistanceFactor(0.01)),
            Map.entry("24", p -> p.setShortedCells(24)),
            Map.entry("91.0", p -> p.setBatteryTemperature(91)));
    Plant plant = DemoPlants.sunny(0.6);
    plant.solve();
    double before = plant.busVoltageV();
    wrong.forEach(
        (figure, order) -> {
          IllegalArgumentException refusal =
              assertThrows(
                  IllegalArgumentException.class, () -> order.accept(plant), "told " + figure);
          assertTrue(String.valueOf(refusal.getMessage()).contains(figure), refusal.toString());
        });
    plant.solve();
    assertEquals(before, plant.busVoltageV());
  }
}
