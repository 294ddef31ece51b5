package islet.bench.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.Sample;
import islet.bench.Signal;
import islet.bench.Trace;
import java.time.ZoneId;
import java.util.Arrays;
import java.util.Random;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/** Downsampling judged by what must be seen: the least and the greatest value of every column. */
class StepPathTest {

  private static final int ROWS = 365 * 96;
  private static final Scale SCALE = new Scale(0, 100, 10, 0, 1000);
  private static final CivilTime TIME = new CivilTime(ZoneId.of("UTC"), 0, ROWS * 900_000_000L);

  private static Trace flat(double level, int spikeRow, double spike) {
    Trace trace = new Trace();
    Sample sample = new Sample();
    for (int row = 0; row < ROWS; row++) {
      sample.at(row * 900_000_000L);
      sample.set(Signal.BUS_VOLTAGE, row == spikeRow ? spike : level);
      trace.add(sample);
    }
    return trace;
  }

  private static String path(Trace trace, long to) {
    TimeAxis axis = TimeAxis.civil(TIME, 0, to);
    return StepPath.of(trace, Quantity.of(Signal.BUS_VOLTAGE), axis, SCALE).toString();
  }

  private static double[] heights(String path) {
    return Pattern.compile("(?:V|M\\d+ )(-?[0-9.]+)")
        .matcher(path)
        .results()
        .map((MatchResult found) -> found.group(1))
        .mapToDouble(Double::parseDouble)
        .toArray();
  }

  @Test
  void aSpikeOfOneRowIsSeenInAYear() {
    for (int row : new int[] {0, 1, 7_777, 30_001, ROWS - 1}) {
      double[] up = heights(path(flat(50, row, 93.7), ROWS * 900_000_000L));
      assertEquals(63.0, Arrays.stream(up).min().orElseThrow(), 0.051, "up at " + row);
      double[] down = heights(path(flat(50, row, 2.5), ROWS * 900_000_000L));
      assertEquals(975.0, Arrays.stream(down).max().orElseThrow(), 0.051, "down at " + row);
    }
  }

  @Test
  void aLevelYearIsASingleStroke() {
    assertEquals("M76 500H876", path(flat(50, -1, 0), ROWS * 900_000_000L));
  }

  @Test
  void aSampleHoldsUntilTheNext() {
    Trace trace = new Trace();
    Sample sample = new Sample();
    double[] levels = {20, 40, 40, 10};
    for (int i = 0; i < levels.length; i++) {
      sample.at(i * 1_000_000L);
      sample.set(Signal.BUS_VOLTAGE, levels[i]);
      trace.add(sample);
    }
    assertEquals("M76 800H276V600H676V900H876", path(trace, 4_000_000L));
  }

  @Test
  void whereThereIsNoValueThereIsAGap() {
    Trace trace = new Trace();
    Sample sample = new Sample();
    double[] levels = {20, Double.NaN, 40};
    for (int i = 0; i < levels.length; i++) {
      sample.at(i * 1_000_000L);
      sample.set(Signal.BUS_VOLTAGE, levels[i]);
      trace.add(sample);
    }
    assertEquals("M76 800H276M476 600H876", path(trace, 4_000_000L));
  }

  /** Against a second, plain reckoning: the extremes of all rows that fall into each column. */
  @Test
  void everyColumnKeepsItsExtremes() {
    Trace trace = new Trace();
    Sample sample = new Sample();
    int rows = 40_000;
    double[] least = new double[Math.round((float) Look.PLOT) + 1];
    double[] greatest = new double[least.length];
    Arrays.fill(least, Double.MAX_VALUE);
    Arrays.fill(greatest, -Double.MAX_VALUE);
    TimeAxis axis = TimeAxis.civil(TIME, 0, rows * 1_000_000L);
    Random random = new Random(7);
    for (int row = 0; row < rows; row++) {
      double value = random.nextInt(1000) / 10.0;
      sample.at(row * 1_000_000L);
      sample.set(Signal.BUS_VOLTAGE, value);
      trace.add(sample);
      int column = (int) Math.round(axis.x(row * 1_000_000L) - Look.LEFT);
      least[column] = Math.min(least[column], value);
      greatest[column] = Math.max(greatest[column], value);
    }
    double[] top = new double[least.length];
    double[] bottom = new double[least.length];
    Arrays.fill(top, Double.MAX_VALUE);
    Arrays.fill(bottom, -Double.MAX_VALUE);
    int column = 0;
    for (MatchResult step :
        Pattern.compile("([MHV])(-?[0-9.]+)(?: (-?[0-9.]+))?")
            .matcher(path(trace, rows * 1_000_000L))
            .results()
            .toList()) {
      if (!step.group(1).equals("V")) {
        column = (int) (Double.parseDouble(step.group(2)) - Look.LEFT);
      }
      if (!step.group(1).equals("H")) {
        double y = Double.parseDouble(step.group(step.group(1).equals("V") ? 2 : 3));
        top[column] = Math.min(top[column], y);
        bottom[column] = Math.max(bottom[column], y);
      }
    }
    for (int i = 0; i < least.length - 1; i++) {
      assertEquals(SCALE.y(greatest[i]), top[i], 0.051, "column " + i);
      assertEquals(SCALE.y(least[i]), bottom[i], 0.051, "column " + i);
    }
  }

  @Test
  void theHeldRowIsFoundByTime() {
    Trace trace = flat(1, -1, 0);
    assertEquals(-1, StepPath.rowAt(trace, -1));
    assertEquals(0, StepPath.rowAt(trace, 899_999_999L));
    assertEquals(1, StepPath.rowAt(trace, 900_000_000L));
    assertTrue(StepPath.rowAt(trace, Long.MAX_VALUE) == ROWS - 1);
  }
}
