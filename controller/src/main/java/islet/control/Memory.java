package islet.control;

/**
 * Passes over what the supervisor remembers from one scan to the next. Each part hands in its
 * fields one by one, always in the same order, and takes what comes back: who copies returns what
 * it is given, who restores returns what it kept. What every scan finds anew is not handed in.
 *
 * <p>With it the very code that ships can be put into any state that it has once been in, which is
 * what an exhaustive exploration needs. A scan never calls it.
 */
interface Memory {

  /** An instant, microseconds since 1970, or one of the values that stand for none. */
  long instant(String what, long value);

  /** A number of events, or of microseconds that have passed. */
  long count(String what, long value);

  double number(String what, double value);

  boolean flag(String what, boolean value);

  <E extends Enum<E>> E word(String what, E value);

  String text(String what, String value);
}
