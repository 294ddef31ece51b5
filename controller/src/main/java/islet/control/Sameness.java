package islet.control;

/**
 * Finds a frozen signal: the same value to the last digit in report after report, while what it
 * measures has moved step by step by the word of all others. A signal that stands still because
 * nothing moves is not accused, nor one that stands still while another goes by one step and stands
 * still too, for then nobody knows who is right.
 */
final class Sameness {

  /** So many equal reports in a row are too many (common practice). */
  private static final int REPORTS = 10;

  /** After so many of its own reports all others have told the same instant. */
  private static final int SETTLED = 3;

  /** A move is at least this share of what all moves must come to. */
  private static final double STEP_SHARE = 0.05;

  /** In so many reports the others must have moved: a signal that lives does not move once only. */
  private static final int MOVES = 5;

  private final double band;
  private double value = Double.NaN;
  private double firstThen;
  private double secondThen;
  private double firstLast;
  private int othersWho;
  private long reportedAt = Inputs.NEVER;
  private long reports;
  private long moves;

  /** Once found it is frozen until it moves, whoever else speaks. */
  private boolean found;

  /**
   * A judge of one signal.
   *
   * @param band by how much each of the others must have moved, in the signal's unit, above 0
   */
  Sameness(double band) {
    this.band = band;
  }

  /**
   * Whether the signal looks frozen.
   *
   * @param told what it tells
   * @param at when that arrived
   * @param first what it should be by one other
   * @param second what it should be by another; the first again when there is one only
   * @param who a code for who the others are, 0 for nobody: a move is one of the same people's word
   */
  boolean frozen(double told, long at, double first, double second, int who) {
    if (told != value) {
      found = false;
    }
    if (told != value || who != othersWho) {
      value = told;
      firstThen = first;
      secondThen = second;
      firstLast = first;
      othersWho = who;
      reports = 0;
      moves = 0;
      reportedAt = at;
      return found;
    }
    if (at != reportedAt) {
      reportedAt = at;
      reports++;
    }
    if (reports < SETTLED) {
      // What one has told already and the others are about to tell is no move of theirs.
      firstThen = first;
      secondThen = second;
      firstLast = first;
    } else if (Math.abs(first - firstLast) >= STEP_SHARE * band) {
      firstLast = first;
      moves++;
    }
    found |=
        who != 0
            && reports >= REPORTS
            && moves >= MOVES
            && Math.abs(first - firstThen) >= band
            && Math.abs(second - secondThen) >= band;
    return found;
  }

  void remember(Memory memory) {
    value = memory.number("same value", value);
    firstThen = memory.number("first then", firstThen);
    secondThen = memory.number("second then", secondThen);
    firstLast = memory.number("first last", firstLast);
    othersWho = (int) memory.count("same who", othersWho);
    reportedAt = memory.instant("same reported", reportedAt);
    reports = memory.count("same reports", reports);
    moves = memory.count("same moves", moves);
    found = memory.flag("same found", found);
  }
}
