package islet.bench.margin;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/**
 * Small examples in the manner of Fainekos and Pappas, Theoretical Computer Science 410, 2009, and
 * Donzé and Maler, FORMATS 2010 (references R22): the definitions are theirs, from memory; the
 * figures are worked by hand in the comments.
 */
class FormulaExamplesTest {

  private static final double NONE = Double.NaN;

  /** What a formula tells at each instant; where it is not decided, NaN. */
  private static double[] told(Formula formula, int length, Runnable run) {
    double[] margins = new double[length];
    Arrays.fill(margins, NONE);
    formula.toldTo((begin, end, value) -> Arrays.fill(margins, (int) begin, (int) end, value));
    run.run();
    return margins;
  }

  private static void play(Predicate predicate, double... values) {
    for (int t = 0; t < values.length; t++) {
      predicate.update(t, values[t]);
    }
    predicate.finish(values.length - 1L);
  }

  @Test
  void twoRunsThatKeepTheSameBoundAreToldApartByTheirMargins() {
    // Both stay below 5. The first comes as near as 5 − 4 = 1, the second as near as 5 − 2 = 3.
    Always first = new Always();
    Always second = new Always();
    double[] near = {1, 3, 4, 2};
    double[] far = {1, 2, 1, 0};
    for (int t = 0; t < 4; t++) {
      first.update(t, 5 - near[t]);
      second.update(t, 5 - far[t]);
    }
    first.finish();
    second.finish();
    assertEquals(1, first.margin());
    assertEquals(3, second.margin());
  }

  @Test
  void aBoundThatMustBeReachedSoonEnoughCountsByTheBestOfTheWindow() {
    // x = −3 −1 2 0 −2 and ◇[0,2] x: at 0 max(−3,−1,2) = 2, at 1 max(−1,2,0) = 2,
    // at 2 max(2,0,−2) = 2; at 3 and 4 the window is not over.
    Predicate x = new Predicate();
    double[] margins = told(new EventuallyWithin(x, 0, 2), 5, () -> play(x, -3, -1, 2, 0, -2));
    assertArrayEquals(new double[] {2, 2, 2, NONE, NONE}, margins);
  }

  @Test
  void aBoundToBeKeptForAWhileCountsByTheWorstOfTheWindow() {
    // □[1,2] x on the same: at 0 min(−1,2) = −1, at 1 min(2,0) = 0, at 2 min(0,−2) = −2.
    Predicate x = new Predicate();
    double[] margins = told(new AlwaysWithin(x, 1, 2), 5, () -> play(x, -3, -1, 2, 0, -2));
    assertArrayEquals(new double[] {-1, 0, -2, NONE, NONE}, margins);
  }

  @Test
  void anUntilIsAsGoodAsItsBestSplit() {
    // φ = 4 3 1 −1 5 and ψ = −2 −1 2 6 0, φ U[0,3] ψ at 0, by the instant at which ψ is taken:
    // 0: min(−2, 4) = −2;  1: min(−1, 4, 3) = −1;  2: min(2, 4, 3, 1) = 1;
    // 3: min(6, 4, 3, 1, −1) = −1. The best is 1.
    // At 1: 1: min(−1, 3) = −1;  2: min(2, 3, 1) = 1;  3: −1;  4: min(0, 3, 1, −1, 5) = −1: 1.
    Predicate left = new Predicate();
    Predicate right = new Predicate();
    double[] margins =
        told(
            new Until(left, right, 0, 3),
            5,
            () -> {
              play(left, 4, 3, 1, -1, 5);
              play(right, -2, -1, 2, 6, 0);
            });
    assertArrayEquals(new double[] {1, 1, NONE, NONE, NONE}, margins);
  }

  @Test
  void anAnswerToEachCallIsARequestAndItsResponse() {
    // □(call → ◇[0,2] answer), as the papers write a response: ¬call ∨ ◇[0,2] answer.
    // call holds at 1 only; answer = −1 −1 −1 −0.5 3 3. At 1 the best answer of 1 to 3 is −0.5,
    // elsewhere there is no call and so +∞.
    Predicate call = new Predicate();
    Predicate answer = new Predicate();
    Formula response = new Or(new Not(call), new EventuallyWithin(answer, 0, 2));
    Always always = new Always(response);
    for (int t = 0; t < 6; t++) {
      call.update(t, Predicate.of(t == 1));
      answer.update(t, t < 3 ? -1 : t == 3 ? -0.5 : 3);
    }
    call.finish(5);
    answer.finish(5);
    assertEquals(-0.5, always.margin());
    // The window of the call at 1 ends at 3: then it is decided.
    assertEquals(3, always.violatedAt());
  }

  @Test
  void whatHasHeldForAWhileCouldHaveBeenAskedForSoMuchEarlier() {
    // p comes at 2 s and goes at 5 s. Left time robustness: −1 s at 1 s, since it has not held
    // since 0; +1.5 s at 3.5 s; −2 s at 7 s.
    LeftTime p = new LeftTime();
    p.update(0, false, 0);
    assertEquals(-1, p.atS(1_000_000));
    p.update(2_000_000, true, 0);
    assertEquals(1.5, p.atS(3_500_000));
    p.update(5_000_000, false, 0);
    p.update(6_000_000, false, 0);
    assertEquals(-2, p.atS(7_000_000));
  }

  @Test
  void leftTimeIsTheLongestPastWithTheSameAnswer() {
    SplittableRandom random = new SplittableRandom(5);
    for (int n = 0; n < 500; n++) {
      boolean[] holds = new boolean[40];
      LeftTime fast = new LeftTime();
      for (int t = 0; t < holds.length; t++) {
        holds[t] = random.nextInt(4) == 0 ? random.nextBoolean() : t > 0 && holds[t - 1];
        fast.update(t, holds[t], 0);
        int same = 0;
        while (same < t && holds[t - same - 1] == holds[t]) {
          same++;
        }
        assertEquals((holds[t] ? same : -same) / 1e6, fast.atS(t), "case " + n + " at " + t);
      }
    }
  }

  /** Quiet at first and restless later, so that what a window holds grows while it slides. */
  @Test
  void longWindowsOfSignalsThatGetRestlessAreReadAsTheDefinitionHasIt() {
    SplittableRandom random = new SplittableRandom(6);
    for (int n = 0; n < 60; n++) {
      double[][] signals = new double[2][300];
      for (double[] signal : signals) {
        for (int t = 0; t < signal.length; t++) {
          boolean changes = random.nextInt(signal.length) < t * t / signal.length;
          signal[t] = changes || t == 0 ? random.nextInt(-40, 41) : signal[t - 1];
        }
      }
      int from = random.nextInt(0, 20);
      Spoken spoken =
          new Spoken.UntilThen(
              new Spoken.Either(new Spoken.Atom(0), new Spoken.Ever(new Spoken.Atom(1), 0, 30)),
              new Spoken.Atom(1),
              from,
              from + random.nextInt(0, 90));
      List<Spoken.Leaf> atoms = new ArrayList<>();
      Formula formula = Spoken.fast(spoken, atoms);
      double[] margins =
          told(
              formula,
              300,
              () -> {
                for (Spoken.Leaf leaf : atoms) {
                  play(leaf.predicate(), signals[leaf.signal()]);
                }
              });
      for (int t = 0; t < 300 - Spoken.horizon(spoken); t++) {
        assertEquals(Spoken.robustness(spoken, signals, t), margins[t], "case " + n + " at " + t);
      }
    }
  }

  @Test
  void aFormulaIsPartOfOneOther() {
    Predicate x = new Predicate();
    new Not(x);
    assertThrows(IllegalStateException.class, () -> new Not(x));
  }

  @Test
  void aWindowThatEndsBeforeItBeginsIsRefused() {
    assertThrows(IllegalArgumentException.class, () -> new EventuallyWithin(new Predicate(), 3, 2));
    assertThrows(
        IllegalArgumentException.class, () -> new Until(new Predicate(), new Predicate(), -1, 2));
  }

  @Test
  void aWarmFormulaAllocatesNothing() {
    Predicate left = new Predicate();
    Predicate right = new Predicate();
    Predicate third = new Predicate();
    Always always =
        new Always(
            new And(
                new AlwaysWithin(new Not(new Until(left, right, 10, 300)), 5, 200),
                new EventuallyWithin(third, 0, 900)));
    feed(left, right, third, 0, 20_000);
    var threads = (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();
    long before = threads.getCurrentThreadAllocatedBytes();
    feed(left, right, third, 20_000, 220_000);
    long allocated = threads.getCurrentThreadAllocatedBytes() - before;
    assertTrue(allocated < 5_000, allocated + " bytes for 200,000 steps");
    assertTrue(Double.isFinite(always.margin()));
  }

  private static void feed(Predicate left, Predicate right, Predicate third, int from, int to) {
    for (int t = from; t < to; t++) {
      left.update(t, t * 7 % 13 - 5);
      right.update(t, t * 5 % 17 - 9);
      third.update(t, t * 3 % 11 - 5);
    }
  }
}
