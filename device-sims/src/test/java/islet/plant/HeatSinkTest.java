package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Optional;
import org.junit.jupiter.api.Test;

/** Judged by the textbook answer of one thermal mass, and by the line between two temperatures. */
class HeatSinkTest {
  private static final ThermalSpec SPEC = new ThermalSpec(40, 1200, 60, 80);

  @Test
  void afterOneTimeConstantItHasWarmedBySixtyThreePercent() {
    HeatSink sink = new HeatSink(Optional.of(SPEC), 400, 25);
    for (int i = 0; i < 1200; i++) {
      sink.advance(400, 25, 1);
    }
    assertEquals(25 + 40 * (1 - 1 / Math.E), sink.celsius(), 1e-9);
    sink.advance(200, 25, 1e6);
    assertEquals(45, sink.celsius(), 1e-9, "half the loss, half the rise");
  }

  @Test
  void theRatingFallsOnAStraightLine() {
    double[] celsius = {20, 60, 65, 70, 80, 90};
    double[] share = {1, 1, 0.75, 0.5, 0, 0};
    for (int i = 0; i < celsius.length; i++) {
      HeatSink sink = new HeatSink(Optional.of(SPEC), 400, celsius[i]);
      assertEquals(share[i], sink.share(), 1e-12);
    }
  }

  @Test
  void whatIsNotSpecifiedNeverFalls() {
    HeatSink sink = new HeatSink(Optional.empty(), 400, 25);
    sink.advance(1e6, 45, 1e6);
    assertEquals(1, sink.share(), 0.0);
    assertEquals(45, sink.celsius(), 0.0);
  }

  /** A room of 45 °C and 40 K of rise would be 85 °C: it settles where the loss fits the rating. */
  @Test
  void inAHotRoomAFeedingInverterFindsTheRatingThatItsHeatSinkBears() {
    Plant plant = hot();
    plant.setInverterFollowing(40, 0, 45, 5_000);
    plant.solve();
    assertEquals(5_000, plant.inverterPowerW(), 1e-6);
    plant.advanceTo(plant.nowMicros() + 3_600_000_000L);
    double share = (80 - plant.heatSinkC()) / 20;
    assertTrue(share < 0.9, share + " of the rating");
    assertEquals(5_000 * share, plant.inverterPowerW(), 1e-3);
    assertEquals(5_000 * share, plant.inverterRatingW(), 1e-3);
  }

  @Test
  void aHotInverterChargesWithLess() {
    Plant plant = hot();
    plant.setInverterFollowing(70, 70, 80, 0);
    plant.solve();
    double cool = plant.inverterDcCurrentA();
    plant.advanceTo(plant.nowMicros() + 3_600_000_000L);
    double share = (80 - plant.heatSinkC()) / 20;
    assertTrue(share < 1);
    assertEquals(Math.min(cool, 70 * share), plant.inverterDcCurrentA(), 0.5);
  }

  private static Plant hot() {
    PlantSpec s = DemoPlants.spec(0.6);
    Plant plant =
        new Plant(
            new PlantSpec(
                s.place(),
                s.pv(),
                s.regulator(),
                LeadAcidSpec.flooded(24, 4_000),
                0.6,
                s.dcCableOhm(),
                DemoPlants.warm(SPEC),
                s.utility(),
                s.circuits()),
            new ConstantWeather(0, 0, 0, 45, 0),
            DemoPlants.SUMMER_NOON);
    plant.setUtility(true, 1, 60);
    plant.setTieClosed(true);
    return plant;
  }
}
