package islet.control.plan;

import java.util.regex.Pattern;

/**
 * What the hours of the past week were like, for one quantity, and what that says of the coming
 * ones: the mean of the same hour of the wall's clock over those days of the last seven that are
 * known, working days and free days apart as soon as two of the kind are known. How far such a
 * forecast lies off is measured as it goes: the mean distance between each hour and what would have
 * been said of it, fading over a week.
 */
public final class HourMeans {

  /** So many days are known at most; each has a place by its date. */
  public static final int DAYS = 7;

  private static final int HOURS = 24;

  /** So many days of a kind say more than all days together. */
  private static final int ENOUGH = 2;

  /** The error fades by this with each hour: a week's time constant. */
  private static final double FADES = 1.0 / (DAYS * HOURS);

  private static final double MILLIONTHS = 1e6;
  private static final String UNKNOWN = "-";

  /** Values of up to a million kW, and 24 of them. */
  private static final Pattern DAY =
      Pattern.compile("([wf]-?\\d{1,12}|-)( ([wf]-?\\d{1,12}|-)){23}");

  private final double[] mean = new double[DAYS * HOURS];
  private final boolean[] free = new boolean[DAYS * HOURS];
  private final boolean[] known = new boolean[DAYS * HOURS];
  private final String[] texts = {"", "", "", "", "", "", ""};
  private double sum;
  private double weight;
  private double latest;
  private double error;
  private long errors;

  /**
   * Adds what was measured.
   *
   * @param value in the quantity's unit
   * @param forHours how long it held, h
   */
  public void add(double value, double forHours) {
    sum += value * forHours;
    weight += forHours;
    latest = value;
  }

  /**
   * An hour is over: what was added since the last belongs to it. Less than half an hour of
   * measurements is not kept.
   *
   * @param day local date in days since 1970-01-01
   * @param hour of the wall's clock, 0 to 23
   * @param freeDay whether it was a day of rest
   */
  public void close(long day, int hour, boolean freeDay) {
    if (weight >= 0.5) {
      double value = sum / weight;
      if (knows(hour)) {
        double off = Math.abs(value - forecast(hour, freeDay));
        errors++;
        error += Math.max(FADES, 1.0 / (double) errors) * (off - error);
      }
      int at = (int) Math.floorMod(day, (long) DAYS) * HOURS + hour;
      mean[at] = value;
      free[at] = freeDay;
      known[at] = true;
      texts[at / HOURS] = written(at / HOURS);
    }
    sum = 0;
    weight = 0;
  }

  /** Whether anything is known of this hour. */
  public boolean knows(int hour) {
    for (int d = 0; d < DAYS; d++) {
      if (known[d * HOURS + hour]) {
        return true;
      }
    }
    return false;
  }

  /** What is expected of an hour; of one never seen, the mean of all that was. */
  public double forecast(int hour, boolean freeDay) {
    double all = 0;
    int count = 0;
    double alike = 0;
    int countAlike = 0;
    for (int d = 0; d < DAYS; d++) {
      int at = d * HOURS + hour;
      if (known[at]) {
        all += mean[at];
        count++;
        if (free[at] == freeDay) {
          alike += mean[at];
          countAlike++;
        }
      }
    }
    if (countAlike >= ENOUGH) {
      return alike / countAlike;
    }
    return count > 0 ? all / count : ofAll();
  }

  /** The mean of all hours that are known and of the one at hand. */
  private double ofAll() {
    double total = weight > 0 ? sum / weight : latest;
    int count = 1;
    for (int i = 0; i < mean.length; i++) {
      if (known[i]) {
        total += mean[i];
        count++;
      }
    }
    return total / count;
  }

  /** How far a forecast lies off in the mean; 0 until there was one. */
  public double error() {
    return error;
  }

  /** How many forecasts have been compared. */
  public long errors() {
    return errors;
  }

  /**
   * A day as a text that outlives a restart, made anew when an hour of it closes: for each hour a
   * letter, {@code w} for a working day or {@code f} for a free one, and millionths of the unit; a
   * hyphen for an hour that is not known. Empty when none is.
   *
   * @param place 0 to below {@link #DAYS}
   */
  public String day(int place) {
    return texts[place];
  }

  /** Takes a day back from its text; a text that is none is left alone. */
  public void day(int place, String text) {
    if (text.equals(texts[place]) || !DAY.matcher(text).matches()) {
      return;
    }
    String[] hours = text.split(" ", -1);
    for (int hour = 0; hour < HOURS; hour++) {
      int at = place * HOURS + hour;
      known[at] = !hours[hour].equals(UNKNOWN);
      if (known[at]) {
        free[at] = hours[hour].charAt(0) == 'f';
        mean[at] = Long.parseLong(hours[hour].substring(1)) / MILLIONTHS;
      }
    }
    texts[place] = text;
  }

  private String written(int place) {
    StringBuilder text = new StringBuilder();
    for (int at = place * HOURS; at < (place + 1) * HOURS; at++) {
      text.append(text.isEmpty() ? "" : " ");
      if (known[at]) {
        text.append(free[at] ? 'f' : 'w').append(Math.round(mean[at] * MILLIONTHS));
      } else {
        text.append(UNKNOWN);
      }
    }
    return text.toString();
  }

  /** Something that passes over every number kept, and may change it. */
  public interface Visitor {

    /** Takes a number by its name, and gives what it shall be. */
    double number(String name, double value);
  }

  /** Hands in what is remembered, in a fixed order. */
  public void visit(Visitor visitor) {
    for (int i = 0; i < mean.length; i++) {
      mean[i] = visitor.number("hour mean", mean[i]);
      free[i] = visitor.number("hour free", free[i] ? 1 : 0) != 0;
      known[i] = visitor.number("hour known", known[i] ? 1 : 0) != 0;
    }
    sum = visitor.number("hour sum", sum);
    weight = visitor.number("hour weight", weight);
    latest = visitor.number("hour latest", latest);
    error = visitor.number("hour error", error);
    errors = (long) visitor.number("hour errors", (double) errors);
  }
}
