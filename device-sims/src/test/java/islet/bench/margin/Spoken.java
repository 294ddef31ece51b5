package islet.bench.margin;

import java.util.List;

/**
 * A formula as the papers write it, read slowly: robustness and truth at each instant by the
 * definition itself, with no thought of speed. The fast formulas are judged by it.
 *
 * <p>By Fainekos and Pappas, Theoretical Computer Science 410, 2009, and Donzé and Maler, FORMATS
 * 2010 (both from memory), on signals that have a value at every whole instant. In the until the
 * first part holds up to and with the instant at which the second comes, as in the latter.
 */
sealed interface Spoken {

  /** Signal number {@code signal} is 0 or more. */
  record Atom(int signal) implements Spoken {}

  record Opposite(Spoken part) implements Spoken {}

  record Both(Spoken left, Spoken right) implements Spoken {}

  record Either(Spoken left, Spoken right) implements Spoken {}

  record Ever(Spoken part, int from, int to) implements Spoken {}

  record Throughout(Spoken part, int from, int to) implements Spoken {}

  record UntilThen(Spoken left, Spoken right, int from, int to) implements Spoken {}

  /** How far the formula looks ahead. */
  static int horizon(Spoken f) {
    if (f instanceof Opposite o) {
      return horizon(o.part());
    } else if (f instanceof Both b) {
      return Math.max(horizon(b.left()), horizon(b.right()));
    } else if (f instanceof Either e) {
      return Math.max(horizon(e.left()), horizon(e.right()));
    } else if (f instanceof Ever e) {
      return e.to() + horizon(e.part());
    } else if (f instanceof Throughout a) {
      return a.to() + horizon(a.part());
    } else if (f instanceof UntilThen u) {
      return u.to() + Math.max(horizon(u.left()), horizon(u.right()));
    }
    return 0;
  }

  /** ρ(f, t). */
  static double robustness(Spoken f, double[][] signals, int t) {
    if (f instanceof Opposite o) {
      return -robustness(o.part(), signals, t);
    } else if (f instanceof Both b) {
      return Math.min(robustness(b.left(), signals, t), robustness(b.right(), signals, t));
    } else if (f instanceof Either e) {
      return Math.max(robustness(e.left(), signals, t), robustness(e.right(), signals, t));
    } else if (f instanceof Ever e) {
      double highest = Double.NEGATIVE_INFINITY;
      for (int s = t + e.from(); s <= t + e.to(); s++) {
        highest = Math.max(highest, robustness(e.part(), signals, s));
      }
      return highest;
    } else if (f instanceof Throughout a) {
      double lowest = Double.POSITIVE_INFINITY;
      for (int s = t + a.from(); s <= t + a.to(); s++) {
        lowest = Math.min(lowest, robustness(a.part(), signals, s));
      }
      return lowest;
    } else if (f instanceof UntilThen u) {
      double highest = Double.NEGATIVE_INFINITY;
      double lowest = Double.POSITIVE_INFINITY;
      for (int s = t; s <= t + u.to(); s++) {
        lowest = Math.min(lowest, robustness(u.left(), signals, s));
        if (s >= t + u.from()) {
          highest = Math.max(highest, Math.min(robustness(u.right(), signals, s), lowest));
        }
      }
      return highest;
    }
    return signals[((Atom) f).signal()][t];
  }

  /** Whether f holds at t, in the sense of truth alone. */
  static boolean holds(Spoken f, double[][] signals, int t) {
    if (f instanceof Opposite o) {
      return !holds(o.part(), signals, t);
    } else if (f instanceof Both b) {
      return holds(b.left(), signals, t) && holds(b.right(), signals, t);
    } else if (f instanceof Either e) {
      return holds(e.left(), signals, t) || holds(e.right(), signals, t);
    } else if (f instanceof Ever e) {
      for (int s = t + e.from(); s <= t + e.to(); s++) {
        if (holds(e.part(), signals, s)) {
          return true;
        }
      }
      return false;
    } else if (f instanceof Throughout a) {
      for (int s = t + a.from(); s <= t + a.to(); s++) {
        if (!holds(a.part(), signals, s)) {
          return false;
        }
      }
      return true;
    } else if (f instanceof UntilThen u) {
      for (int s = t; s <= t + u.to() && holds(u.left(), signals, s); s++) {
        if (s >= t + u.from() && holds(u.right(), signals, s)) {
          return true;
        }
      }
      return false;
    }
    return signals[((Atom) f).signal()][t] >= 0;
  }

  /** The same signals, each of them higher by as much. */
  static double[][] lifted(double[][] signals, double by) {
    double[][] moved = new double[signals.length][];
    for (int i = 0; i < signals.length; i++) {
      moved[i] = signals[i].clone();
      for (int t = 0; t < moved[i].length; t++) {
        moved[i][t] += by;
      }
    }
    return moved;
  }

  /**
   * The fast formula.
   *
   * @param atoms gets each of its predicates, with the signal that it is about
   */
  static Formula fast(Spoken f, List<Leaf> atoms) {
    if (f instanceof Opposite o) {
      return new Not(fast(o.part(), atoms));
    } else if (f instanceof Both b) {
      return new And(fast(b.left(), atoms), fast(b.right(), atoms));
    } else if (f instanceof Either e) {
      return new Or(fast(e.left(), atoms), fast(e.right(), atoms));
    } else if (f instanceof Ever e) {
      return new EventuallyWithin(fast(e.part(), atoms), e.from(), e.to());
    } else if (f instanceof Throughout a) {
      return new AlwaysWithin(fast(a.part(), atoms), a.from(), a.to());
    } else if (f instanceof UntilThen u) {
      return new Until(fast(u.left(), atoms), fast(u.right(), atoms), u.from(), u.to());
    }
    Leaf leaf = new Leaf(new Predicate(), ((Atom) f).signal());
    atoms.add(leaf);
    return leaf.predicate();
  }

  /** A predicate and its signal. */
  record Leaf(Predicate predicate, int signal) {}
}
