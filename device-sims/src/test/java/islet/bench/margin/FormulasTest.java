package islet.bench.margin;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.margin.Spoken.Atom;
import islet.bench.margin.Spoken.Both;
import islet.bench.margin.Spoken.Either;
import islet.bench.margin.Spoken.Ever;
import islet.bench.margin.Spoken.Leaf;
import islet.bench.margin.Spoken.Opposite;
import islet.bench.margin.Spoken.Throughout;
import islet.bench.margin.Spoken.UntilThen;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import net.jqwik.api.Tuple;
import net.jqwik.api.constraints.IntRange;

/**
 * Random formulas, four operators deep at most, on random signals: judged by the definitions read
 * slowly in {@link Spoken}, and by the theorems of Fainekos and Pappas, Theoretical Computer
 * Science 410, 2009 (from memory): the sign of the robustness is the truth, and signals that move
 * by no more than ε move the robustness by no more than ε.
 */
class FormulasTest {

  private static final int SIGNALS = 3;

  private static final int LENGTH = 80;

  private static final int DEEPEST = 4;

  /** Signals by their value at every instant, and where the fast formulas are told of them anew. */
  @SuppressWarnings("ArrayRecordComponent") // never compared
  record Run(double[][] signals, boolean[][] told) {

    @Override
    public String toString() {
      return Arrays.deepToString(signals);
    }
  }

  @Provide
  Arbitrary<Spoken> formulas() {
    Arbitrary<Spoken> atoms = Arbitraries.integers().between(0, SIGNALS - 1).map(Atom::new);
    // Mostly short, so that four of them fit into a run; now and then longer than a ring begins.
    Arbitrary<int[]> windows =
        Arbitraries.frequencyOf(Tuple.of(5, windows(4, 6)), Tuple.of(1, windows(9, 40)));
    Arbitrary<Spoken> deeper = atoms;
    for (int depth = 1; depth <= DEEPEST; depth++) {
      Arbitrary<Spoken> part = deeper;
      deeper =
          Arbitraries.oneOf(
              part,
              part.map(Opposite::new),
              Combinators.combine(part, part).as(Both::new),
              Combinators.combine(part, part).as(Either::new),
              Combinators.combine(part, windows).as((p, w) -> new Ever(p, w[0], w[1])),
              Combinators.combine(part, windows).as((p, w) -> new Throughout(p, w[0], w[1])),
              Combinators.combine(part, part, windows)
                  .as((p, q, w) -> new UntilThen(p, q, w[0], w[1])));
    }
    return deeper;
  }

  private static Arbitrary<int[]> windows(int latest, int longest) {
    return Combinators.combine(
            Arbitraries.integers().between(0, latest), Arbitraries.integers().between(0, longest))
        .as((from, length) -> new int[] {from, from + length});
  }

  @Provide
  Arbitrary<Run> runs() {
    // Few levels, so that equal values and the bound itself come up often.
    Arbitrary<double[][]> signals =
        Arbitraries.integers()
            .between(-4, 4)
            .array(int[].class)
            .ofSize(SIGNALS * LENGTH)
            .flatMap(levels -> changes().map(changes -> FormulasTest.held(levels, changes)));
    return Combinators.combine(signals, changes()).as(FormulasTest::run);
  }

  private static Arbitrary<boolean[]> changes() {
    return Arbitraries.of(true, false, false, false)
        .array(boolean[].class)
        .ofSize(SIGNALS * LENGTH);
  }

  private static double[][] held(int[] levels, boolean[] changes) {
    double[][] signals = new double[SIGNALS][LENGTH];
    for (int i = 0; i < SIGNALS; i++) {
      for (int t = 0; t < LENGTH; t++) {
        int place = i * LENGTH + t;
        signals[i][t] = t == 0 || changes[place] ? levels[place] : signals[i][t - 1];
      }
    }
    return signals;
  }

  private static Run run(double[][] signals, boolean[] anew) {
    boolean[][] told = new boolean[SIGNALS][LENGTH];
    for (int i = 0; i < SIGNALS; i++) {
      for (int t = 0; t < LENGTH; t++) {
        told[i][t] = t == 0 || signals[i][t] != signals[i][t - 1] || anew[i * LENGTH + t];
      }
    }
    return new Run(signals, told);
  }

  /** What the fast formula tells at each instant at which it is decided. */
  private static double[] fast(Spoken spoken, double[][] signals, boolean[][] told) {
    List<Leaf> atoms = new ArrayList<>();
    Formula formula = Spoken.fast(spoken, atoms);
    double[] margins = new double[LENGTH];
    int[] decided = {0};
    formula.toldTo(
        (begin, end, value) -> {
          assertEquals(decided[0], begin, "pieces follow each other without a gap");
          assertTrue(end > begin, "a piece has a length");
          Arrays.fill(margins, (int) begin, (int) end, value);
          decided[0] = (int) end;
        });
    for (int t = 0; t < LENGTH; t++) {
      for (Leaf leaf : atoms) {
        if (told[leaf.signal()][t]) {
          leaf.predicate().update(t, signals[leaf.signal()][t]);
        }
      }
    }
    for (Leaf leaf : atoms) {
      leaf.predicate().finish(LENGTH - 1);
    }
    assertEquals(Spoken.horizon(spoken), formula.horizonMicros());
    return Arrays.copyOf(margins, decided[0]);
  }

  private static double[] slow(Spoken spoken, double[][] signals) {
    double[] margins = new double[Math.max(0, LENGTH - Spoken.horizon(spoken))];
    for (int t = 0; t < margins.length; t++) {
      margins[t] = Spoken.robustness(spoken, signals, t);
    }
    return margins;
  }

  @Property(seed = "20090410", tries = 600)
  void theFastFormulaIsTheDefinition(@ForAll("formulas") Spoken formula, @ForAll("runs") Run run) {
    assertArrayEquals(slow(formula, run.signals()), fast(formula, run.signals(), run.told()), 0.0);
  }

  @Property(seed = "20090411", tries = 300)
  void aPositiveMarginIsTrueAndANegativeOneFalse(
      @ForAll("formulas") Spoken formula, @ForAll("runs") Run run) {
    double[] margins = fast(formula, run.signals(), run.told());
    for (int t = 0; t < margins.length; t++) {
      if (margins[t] != 0) {
        assertEquals(Spoken.holds(formula, run.signals(), t), margins[t] > 0, "at " + t);
      }
    }
  }

  @Property(seed = "20090412", tries = 300)
  void signalsThatMoveALittleMoveTheMarginNoFurther(
      @ForAll("formulas") Spoken formula,
      @ForAll("runs") Run run,
      @ForAll("runs") Run other,
      @ForAll @IntRange(min = 0, max = 64) int sixtyFourths) {
    double most = sixtyFourths / 64.0;
    double[][] moved = new double[SIGNALS][LENGTH];
    for (int i = 0; i < SIGNALS; i++) {
      for (int t = 0; t < LENGTH; t++) {
        // Values lie between −4 and 4: a quarter of them between −1 and 1.
        moved[i][t] = run.signals()[i][t] + most * other.signals()[i][t] / 4;
      }
    }
    boolean[][] everywhere = new boolean[SIGNALS][LENGTH];
    for (boolean[] told : everywhere) {
      Arrays.fill(told, true);
    }
    double[] before = fast(formula, run.signals(), run.told());
    double[] after = fast(formula, moved, everywhere);
    for (int t = 0; t < before.length; t++) {
      assertTrue(Math.abs(after[t] - before[t]) <= most, "at " + t);
    }
  }

  @Property(seed = "20090413", tries = 300)
  void liftingEveryPredicateLiftsTheMarginByAsMuch(
      @ForAll("formulas") Spoken formula,
      @ForAll("runs") Run run,
      @ForAll @IntRange(min = -9, max = 9) int by) {
    Spoken without = affirmed(formula);
    double[] before = fast(without, run.signals(), run.told());
    double[] after = fast(without, Spoken.lifted(run.signals(), by), run.told());
    for (int t = 0; t < before.length; t++) {
      assertEquals(before[t] + by, after[t], "at " + t);
    }
  }

  /** The formula with every negation left out, in which every predicate counts positively. */
  private static Spoken affirmed(Spoken f) {
    if (f instanceof Opposite o) {
      return affirmed(o.part());
    } else if (f instanceof Both b) {
      return new Both(affirmed(b.left()), affirmed(b.right()));
    } else if (f instanceof Either e) {
      return new Either(affirmed(e.left()), affirmed(e.right()));
    } else if (f instanceof Ever e) {
      return new Ever(affirmed(e.part()), e.from(), e.to());
    } else if (f instanceof Throughout a) {
      return new Throughout(affirmed(a.part()), a.from(), a.to());
    } else if (f instanceof UntilThen u) {
      return new UntilThen(affirmed(u.left()), affirmed(u.right()), u.from(), u.to());
    }
    return f;
  }
}
