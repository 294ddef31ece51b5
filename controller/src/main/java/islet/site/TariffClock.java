package islet.site;

import islet.site.Tariff.Band;
import islet.site.Tariff.DayBands;
import islet.site.Tariff.DayClass;
import islet.site.Tariff.Season;
import java.time.DayOfWeek;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.zone.ZoneOffsetTransition;
import java.time.zone.ZoneRules;
import java.util.ArrayList;
import java.util.List;

/**
 * Says what a tariff asks at an instant, and for how long that surely holds.
 *
 * <p>Seasons, days and bands follow the clock on the wall of the site: on the two days of a year
 * with 23 or 25 hours the band in which the clock is changed is an hour shorter or longer. A band
 * across midnight is, after midnight, a band of the new day, with the new day's season and class.
 * Between two changes nothing is allocated.
 */
public final class TariffClock {

  private static final long MICROS_PER_MINUTE = 60_000_000L;
  private static final int MONTHS = 12;

  /**
   * What a bill keeps apart: a band of a season, whatever class of day it is in.
   *
   * @param season empty when the tariff has one season only
   */
  public record Line(String season, String band) {

    /** A name without blanks and underscores: {@code summer.evening}. */
    public String id() {
      String whole = season.isEmpty() ? band : season + "." + band;
      return whole.replaceAll("[^\\p{Alnum}.]+", "-");
    }
  }

  private final Tariff tariff;
  private final ZoneRules rules;
  private final List<Line> lines;
  private int line;
  private int month;
  private double importPerKWh;
  private double exportPerKWh;
  private long until = Long.MIN_VALUE;

  /** A clock that has to be turned to an instant before it is asked. */
  public TariffClock(Tariff tariff, ZoneId zone) {
    this.tariff = tariff;
    this.rules = zone.getRules();
    this.lines = lines(tariff);
  }

  private static List<Line> lines(Tariff tariff) {
    List<Line> lines = new ArrayList<>();
    for (Season season : tariff.seasons()) {
      for (DayBands day : season.days()) {
        for (Band band : day.bands()) {
          Line line = new Line(season.name(), band.name());
          if (indexOf(lines, line) < 0) {
            lines.add(line);
          }
        }
      }
    }
    return List.copyOf(lines);
  }

  private static int indexOf(List<Line> lines, Line line) {
    for (int i = 0; i < lines.size(); i++) {
      if (lines.get(i).id().equals(line.id())) {
        return i;
      }
    }
    return -1;
  }

  /** Finds what holds at an instant, microseconds since 1970. */
  public void turnTo(long micros) {
    Instant instant = Instant.ofEpochSecond(Math.floorDiv(micros, 1_000_000L));
    ZoneOffset offset = rules.getOffset(instant);
    long offsetMicros = offset.getTotalSeconds() * 1_000_000L;
    long minuteOfEra = Math.floorDiv(micros + offsetMicros, MICROS_PER_MINUTE);
    long day = Math.floorDiv(minuteOfEra, (long) Spans.MINUTES_PER_DAY);
    int minute = (int) Math.floorMod(minuteOfEra, (long) Spans.MINUTES_PER_DAY);
    LocalDate date = LocalDate.ofEpochDay(day);
    Season season = season(date);
    List<Band> bands = bands(season, dayClass(date));
    Band band = bandAt(bands, minute);
    month = date.getYear() * MONTHS + date.getMonthValue() - 1;
    line = indexOf(lines, new Line(season.name(), band.name()));
    importPerKWh = band.importPerKWh();
    exportPerKWh = band.exportPerKWh();
    int edge = Spans.MINUTES_PER_DAY;
    for (Band other : bands) {
      edge = nearer(edge, minute, other.span().from());
      edge = nearer(edge, minute, other.span().to());
    }
    until = (day * Spans.MINUTES_PER_DAY + edge) * MICROS_PER_MINUTE - offsetMicros;
    ZoneOffsetTransition change = rules.nextTransition(instant);
    if (change != null) {
      until = Math.min(until, change.toEpochSecond() * 1_000_000L);
    }
  }

  private Season season(LocalDate date) {
    for (Season season : tariff.seasons()) {
      if (season.holds(date.getMonthValue(), date.getDayOfMonth())) {
        return season;
      }
    }
    throw new IllegalStateException("no season holds " + date + "; the reader lets none through");
  }

  /** What kind of day a date is. */
  public DayClass dayClass(LocalDate date) {
    for (Holiday holiday : tariff.holidays()) {
      if (holiday.on(date)) {
        return DayClass.HOLIDAY;
      }
    }
    DayOfWeek weekday = date.getDayOfWeek();
    return weekday == DayOfWeek.SATURDAY || weekday == DayOfWeek.SUNDAY
        ? DayClass.WEEKEND
        : DayClass.WEEKDAY;
  }

  private static List<Band> bands(Season season, DayClass dayClass) {
    for (DayBands day : season.days()) {
      if (day.on().contains(dayClass)) {
        return day.bands();
      }
    }
    throw new IllegalStateException(
        season.name() + " has no bands for a " + dayClass + "; the reader lets none through");
  }

  private static Band bandAt(List<Band> bands, int minute) {
    for (Band band : bands) {
      if (Spans.holds(band.span(), minute)) {
        return band;
      }
    }
    throw new IllegalStateException("no band holds minute " + minute + " of the day");
  }

  private static int nearer(int edge, int minute, int candidate) {
    return candidate > minute && candidate < edge ? candidate : edge;
  }

  /** Everything that a bill keeps apart, in the tariff's order. */
  public List<Line> lines() {
    return lines;
  }

  /** Which of the lines holds. */
  public int line() {
    return line;
  }

  /** The calendar month: twelve times the year, and 0 for January to 11 for December. */
  public int month() {
    return month;
  }

  /** The price of imported energy, in currency per kWh. */
  public double importPerKWh() {
    return importPerKWh;
  }

  /** The credit for exported energy, in currency per kWh. */
  public double exportPerKWh() {
    return exportPerKWh;
  }

  /** What was found holds until here at least, microseconds since 1970; never past a midnight. */
  public long untilMicros() {
    return until;
  }
}
