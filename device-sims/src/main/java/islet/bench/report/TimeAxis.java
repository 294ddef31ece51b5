package islet.bench.report;

import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;

/** A horizontal axis of time, in civil time over a run or in milliseconds around an instant. */
final class TimeAxis {

  /** A tick; {@code below} stands on a second line and is empty for most. */
  record Tick(double x, String label, String below) {}

  private static final int MOST_TICKS = 10;

  /** Steps in seconds that a clock's face suggests. */
  private static final int[] STEPS = {
    1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10_800, 21_600, 43_200
  };

  private final long from;
  private final long to;
  private final List<Tick> ticks = new ArrayList<>();

  private TimeAxis(long from, long to) {
    this.from = from;
    this.to = Math.max(to, from + 1000);
  }

  /** Civil time between two instants. */
  static TimeAxis civil(CivilTime time, long from, long to) {
    TimeAxis axis = new TimeAxis(from, to);
    double seconds = (axis.to - axis.from) / 1e6;
    for (int step : STEPS) {
      if (seconds / step <= MOST_TICKS) {
        axis.clock(time, step);
        return axis;
      }
    }
    axis.calendar(time, seconds / 86_400);
    return axis;
  }

  /** Milliseconds before and after {@code zero}. */
  static TimeAxis milliseconds(long zero, long from, long to) {
    TimeAxis axis = new TimeAxis(from, to);
    double step = Scale.round((axis.to - axis.from) / 1000.0 / MOST_TICKS);
    double first = (axis.from - zero) / 1000.0;
    double last = (axis.to - zero) / 1000.0;
    for (long i = (long) Math.ceil(first / step); i * step <= last; i++) {
      axis.tick(zero + Math.round(i * step * 1000), Num.tick(i * step, step), i == 0 ? "ms" : "");
    }
    return axis;
  }

  private void clock(CivilTime time, int step) {
    LocalDate day = time.at(from).toLocalDate();
    int second = time.at(from).toLocalTime().toSecondOfDay() / step * step;
    LocalDateTime local = day.atTime(LocalTime.ofSecondOfDay(second));
    LocalDateTime end = time.at(to).toLocalDateTime();
    boolean dated = false;
    for (; !local.isAfter(end); local = local.plusSeconds(step)) {
      // None in the hour that a clock set forward leaves out, two in the hour that it repeats.
      for (ZoneOffset offset : time.zone().getRules().getValidOffsets(local)) {
        long at = local.toEpochSecond(offset) * 1_000_000L;
        if (at >= from && at <= to) {
          boolean midnight = local.toLocalTime().equals(LocalTime.MIDNIGHT);
          String label = step < 60 ? CivilTime.second(local) : CivilTime.minute(local);
          tick(at, label, midnight || !dated ? CivilTime.day(local.toLocalDate()) : "");
          dated = true;
        }
      }
    }
  }

  private void calendar(CivilTime time, double days) {
    boolean months = days > 70;
    int step = months ? 1 : (int) Math.ceil(days / MOST_TICKS);
    LocalDate day = time.at(from).toLocalDate();
    LocalDate end = time.at(to).toLocalDate();
    if (months) {
      day = day.withDayOfMonth(1);
    }
    int monthStep = months ? (int) Math.ceil(days / 30.5 / 12.5) : 0;
    boolean dated = false;
    while (!day.isAfter(end)) {
      long at = day.atStartOfDay(time.zone()).toEpochSecond() * 1_000_000L;
      if (at >= from && at <= to) {
        boolean newYear = months && day.getMonthValue() <= monthStep;
        String label = months ? CivilTime.month(day) : CivilTime.day(day);
        tick(at, label, !dated || newYear ? Integer.toString(day.getYear()) : "");
        dated = true;
      }
      day = months ? day.plusMonths(monthStep) : day.plusDays(step);
    }
  }

  private void tick(long at, String label, String below) {
    ticks.add(new Tick(x(at), label, below));
  }

  long from() {
    return from;
  }

  long to() {
    return to;
  }

  /** Where an instant stands; instants outside stand at the edge. */
  double x(long micros) {
    double part = (double) (micros - from) / (to - from);
    return Look.LEFT + Look.PLOT * Math.max(0, Math.min(1, part));
  }

  boolean holds(long micros) {
    return micros >= from && micros <= to;
  }

  /** Draws the grid's upright lines and the labels below {@code bottom}. */
  void draw(Svg svg, double top, double bottom) {
    for (Tick tick : ticks) {
      svg.line("grid", tick.x(), top, tick.x(), bottom);
      svg.line("axis", tick.x(), bottom, tick.x(), bottom + 5);
      svg.text("middle", tick.x(), bottom + 22, tick.label());
      if (!tick.below().isEmpty()) {
        svg.text("small middle", tick.x(), bottom + 40, tick.below());
      }
    }
  }
}
