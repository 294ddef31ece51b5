package islet.bench;

import islet.bench.RunResult.Entry;
import islet.site.Tariff;
import islet.site.Tariff.DemandCharge;
import islet.site.TariffClock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * The utility's bill of a run: energy by the band of its hour, export credit, standing charge, and
 * the demand charge of each month's highest interval.
 *
 * <p>Prices follow the clock on the wall of the site, intervals elapsed time; see {@link
 * TariffClock} and {@link IntervalClock}. The standing charge of a day with 23 or 25 hours is the
 * same as of any other; of a day that the run holds in part, that part is charged. A demand charge
 * is charged in full for every month that the run touches. Of an interval that the run holds in
 * part, the rest counts as without import, so that its demand is never overstated.
 */
public final class Bill {

  /** Begins the names of what each band gave. */
  public static final String BAND = "band_";

  /** Begins the names of what each demand charge gave; their sum's name begins so as well. */
  public static final String DEMAND = "demand_";

  /** Begins the names of what each month gave. */
  public static final String MONTH = "month_";

  /** Begins the names of the highest interval's value and instant. */
  private static final String PEAK = "peak";

  private static final double JOULES_PER_KWH = 3.6e6;
  private static final double WATTS_PER_KW = 1000;
  private static final int MONTHS = 12;

  /** What a calendar month adds up to. */
  private final class Month {
    final int number;
    final long beginMicros;
    double importJ;
    double exportJ;
    double importCost;
    double credit;

    /** The highest interval of any time, and then that of each demand charge. */
    final double[] peakW = new double[1 + charges.length];

    final long[] peakAt = new long[1 + charges.length];

    Month(int number, long beginMicros) {
      this.number = number;
      this.beginMicros = beginMicros;
      Arrays.fill(peakAt, beginMicros);
    }

    double demandCost() {
      double cost = 0;
      for (int i = 0; i < charges.length; i++) {
        cost += peakW[1 + i] / WATTS_PER_KW * charges[i].perKW();
      }
      return cost;
    }

    /** Such as {@code 2026-01}. */
    String id() {
      int month = number % MONTHS + 1;
      return number / MONTHS + (month < 10 ? "-0" : "-") + month;
    }
  }

  private final Tariff tariff;
  private final ZoneId zone;
  private final TariffClock clock;
  private final IntervalClock interval;
  private final DemandCharge[] charges;
  private final boolean[] counts;
  private final long startMicros;
  private final double[] importJ;
  private final double[] exportJ;
  private final double[] importCost;
  private final double[] credit;
  private final List<Month> months = new ArrayList<>();
  private Month month;
  private double intervalJ;
  private long at;
  private long edge;

  /**
   * An empty bill.
   *
   * @param zone the site's time zone
   * @param startMicros where the billed time begins, microseconds since 1970
   */
  public Bill(Tariff tariff, ZoneId zone, long startMicros) {
    this.tariff = tariff;
    this.zone = zone;
    this.startMicros = startMicros;
    this.at = startMicros;
    clock = new TariffClock(tariff, zone);
    interval = new IntervalClock(zone, tariff.intervalMinutes());
    charges = tariff.demand().toArray(new DemandCharge[0]);
    counts = new boolean[charges.length];
    int lines = clock.lines().size();
    importJ = new double[lines];
    exportJ = new double[lines];
    importCost = new double[lines];
    credit = new double[lines];
    clock.turnTo(startMicros);
    month = new Month(clock.month(), startMicros);
    months.add(month);
    openInterval(startMicros);
    edge = Math.min(clock.untilMicros(), interval.end());
  }

  /**
   * Adds the energy of a step that begins where the last one ended. When the price changes or an
   * interval ends within it, the energy counts as spread evenly over the step.
   *
   * @param untilMicros where the step ends, microseconds since 1970
   * @param importedJ energy taken from the utility, in J, 0 or more
   * @param exportedJ energy given to it, in J, 0 or more
   */
  public void add(long untilMicros, double importedJ, double exportedJ) {
    long from = at;
    if (untilMicros < from || !(importedJ >= 0) || !(exportedJ >= 0)) {
      throw new IllegalArgumentException(
          "a step of "
              + (untilMicros - from)
              + " µs with "
              + importedJ
              + " J imported and "
              + exportedJ
              + " J exported cannot be billed; allowed are 0 or more of each");
    }
    if (untilMicros <= edge) {
      book(importedJ, exportedJ);
    } else {
      double length = untilMicros - from;
      long begin = from;
      while (begin < untilMicros) {
        if (begin >= edge) {
          turn(begin);
        }
        long end = Math.min(untilMicros, edge);
        double share = (end - begin) / length;
        book(importedJ * share, exportedJ * share);
        begin = end;
      }
    }
    at = untilMicros;
    if (at >= edge) {
      turn(at);
    }
  }

  private void book(double importedJ, double exportedJ) {
    int line = clock.line();
    double cost = importedJ / JOULES_PER_KWH * clock.importPerKWh();
    double credited = exportedJ / JOULES_PER_KWH * clock.exportPerKWh();
    importJ[line] += importedJ;
    exportJ[line] += exportedJ;
    importCost[line] += cost;
    credit[line] += credited;
    month.importJ += importedJ;
    month.exportJ += exportedJ;
    month.importCost += cost;
    month.credit += credited;
    intervalJ += importedJ;
  }

  private void turn(long micros) {
    boolean over = micros >= interval.end();
    if (over) {
      closeInterval();
    }
    if (micros >= clock.untilMicros()) {
      clock.turnTo(micros);
      if (clock.month() != month.number) {
        month = new Month(clock.month(), micros);
        months.add(month);
      }
    }
    if (over) {
      openInterval(micros);
    }
    edge = Math.min(clock.untilMicros(), interval.end());
  }

  private void openInterval(long micros) {
    interval.turnTo(micros);
    intervalJ = 0;
    TariffClock.Line line = clock.lines().get(clock.line());
    for (int i = 0; i < charges.length; i++) {
      DemandCharge charge = charges[i];
      counts[i] =
          (charge.season().isEmpty() || charge.season().equals(line.season()))
              && (charge.band().isEmpty() || charge.band().equals(line.band()));
    }
  }

  /** Also asked for the interval under way, of which what it has so far counts. */
  private void closeInterval() {
    double watts = intervalJ / interval.seconds();
    long begin = Math.max(startMicros, interval.begin());
    peak(0, watts, begin);
    for (int i = 0; i < charges.length; i++) {
      if (counts[i]) {
        peak(1 + i, watts, begin);
      }
    }
  }

  private void peak(int which, double watts, long begin) {
    if (watts > month.peakW[which]) {
      month.peakW[which] = watts;
      month.peakAt[which] = begin;
    }
  }

  /** The price of imported energy at the end of the last step, in currency per kWh. */
  public double importPrice() {
    return clock.importPerKWh();
  }

  /** The credit for exported energy then, in currency per kWh. */
  public double exportPrice() {
    return clock.exportPerKWh();
  }

  /** When the price may change next, microseconds since 1970. */
  public long nextChangeMicros() {
    return clock.untilMicros();
  }

  /** The calendar days, in whole and in part, between two instants. */
  private double days(long from, long until) {
    double days = 0;
    LocalDate date =
        LocalDateTime.ofInstant(Instant.ofEpochSecond(Math.floorDiv(from, 1_000_000L)), zone)
            .toLocalDate();
    long begin = from;
    while (begin < until) {
      long dayBegin = midnight(date);
      long dayEnd = midnight(date.plusDays(1));
      long end = Math.min(until, dayEnd);
      days += (end - begin) / (double) (dayEnd - dayBegin);
      begin = end;
      date = date.plusDays(1);
    }
    return days;
  }

  private long midnight(LocalDate date) {
    return date.atStartOfDay(zone).toEpochSecond() * 1_000_000L;
  }

  /**
   * The bill's lines. A name ends with its unit, costs with the currency: the sums of the run, the
   * highest interval, then {@code band_BAND_…} for each band, {@code demand_CHARGE_…} for each
   * demand charge and, in a run that sees more than one, {@code month_YEAR-MONTH_…} for each month.
   * Instants are seconds from where the billed time began.
   */
  public List<Entry> entries() {
    closeInterval();
    double standing = days(startMicros, at) * tariff.standingPerDay();
    double demand = 0;
    for (Month m : months) {
      demand += m.demandCost();
    }
    String currency = "_" + tariff.currency();
    List<Entry> entries = new ArrayList<>();
    entries.add(new Entry("import_kWh", sum(importJ) / JOULES_PER_KWH));
    entries.add(new Entry("export_kWh", sum(exportJ) / JOULES_PER_KWH));
    entries.add(new Entry("import" + currency, sum(importCost)));
    entries.add(new Entry("export_credit" + currency, sum(credit)));
    entries.add(new Entry("standing" + currency, standing));
    if (charges.length > 0) {
      entries.add(new Entry("demand" + currency, demand));
    }
    entries.add(new Entry("total" + currency, sum(importCost) + standing + demand - sum(credit)));
    peakEntries(entries, PEAK, 0);
    bandEntries(entries, currency);
    for (int i = 0; i < charges.length; i++) {
      String name = DEMAND + id(charges[i].name());
      peakEntries(entries, name, 1 + i);
      double cost = 0;
      for (Month m : months) {
        cost += m.peakW[1 + i] / WATTS_PER_KW * charges[i].perKW();
      }
      entries.add(new Entry(name + currency, cost));
    }
    if (months.size() > 1) {
      monthEntries(entries, currency);
    }
    return List.copyOf(entries);
  }

  /**
   * What is owed so far, in the tariff's currency: the same sum as among the {@link #entries}.
   * Asking changes nothing.
   */
  public double total() {
    double total = sum(importCost) + days(startMicros, at) * tariff.standingPerDay() - sum(credit);
    double watts = intervalJ / interval.seconds();
    for (Month m : months) {
      for (int i = 0; i < charges.length; i++) {
        boolean open = m == month && counts[i];
        double peakW = open ? Math.max(watts, m.peakW[1 + i]) : m.peakW[1 + i];
        total += peakW / WATTS_PER_KW * charges[i].perKW();
      }
    }
    return total;
  }

  /** Whether an entry is one of the run's sums, and not a part of one or a peak. */
  public static boolean isSum(Entry entry) {
    String name = entry.name();
    boolean part =
        name.startsWith(BAND)
            || name.startsWith(MONTH)
            || name.startsWith(PEAK)
            || (name.startsWith(DEMAND) && name.indexOf('_', DEMAND.length()) > 0);
    return !part;
  }

  private static String id(String name) {
    return name.replaceAll("[^\\p{Alnum}.]+", "-");
  }

  private static double sum(double[] values) {
    double sum = 0;
    for (double value : values) {
      sum += value;
    }
    return sum;
  }

  private void peakEntries(List<Entry> entries, String name, int which) {
    Month highest = months.get(0);
    for (Month m : months) {
      if (m.peakW[which] > highest.peakW[which]) {
        highest = m;
      }
    }
    entries.add(new Entry(name + "_kW", highest.peakW[which] / WATTS_PER_KW));
    entries.add(new Entry(name + "_at_s", (highest.peakAt[which] - startMicros) / 1e6));
  }

  private void bandEntries(List<Entry> entries, String currency) {
    for (int i = 0; i < importJ.length; i++) {
      String name = BAND + clock.lines().get(i).id();
      entries.add(new Entry(name + "_import_kWh", importJ[i] / JOULES_PER_KWH));
      entries.add(new Entry(name + "_export_kWh", exportJ[i] / JOULES_PER_KWH));
      entries.add(new Entry(name + "_import" + currency, importCost[i]));
      entries.add(new Entry(name + "_export_credit" + currency, credit[i]));
    }
  }

  private void monthEntries(List<Entry> entries, String currency) {
    for (int i = 0; i < months.size(); i++) {
      Month m = months.get(i);
      long end = i + 1 < months.size() ? months.get(i + 1).beginMicros : at;
      double standing = days(m.beginMicros, end) * tariff.standingPerDay();
      String name = MONTH + m.id();
      entries.add(new Entry(name + "_import_kWh", m.importJ / JOULES_PER_KWH));
      entries.add(new Entry(name + "_export_kWh", m.exportJ / JOULES_PER_KWH));
      entries.add(new Entry(name + "_peak_kW", m.peakW[0] / WATTS_PER_KW));
      entries.add(
          new Entry(
              name + "_total" + currency, m.importCost + standing + m.demandCost() - m.credit));
    }
  }
}
