package islet.judge;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.plant.Plant;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** The DC bus judged by ngspice, a general circuit simulator, on the same circuits. */
class BusJudgeTest {
  private static final int DRAWS = 260;

  /** A tenth of a percent: what a panel meter of class 0.1 could tell. */
  private static final double TOLERANCE = 1e-3;

  @Test
  void voltagesAndCurrentsOfTwoHundredOperatingPointsEqualTheSimulators() throws IOException {
    BusJudge.Verdict verdict = Judges.required(() -> BusJudge.compare(1, DRAWS));
    assertEquals(0, verdict.undecided(), "circuits that did not come to rest");
    assertTrue(verdict.points() >= 200, verdict.points() + " points");
    assertTrue(verdict.voltage().share() <= TOLERANCE, verdict.voltage().toString());
    assertTrue(verdict.current().share() <= TOLERANCE, verdict.current().toString());
  }

  /** A judge that passes everything is none: a battery two percent off must not get by. */
  @Test
  void aPlantWithTwoPercentMoreResistanceFails() throws IOException {
    List<BusCase> cases = new ArrayList<>();
    List<Plant> plants = new ArrayList<>();
    for (long seed = 1; seed <= 20; seed++) {
      BusCase point = BusCases.of(seed);
      Plant plant = point.plant();
      plant.setBatteryResistanceFactor(1.02 * point.resistanceFactor());
      plant.solve();
      cases.add(point);
      plants.add(plant);
    }
    BusJudge.Verdict verdict = Judges.required(() -> BusJudge.compare(cases, plants));
    assertTrue(verdict.current().share() > TOLERANCE, verdict.toString());
  }
}
