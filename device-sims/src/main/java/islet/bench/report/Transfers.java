package islet.bench.report;

import islet.bench.EventLog;
import islet.bench.RunRecord;
import islet.bench.Signal;
import islet.bench.Trace;
import islet.bench.VoltageExcursion;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** Finds the moments that deserve a look through the glass, and draws them in milliseconds. */
final class Transfers {

  /**
   * A span around one or several close events.
   *
   * @param zero the first event; milliseconds count from here
   */
  record Window(long zero, long from, long to, String title, boolean outside) {}

  private record Instant(long micros, long until, String title, boolean outside) {}

  private static final long BEFORE = 100_000;
  private static final long AFTER = 150_000;
  private static final long LONGEST_EXCURSION = 1_000_000;
  private static final long LONGEST_WINDOW = 2_500_000;
  private static final int MOST_EVENTS = 14;

  private Transfers() {}

  /** The tie's operations and the voltage excursions, those close together in one window. */
  static List<Window> find(RunRecord run, CivilTime time) {
    List<Instant> instants = new ArrayList<>();
    Trace trace = run.trace();
    for (int row = 1; row < trace.rows(); row++) {
      double now = trace.value(row, Signal.TIE_CLOSED);
      if (now != trace.value(row - 1, Signal.TIE_CLOSED)) {
        long at = trace.micros(row);
        instants.add(new Instant(at, at, now != 0 ? "Tie closes" : "Tie opens", false));
      }
    }
    for (VoltageExcursion excursion : run.excursions()) {
      long at = excursion.startMicros();
      long lasts = Math.min(LONGEST_EXCURSION, Math.round(excursion.durationS() * 1e6));
      boolean outside = !excursion.insideItic();
      instants.add(new Instant(at, at + lasts, "Voltage leaves nominal", outside));
    }
    instants.sort(Comparator.comparingLong(Instant::micros));
    List<Window> windows = new ArrayList<>();
    for (int i = 0; i < instants.size(); ) {
      Instant first = instants.get(i);
      String title = first.title();
      long until = first.until();
      boolean outside = first.outside();
      int next = i + 1;
      while (next < instants.size()
          && instants.get(next).micros() <= until + BEFORE
          && instants.get(next).until() - first.micros() <= LONGEST_WINDOW) {
        Instant other = instants.get(next);
        if (!title.contains(other.title())) {
          title =
              title
                  + "; "
                  + Character.toLowerCase(other.title().charAt(0))
                  + other.title().substring(1);
        }
        until = Math.max(until, other.until());
        outside |= other.outside();
        next++;
      }
      windows.add(
          new Window(
              first.micros(),
              first.micros() - BEFORE,
              until + AFTER,
              time.stamp(first.micros()) + "  " + title,
              outside));
      i = next;
    }
    return windows;
  }

  /** The windows to draw when there are more than {@code most}: those outside come first. */
  static List<Window> choose(List<Window> windows, int most) {
    List<Window> chosen = new ArrayList<>(windows);
    chosen.sort(Comparator.comparing(window -> !window.outside()));
    if (chosen.size() > most) {
      chosen.subList(most, chosen.size()).clear();
    }
    chosen.sort(Comparator.comparingLong(Window::zero));
    return chosen;
  }

  /** Draws one window and lists what happened in it. */
  static void draw(Html html, RunRecord run, Window window) {
    TimeAxis axis = TimeAxis.milliseconds(window.zero(), window.from(), window.to());
    List<EventLog.Row> inside = new ArrayList<>();
    for (EventLog.Row row : run.events().rows()) {
      if (axis.holds(row.micros())) {
        inside.add(row);
      }
    }
    List<EventLog.Row> shown = inside.subList(0, Math.min(MOST_EVENTS, inside.size()));
    html.raw("<figure>\n")
        .element("figcaption", window.title())
        .raw("\n<div class=\"wide\" tabindex=\"0\">\n");
    new SvgChart(run.trace(), axis, "pu", 190)
        .showing(0, 1.1)
        .limit("90 %", 0.9)
        .limit("110 %", 1.1)
        .line("Utility", "l3", Quantity.of(Signal.UTILITY_VOLTAGE))
        .line("Main panel", "l2", Quantity.of(Signal.MAIN_VOLTAGE))
        .line("Emergency panel", "l0", Quantity.of(Signal.CRITICAL_VOLTAGE))
        .marks(marks(shown))
        .draw(html.buffer(), "Voltages around " + window.title() + ", in milliseconds");
    html.raw("</div>\n");
    if (!shown.isEmpty()) {
      html.raw("<ol class=\"marks\">\n");
      for (EventLog.Row row : shown) {
        html.raw("<li>").text(Num.fixed((row.micros() - window.zero()) / 1000.0, 1));
        html.raw("\u00a0ms: ").text(row.source()).raw(", ").text(row.kind());
        html.raw(": ").text(change(row));
        if (!row.reason().isEmpty()) {
          html.raw(" (").text(row.reason()).raw(")");
        }
        html.raw("</li>\n");
      }
      html.raw("</ol>\n");
      if (inside.size() > shown.size()) {
        html.raw("<p class=\"quiet\">").text(Num.count(inside.size() - shown.size()));
        html.raw(" more events in this window stand in the sequence of events.</p>\n");
      }
    }
    html.raw("</figure>\n");
  }

  /** From and to of an event, as far as it has them. */
  static String change(EventLog.Row row) {
    if (row.from().isEmpty()) {
      return row.to();
    }
    return row.to().isEmpty() ? row.from() : row.from() + " → " + row.to();
  }

  private static List<SvgChart.Mark> marks(List<EventLog.Row> rows) {
    List<SvgChart.Mark> marks = new ArrayList<>();
    for (int i = 0; i < rows.size(); ) {
      long at = rows.get(i).micros();
      int next = i;
      while (next < rows.size() && rows.get(next).micros() == at) {
        next++;
      }
      StringBuilder numbers = new StringBuilder().append(i + 1);
      if (next > i + 1) {
        numbers.append('–').append(next);
      }
      marks.add(new SvgChart.Mark(at, numbers.toString(), false));
      i = next;
    }
    return marks;
  }
}
