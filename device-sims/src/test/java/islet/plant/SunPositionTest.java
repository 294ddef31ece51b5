package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.Instant;
import java.time.ZoneOffset;
import net.e175.klaus.solarpositioning.SPA;
import net.e175.klaus.solarpositioning.SolarPosition;
import org.junit.jupiter.api.Test;

/** Judged by the Solar Position Algorithm at every minute asked, not only at whole hours. */
class SunPositionTest {
  @Test
  void interpolationStaysWithinAThousandthOfADegreeOfTheAlgorithm() {
    SunPosition sun = new SunPosition(DemoPlants.PLACE);
    long start = Instant.parse("2026-01-01T00:00:00Z").getEpochSecond();
    for (long s = start; s < start + 365L * 86_400; s += 13_337) {
      SolarPosition exact =
          SPA.calculateSolarPosition(
              Instant.ofEpochSecond(s).atZone(ZoneOffset.UTC), 41.98, -87.92, 201, 69);
      sun.turnTo(s * 1_000_000L);
      assertEquals(exact.zenithAngle(), sun.zenithDeg(), 1e-3);
      double aside = StrictMath.toRadians(exact.azimuth() - sun.azimuthDeg());
      double onTheSphere =
          StrictMath.toDegrees(StrictMath.sin(aside))
              * StrictMath.sin(StrictMath.toRadians(exact.zenithAngle()));
      assertEquals(0, onTheSphere, 1e-3);
    }
  }

  @Test
  void orderOfAskingDoesNotMatter() {
    SunPosition forward = new SunPosition(DemoPlants.PLACE);
    SunPosition jumping = new SunPosition(DemoPlants.PLACE);
    long t = DemoPlants.SUMMER_NOON + 1_234_567_890L;
    forward.turnTo(t);
    jumping.turnTo(t + 86_400_000_000L);
    jumping.turnTo(t - 3_600_000_000L);
    jumping.turnTo(t);
    assertEquals(forward.zenithDeg(), jumping.zenithDeg(), 0.0);
    assertEquals(forward.azimuthDeg(), jumping.azimuthDeg(), 0.0);
  }
}
