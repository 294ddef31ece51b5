package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.GridState;
import islet.site.Site;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Judged by the defaults of IEEE Std 1547-2018 (Tables 4, 11, 12, 13 and 18, from memory), through
 * the profiles that ship.
 */
class GridQualificationTest {

  private static final long STEP = 10_000;
  private static final long SECOND = 1_000_000;

  private final Site third = site("iii");
  private long now = FakeSite.START;

  /**
   * The site rides through and takes nothing above 0.2 pu for gone, so that the profile decides.
   */
  private static Site site(String category) {
    Path profile =
        Path.of(
            System.getProperty("islet.root"),
            "config/profiles/ieee1547-2018-category-" + category + ".yaml");
    return Sites.demo(
        "profile",
        "\"" + profile + "\"",
        "supervision.onSag",
        "ride-through",
        "tie.lossBelow",
        "0.2 pu");
  }

  private void measure(GridQualification grid, double pu, double hz, long micros) {
    for (long end = now + micros; now < end; ) {
      now += STEP;
      grid.measure(pu, hz, now);
    }
  }

  private GridQualification healthy(Site site) {
    GridQualification grid = new GridQualification(site);
    measure(grid, 1, 60, SECOND);
    return grid;
  }

  /** Limit and clearing time; the value is just beyond the limit. */
  @ParameterizedTest
  @CsvSource({
    "i, 1.201, 60, 0.16",
    "i, 1.101, 60, 2",
    "i, 0.699, 60, 2",
    "i, 0.449, 60, 0.16",
    "ii, 1.201, 60, 0.16",
    "ii, 1.101, 60, 2",
    "ii, 0.699, 60, 10",
    "ii, 0.449, 60, 0.16",
    "iii, 1.201, 60, 0.16",
    "iii, 1.101, 60, 13",
    "iii, 0.879, 60, 21",
    "iii, 0.499, 60, 2",
    "i, 1, 62.01, 0.16",
    "i, 1, 61.21, 300",
    "i, 1, 58.49, 300",
    "i, 1, 56.49, 0.16",
    "ii, 1, 62.01, 0.16",
    "ii, 1, 61.21, 300",
    "ii, 1, 58.49, 300",
    "ii, 1, 56.49, 0.16",
    "iii, 1, 62.01, 0.16",
    "iii, 1, 61.21, 300",
    "iii, 1, 58.49, 300",
    "iii, 1, 56.49, 0.16",
  })
  void beyondALimitItIsRiddenThroughForTheClearingTimeAndThenOut(
      String category, double pu, double hz, double clearingS) {
    GridQualification grid = healthy(site(category));
    now += STEP;
    grid.measure(pu, hz, now); // the excursion is seen first here, and its time begins
    measure(grid, pu, hz, Math.round(clearingS * SECOND) - STEP);
    assertEquals(GridState.RIDING, grid.state());
    assertTrue(grid.present());
    measure(grid, pu, hz, STEP);
    assertEquals(GridState.OUT, grid.state());
    assertTrue(grid.lost());
  }

  @ParameterizedTest
  @CsvSource({
    "i, 1.1, 60",
    "i, 0.7, 60",
    "ii, 0.7, 60",
    "iii, 0.88, 60",
    "iii, 1.1, 60",
    "iii, 1, 61.2",
    "iii, 1, 58.5",
  })
  void onALimitItIsNeverOut(String category, double pu, double hz) {
    GridQualification grid = healthy(site(category));
    measure(grid, pu, hz, 400 * SECOND);
    assertTrue(grid.present());
  }

  @Test
  void anExcursionThatEndsJustBeforeTheClearingTimeStartsTheNextOneAnew() {
    GridQualification grid = healthy(third);
    for (int i = 0; i < 20; i++) {
      measure(grid, 0.6, 60, 20 * SECOND);
      measure(grid, 0.95, 60, STEP);
    }
    assertTrue(grid.present());
  }

  @Test
  void onceOutItIsBackOnlyInTheBandToEnterService() {
    GridQualification grid = healthy(third);
    measure(grid, 1.25, 60, SECOND);
    measure(grid, 0.9, 60, 10 * SECOND); // inside the trips, outside the band to enter service
    assertEquals(GridState.OUT, grid.state());
    measure(grid, 0.917, 60, STEP);
    assertEquals(GridState.RETURNING, grid.state());
  }

  @ParameterizedTest
  @CsvSource({"0.917, 60", "1.05, 60", "1, 59.5", "1, 60.1"})
  void itQualifiesAfterThreeHundredSecondsInTheBandAndNotBefore(double pu, double hz) {
    GridQualification grid = new GridQualification(third);
    measure(grid, pu, hz, 300 * SECOND);
    assertEquals(GridState.RETURNING, grid.state());
    assertFalse(grid.qualified());
    assertEquals(0.01, grid.qualifiedInS(now), 1e-9);
    measure(grid, pu, hz, STEP);
    assertTrue(grid.qualified());
    assertEquals(0, grid.qualifiedInS(now));
  }

  @ParameterizedTest
  @CsvSource({"0.916, 60", "1.051, 60", "1, 59.49", "1, 60.11", "0, 0"})
  void aSingleExcursionStartsTheDelayAnew(double pu, double hz) {
    GridQualification grid = new GridQualification(third);
    measure(grid, 1, 60, 299 * SECOND);
    measure(grid, pu, hz, STEP);
    assertEquals(300, grid.qualifiedInS(now));
    measure(grid, 1, 60, 300 * SECOND);
    assertFalse(grid.qualified());
    measure(grid, 1, 60, STEP);
    assertTrue(grid.qualified());
  }

  @Test
  void timeThatNobodyMeasuredDoesNotCount() {
    GridQualification grid = new GridQualification(third);
    measure(grid, 1, 60, 299 * SECOND);
    grid.blind();
    assertEquals(GridState.UNKNOWN, grid.state());
    assertFalse(grid.present());
    assertFalse(grid.lost());
    measure(grid, 1, 60, 300 * SECOND);
    assertFalse(grid.qualified());
  }

  @ParameterizedTest
  @ValueSource(doubles = {0, 0.1, 0.19})
  void withoutVoltageItIsGoneAtOnce(double pu) {
    GridQualification grid = healthy(third);
    measure(grid, pu, 0, STEP);
    assertEquals(GridState.GONE, grid.state());
  }

  @Test
  void aSiteThatLeavesInASagCallsItOutAtOnce() {
    GridQualification grid = healthy(Sites.demo("supervision.onSag", "separate"));
    measure(grid, 0.69, 60, STEP);
    assertEquals(GridState.OUT, grid.state());
  }

  @Test
  void exactlyAtTheLimitOfLossItIsNotGone() {
    GridQualification grid = healthy(third);
    measure(grid, 0.2, 60, STEP);
    assertEquals(GridState.RIDING, grid.state());
    GridQualification leaving = healthy(Sites.demo("supervision.onSag", "separate"));
    measure(leaving, 0.7, 60, STEP);
    assertEquals(GridState.RIDING, leaving.state());
  }
}
