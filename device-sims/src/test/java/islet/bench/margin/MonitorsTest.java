package islet.bench.margin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/**
 * Judged by the definitions and theorems of Fainekos and Pappas, Theoretical Computer Science 410,
 * 2009 (robustness in value) and Donzé and Maler, FORMATS 2010 (robustness in time), both from
 * memory: a slow reading of each formula, microsecond by microsecond as the definition stands, is
 * the second implementation.
 */
class MonitorsTest {

  private static final int CASES = 3000;

  /** A signal by its value at every microsecond, and the samples from which it comes. */
  private static final class Case {
    private final int[] instants;
    private final double[] values;
    private final double[] dense;

    private Case(int[] instants, double[] values, double[] dense) {
      this.instants = instants;
      this.values = values;
      this.dense = dense;
    }

    static Case random(SplittableRandom random) {
      int end = random.nextInt(3, 60);
      int count = random.nextInt(1, 14);
      int[] instants = new int[count];
      double[] values = new double[count];
      for (int i = 1; i < count; i++) {
        instants[i] = random.nextInt(0, end);
      }
      Arrays.sort(instants);
      instants[0] = 0;
      double[] dense = new double[end + 1];
      for (int i = 0; i < count; i++) {
        // Few levels, so that equal values and the bound itself come up often.
        values[i] = random.nextInt(-3, 4);
        for (int t = instants[i]; t <= end; t++) {
          dense[t] = values[i];
        }
      }
      return new Case(instants, values, dense);
    }

    int end() {
      return dense.length - 1;
    }

    Case moved(SplittableRandom random, double by) {
      double[] movedValues = new double[values.length];
      double[] movedDense = new double[dense.length];
      for (int i = 0; i < values.length; i++) {
        movedValues[i] = values[i] + by * (2 * random.nextDouble() - 1);
        for (int t = instants[i]; t < dense.length; t++) {
          movedDense[t] = movedValues[i];
        }
      }
      return new Case(instants, movedValues, movedDense);
    }
  }

  private static Sustained sustained(Case c, int window) {
    Sustained monitor = new Sustained(window);
    for (int i = 0; i < c.values.length; i++) {
      monitor.update(c.instants[i], c.values[i]);
    }
    monitor.finish(c.end());
    return monitor;
  }

  /** min over t of max over [t, t+T], by the definition. */
  private static double slowSustained(Case c, int window) {
    double lowest = Double.POSITIVE_INFINITY;
    for (int t = 0; t + window <= c.end(); t++) {
      double highest = Double.NEGATIVE_INFINITY;
      for (int s = t; s <= t + window; s++) {
        highest = Math.max(highest, c.dense[s]);
      }
      lowest = Math.min(lowest, highest);
    }
    return lowest;
  }

  private static long slowFirstViolation(Case c, int window) {
    for (long t = 0; t + window <= c.end(); t++) {
      double highest = Double.NEGATIVE_INFINITY;
      for (long s = t; s <= t + window; s++) {
        highest = Math.max(highest, c.dense[(int) s]);
      }
      if (highest < 0) {
        return t + window;
      }
    }
    return -1;
  }

  @Test
  void anExcursionCountsByTheHighestValueInEachWindowAsTheDefinitionHasIt() {
    SplittableRandom random = new SplittableRandom(1);
    for (int n = 0; n < CASES; n++) {
      Case c = Case.random(random);
      int window = random.nextInt(0, 20);
      Sustained fast = sustained(c, window);
      assertEquals(slowSustained(c, window), fast.margin(), "case " + n);
      assertEquals(slowFirstViolation(c, window), fast.violatedAt(), "case " + n);
    }
  }

  @Test
  void alwaysIsTheLowestValueEverHeld() {
    SplittableRandom random = new SplittableRandom(2);
    for (int n = 0; n < CASES; n++) {
      Case c = Case.random(random);
      Always fast = new Always();
      for (int i = 0; i < c.values.length; i++) {
        fast.update(c.instants[i], c.values[i]);
      }
      fast.finish();
      double slow = Arrays.stream(c.dense).min().orElseThrow();
      assertEquals(slow, fast.margin(), "case " + n);
      assertEquals(slowFirstViolation(c, 0), fast.violatedAt(), "case " + n);
    }
  }

  /** Duality: the margin of □p is the negative margin of ◇¬p. */
  @Test
  void alwaysAndEventuallyAreDual() {
    SplittableRandom random = new SplittableRandom(3);
    for (int n = 0; n < CASES; n++) {
      Case c = Case.random(random);
      Always always = new Always();
      for (int i = 0; i < c.values.length; i++) {
        always.update(c.instants[i], c.values[i]);
      }
      always.finish();
      double eventuallyNot = Arrays.stream(c.dense).map(v -> -v).max().orElseThrow();
      assertEquals(-eventuallyNot, always.margin(), "case " + n);
    }
  }

  /** Fainekos and Pappas: any other signal nearer than the margin has the same verdict. */
  @Test
  void signalsNearerThanTheMarginHaveTheSameVerdict() {
    SplittableRandom random = new SplittableRandom(4);
    int judged = 0;
    for (int n = 0; n < CASES; n++) {
      Case c = Case.random(random);
      int window = random.nextInt(0, 20);
      double margin = sustained(c, window).margin();
      if (Double.isInfinite(margin) || margin == 0) {
        continue;
      }
      judged++;
      Case near = c.moved(random, 0.999 * Math.abs(margin));
      assertEquals(margin > 0, sustained(near, window).margin() > 0, "case " + n);
    }
    assertTrue(judged > CASES / 4);
  }

  /** And no smaller distance will do: a signal lowered by a little more than the margin fails. */
  @Test
  void theMarginIsTight() {
    SplittableRandom random = new SplittableRandom(5);
    for (int n = 0; n < CASES; n++) {
      Case c = Case.random(random);
      int window = random.nextInt(0, 20);
      double margin = sustained(c, window).margin();
      if (Double.isInfinite(margin) || margin < 0) {
        continue;
      }
      Sustained lowered = new Sustained(window);
      for (int i = 0; i < c.values.length; i++) {
        lowered.update(c.instants[i], c.values[i] - margin - 0.001);
      }
      lowered.finish(c.end());
      assertTrue(lowered.violatedAt() >= 0, "case " + n);
    }
  }

  @Test
  void theLongestStayIsTheLongestRunOfMicrosecondsInTheState() {
    SplittableRandom random = new SplittableRandom(6);
    for (int n = 0; n < CASES; n++) {
      Case c = Case.random(random);
      int bound = random.nextInt(0, 20);
      LongestStay fast = new LongestStay(bound);
      for (int i = 0; i < c.values.length; i++) {
        fast.update(c.instants[i], c.values[i] < 0);
        long next = i + 1 < c.values.length ? c.instants[i + 1] : c.end();
        for (int t = c.instants[i]; t < next; t++) {
          int since = t;
          while (since > 0 && c.dense[since - 1] < 0) {
            since--;
          }
          double stays = c.dense[t] < 0 ? (t - since) / 1e6 : 0;
          assertEquals(stays, fast.staysS(t), 1e-12, "case " + n + " at " + t);
        }
      }
      fast.finish(c.end());
      int longest = 0;
      int run = 0;
      long violated = -1;
      for (int t = 0; t < c.end(); t++) {
        run = c.dense[t] < 0 ? run + 1 : 0;
        longest = Math.max(longest, run);
        if (run > bound && violated < 0) {
          violated = t;
        }
      }
      assertEquals((bound - longest) / 1e6, fast.marginS(), "case " + n);
      assertEquals(violated, fast.violatedAt(), "case " + n);
      assertEquals(longest > 0, fast.entered(), "case " + n);
    }
  }

  @Test
  void aDeadlineIsMetAtTheFirstMicrosecondInWhichItHolds() {
    SplittableRandom random = new SplittableRandom(7);
    for (int n = 0; n < CASES; n++) {
      Case c = Case.random(random);
      int from = random.nextInt(0, 20);
      int deadline = from + random.nextInt(0, 20);
      Deadline fast = new Deadline(from, deadline);
      for (int i = 0; i < c.values.length; i++) {
        fast.update(c.instants[i], c.values[i] > 0);
      }
      fast.finish(c.end());
      long slow = -1;
      for (int t = from; t <= c.end() && slow < 0; t++) {
        slow = c.dense[t] > 0 ? t : -1;
      }
      assertEquals(slow, fast.metAt(), "case " + n);
      assertEquals(slow >= 0 && slow <= deadline, fast.met(), "case " + n);
      assertEquals(fast.met(), fast.marginS() >= 0, "case " + n);
    }
  }

  /** Donzé and Maler: moved in time by less than the margin, it keeps its verdict; by more, not. */
  @Test
  void theMarginInTimeIsTheDelayThatIsBorne() {
    Deadline early = new Deadline(1_000_000, 3_000_000);
    early.update(0, false);
    early.update(2_250_000, true);
    early.finish(10_000_000);
    assertEquals(0.75, early.marginS());

    for (long delay : new long[] {0, 749_999, 750_000, 750_001}) {
      Deadline delayed = new Deadline(1_000_000, 3_000_000);
      delayed.update(0, false);
      delayed.update(2_250_000 + delay, true);
      delayed.finish(10_000_000);
      assertEquals(delay <= 750_000, delayed.met(), "delay " + delay);
    }
  }

  @Test
  void aDipAsLongAsToleratedIsBorneAndAMicrosecondMoreIsNot() {
    for (int over = 0; over <= 1; over++) {
      Sustained voltage = new Sustained(20_000);
      voltage.update(0, 0.1);
      voltage.update(1_000_000, -0.9);
      voltage.update(1_020_000 + over, 0.1);
      voltage.finish(2_000_000);
      assertEquals(over == 0 ? 0.1 : -0.9, voltage.margin());
      assertEquals(over == 0 ? -1 : 1_020_000, voltage.violatedAt());
    }
  }

  @Test
  void severalValuesAtOneInstantCountAsTheLast() {
    Always always = new Always();
    LongestStay stay = new LongestStay(10);
    Sustained sustained = new Sustained(10);
    double[] atOnce = {1, -5, 2};
    for (double value : atOnce) {
      always.update(100, value);
      stay.update(100, value < 0);
      sustained.update(100, value);
    }
    always.finish();
    stay.finish(200);
    sustained.finish(200);
    assertEquals(2, always.margin());
    assertFalse(stay.entered());
    assertEquals(2, sustained.margin());
  }

  @Test
  void withoutObligationThereIsNoMargin() {
    Sustained sustained = new Sustained(5);
    sustained.update(0, Double.POSITIVE_INFINITY);
    sustained.finish(100);
    assertEquals(-1, sustained.lowestAt());
    assertEquals(Double.POSITIVE_INFINITY, sustained.margin());
  }

  @Test
  void whatIsNotANumberIsRefused() {
    assertThrows(IllegalArgumentException.class, () -> new Always().update(0, Double.NaN));
    assertThrows(IllegalArgumentException.class, () -> new Sustained(1).update(0, Double.NaN));
  }
}
