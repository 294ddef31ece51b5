package islet.site;

import java.util.List;

/**
 * What energy costs. Every day of the year lies in one season, every day of a season belongs to one
 * class, and every minute of a day to one band.
 *
 * @param currency three capitals
 * @param intervalMinutes length of the meter's intervals, of which the demand is taken: 15, 30, 60
 * @param standingPerDay charge of a calendar day, used or not
 * @param seasons at least one
 * @param holidays days that are of the class holiday whatever weekday they fall on
 * @param demand charges for the month's highest interval; empty for none
 */
public record Tariff(
    String currency,
    int intervalMinutes,
    double standingPerDay,
    List<Season> seasons,
    List<Holiday> holidays,
    List<DemandCharge> demand) {

  /** The meter's interval unless the tariff says otherwise; common practice for small services. */
  public static final int USUAL_INTERVAL_MINUTES = 15;

  public Tariff {
    seasons = List.copyOf(seasons);
    holidays = List.copyOf(holidays);
    demand = List.copyOf(demand);
  }

  /** The same bands on every day of the year. */
  public static Tariff ofBands(String currency, List<Band> bands, double standingPerDay) {
    List<DayBands> days = List.of(new DayBands(List.of(DayClass.values()), bands));
    return new Tariff(
        currency,
        USUAL_INTERVAL_MINUTES,
        standingPerDay,
        List.of(new Season("", YearDay.FIRST, YearDay.LAST, days)),
        List.of(),
        List.of());
  }

  /** What kind of day it is. */
  public enum DayClass {
    /** Monday to Friday, unless it is a holiday. */
    WEEKDAY,
    /** Saturday and Sunday, unless it is a holiday. */
    WEEKEND,
    /** A day of the tariff's list of holidays. */
    HOLIDAY
  }

  /**
   * A part of every year, by local dates.
   *
   * @param name empty when it is the only one
   * @param from first day
   * @param to last day, itself included; before {@code from} when the season passes the year's end
   * @param days bands by class of day; every class that the tariff knows stands in one of them
   */
  public record Season(String name, YearDay from, YearDay to, List<DayBands> days) {
    public Season {
      days = List.copyOf(days);
    }

    /** Whether a day of the year lies in the season. */
    public boolean holds(int month, int day) {
      return YearDay.within(from, to, month, day);
    }
  }

  /**
   * A day of every year. 29 February as a last day is the end of February in every year.
   *
   * @param month 1 to 12
   * @param day 1 to the month's length
   */
  public record YearDay(int month, int day) {
    static final YearDay FIRST = new YearDay(1, 1);
    static final YearDay LAST = new YearDay(12, 31);

    /** Whether a day lies from a first to a last one, both included, past the year's end too. */
    static boolean within(YearDay from, YearDay to, int month, int day) {
      int here = rank(month, day);
      int first = rank(from.month(), from.day());
      int last = rank(to.month(), to.day());
      return first <= last ? here >= first && here <= last : here >= first || here <= last;
    }

    private static int rank(int month, int day) {
      return month * 32 + day;
    }
  }

  /** The bands of some classes of days. Together they hold every minute of the day once. */
  public record DayBands(List<DayClass> on, List<Band> bands) {
    public DayBands {
      on = List.copyOf(on);
      bands = List.copyOf(bands);
    }
  }

  /**
   * A price between two times of day.
   *
   * @param span the first band whose span holds the time counts; the whole day in a band that takes
   *     the rest
   * @param importPerKWh price of imported energy
   * @param exportPerKWh credit for exported energy
   */
  public record Band(String name, Site.MinuteSpan span, double importPerKWh, double exportPerKWh) {}

  /**
   * A charge for the highest interval of each calendar month, in full for a month of which a run
   * sees a part.
   *
   * @param perKW for each kW of that interval's mean import
   * @param season counts only intervals in the season of this name; empty for any
   * @param band counts only intervals that begin in a band of this name; empty for any
   */
  public record DemandCharge(String name, double perKW, String season, String band) {}
}
