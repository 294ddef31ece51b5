package islet.bench.compare;

import java.util.List;

/** One line of a comparison: a value for each column. */
public sealed interface Row {

  /** What is compared; two blanks before it mark a part of the line above. */
  String name();

  /**
   * Numbers.
   *
   * @param unit empty for a plain number
   * @param decimals that are shown
   * @param values one for each column; NaN where a column has none
   */
  record Figures(String name, String unit, int decimals, List<Double> values) implements Row {
    public Figures {
      values = List.copyOf(values);
    }

    /** How far a column is from the first; NaN when either has no value. */
    public double difference(int column) {
      return values.get(column) - values.get(0);
    }
  }

  /**
   * Words.
   *
   * @param bad whether a column's words tell of something that a person should look at
   */
  record Words(String name, List<String> values, List<Boolean> bad) implements Row {
    public Words {
      values = List.copyOf(values);
      bad = List.copyOf(bad);
    }
  }
}
