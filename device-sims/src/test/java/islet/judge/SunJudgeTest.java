package islet.judge;

import static org.junit.jupiter.api.Assertions.assertEquals;

import islet.LongTest;
import islet.plant.ModuleSpec;
import islet.plant.Place;
import islet.plant.PvSpec;
import java.io.IOException;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;

/** A year of sun on the demo's array judged by a script in another language, by other formulas. */
class SunJudgeTest {
  private static final Path EPW =
      Path.of(System.getProperty("islet.root"), "config/weather/chicago-ohare-tmy3.epw");

  private static final Place LANDING = new Place(42, -87.9, 180, 0.2);
  private static final PvSpec ARRAY =
      new PvSpec(new ModuleSpec(8.21, 32.9, 7.61, 26.3, 54, 0.0032, -0.123, 47), 4, 6, 35, 180);

  /** Half a percent: what the choice of a sun formula and of a shape within the hour may make. */
  private static final double TOLERANCE = 0.005;

  /** The pair that Villalva, Gazoli, Ruppert Filho 2009 print for this datasheet. */
  private static final double SERIES_OHM = 0.221;

  private static final double SHUNT_OHM = 415.405;

  private static SunJudge.Verdict compare(PvSpec array) throws IOException {
    return Judges.required(() -> SunJudge.compare(array, LANDING, SERIES_OHM, SHUNT_OHM, EPW));
  }

  @Test
  @LongTest
  void irradiationAndEnergyOfAYearEqualTheScripts() throws IOException {
    SunJudge.Verdict verdict = compare(ARRAY);
    assertEquals(0, verdict.irradiationShare(), TOLERANCE, verdict.toString());
    assertEquals(0, verdict.energyShare(), TOLERANCE, verdict.toString());
  }

  /** Facing west, where a wrong sign of the hour angle would show. */
  @Test
  @LongTest
  void theSameHoldsForASteepArrayFacingWest() throws IOException {
    PvSpec west = new PvSpec(ARRAY.module(), 4, 6, 60, 250);
    SunJudge.Verdict verdict = compare(west);
    assertEquals(0, verdict.irradiationShare(), TOLERANCE, verdict.toString());
    assertEquals(0, verdict.energyShare(), TOLERANCE, verdict.toString());
  }

  /**
   * The judge's own eyes: zenith 50.11162° in the example of Reda and Andreas (Solar Energy 76,
   * 2004), refraction of 0.0167° added back.
   */
  @Test
  @LongTest
  void theScriptsSunStandsWhereThePublishedExampleSays() throws IOException {
    SunJudge.Verdict verdict = compare(ARRAY);
    assertEquals(50.11162 + 0.0167, verdict.zenithDeg(), 0.01);
  }
}
