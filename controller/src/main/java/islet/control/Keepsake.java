package islet.control;

/**
 * What outlives a restart: only what the field cannot tell, such as the keys of holds, an
 * operator's wish, what somebody has acknowledged. Where the site stands is asked of the field
 * anew.
 *
 * <p>A part hands in each such field under a name of its own, and takes what comes back: who writes
 * down returns what it is given; who restores returns what was written down under that name, or
 * what it is given when nothing was, so that a later version may keep more or less. Called once
 * before the first scan, and between scans; never within one.
 */
public interface Keepsake {

  /** An instant, microseconds since 1970; written down now and then, as an estimate is. */
  long instant(String name, long value);

  /** A number of events. */
  long count(String name, long value);

  /** Something that drifts from scan to scan; written down now and then. */
  double estimate(String name, double value);

  /** Yes or no. */
  boolean flag(String name, boolean value);

  /** A word of a closed set. */
  <E extends Enum<E>> E word(String name, E value);

  /** A text, such as the key of a hold. */
  String text(String name, String value);
}
