package islet.live;

import islet.bench.EventLog;
import islet.bench.Sample;
import islet.bench.Signal;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;

/**
 * What a live run has been so far, in bounded memory, for whoever opens the page later: rows of all
 * signals and the newest lines of the sequence of events. When there are too many rows every second
 * one goes, and from then on they are twice as far apart; so what lasted shorter than the distance
 * may be missing, and the run folder has it. Safe for several threads.
 */
public final class LiveHistory {

  private static final int MOST_ROWS = 2_000;
  private static final int MOST_EVENTS = 500;
  private static final long FIRST_STEP_MICROS = 250_000;
  private static final double MICROS_PER_MILLI = 1_000;
  private static final double MICROS_PER_SECOND = 1e6;

  private static final List<Signal> SIGNALS = Signal.all();

  /**
   * The history at one moment.
   *
   * @param stepS the distance of rows at present, s of site time
   * @param columns the signals in the rows behind the instant
   * @param rows each the instant, ms since 1970, then the signals; a signal of words is the place
   *     of its word
   * @param events the newest lines, the oldest first
   * @param dropped lines that were older
   */
  public record Past(
      double stepS, List<String> columns, List<double[]> rows, List<Line> events, long dropped) {

    /** Nothing has been yet. */
    public static final Past NOTHING =
        new Past(FIRST_STEP_MICROS / MICROS_PER_SECOND, columnNames(), List.of(), List.of(), 0);
  }

  /**
   * A line of the sequence of events.
   *
   * @param at ms since 1970
   */
  public record Line(
      double at, String source, String kind, String from, String to, String reason) {}

  private final List<double[]> rows = new ArrayList<>();
  private final Deque<Line> events = new ArrayDeque<>();
  private long stepMicros = FIRST_STEP_MICROS;
  private long lastMicros = Long.MIN_VALUE / 2;
  private long dropped;

  private static List<String> columnNames() {
    return SIGNALS.stream().map(Signal::label).toList();
  }

  /**
   * Takes what is so at an instant, µs since 1970, unless the last row is too near, or nobody has
   * looked at the plant yet.
   */
  synchronized void take(long micros, Sample sample) {
    if (sample.micros() == 0 || micros - lastMicros < stepMicros) {
      return;
    }
    if (rows.size() == MOST_ROWS) {
      thin();
    }
    lastMicros = micros;
    double[] row = new double[SIGNALS.size() + 1];
    row[0] = Math.floor(micros / MICROS_PER_MILLI);
    for (int i = 0; i < SIGNALS.size(); i++) {
      row[i + 1] = rounded(sample.get(SIGNALS.get(i)), SIGNALS.get(i).decimals());
    }
    rows.add(row);
  }

  private static double rounded(double value, int decimals) {
    double scale = 1;
    for (int i = 0; i < decimals; i++) {
      scale *= 10;
    }
    return Math.rint(value * scale) / scale;
  }

  private void thin() {
    List<double[]> kept = new ArrayList<>(MOST_ROWS);
    for (int i = 0; i < rows.size(); i += 2) {
      kept.add(rows.get(i));
    }
    rows.clear();
    rows.addAll(kept);
    stepMicros *= 2;
  }

  synchronized void take(EventLog.Row row) {
    if (events.size() == MOST_EVENTS) {
      events.removeFirst();
      dropped++;
    }
    events.addLast(
        new Line(
            Math.floor(row.micros() / MICROS_PER_MILLI),
            row.source(),
            row.kind(),
            row.from(),
            row.to(),
            row.reason()));
  }

  /** What has been so far. From any thread. */
  public synchronized Past past() {
    return new Past(
        stepMicros / MICROS_PER_SECOND,
        columnNames(),
        List.copyOf(rows),
        List.copyOf(events),
        dropped);
  }
}
