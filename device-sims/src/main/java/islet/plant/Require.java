package islet.plant;

/**
 * Checks on specifications; each failure is a sentence naming the part, the value and the range.
 */
final class Require {

  private Require() {}

  static double positive(double value, String what) {
    if (!(value > 0) || Double.isInfinite(value)) {
      throw new IllegalArgumentException(
          what + " is " + value + "; it must be a finite number above zero.");
    }
    return value;
  }

  static double notNegative(double value, String what) {
    if (!(value >= 0) || Double.isInfinite(value)) {
      throw new IllegalArgumentException(
          what + " is " + value + "; it must be a finite number, zero or above.");
    }
    return value;
  }

  static double within(double value, double low, double high, String what) {
    if (!(value >= low && value <= high)) {
      throw new IllegalArgumentException(
          what + " is " + value + "; it must lie between " + low + " and " + high + ".");
    }
    return value;
  }

  static int atLeastOne(int value, String what) {
    if (value < 1) {
      throw new IllegalArgumentException(what + " is " + value + "; it must be at least 1.");
    }
    return value;
  }

  static void that(boolean holds, String sentence) {
    if (!holds) {
      throw new IllegalArgumentException(sentence);
    }
  }
}
