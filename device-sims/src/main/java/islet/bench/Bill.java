package islet.bench;

import islet.bench.RunResult.Entry;
import islet.site.Site.MinuteSpan;
import islet.site.Site.PriceBand;
import islet.site.Site.Tariff;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.zone.ZoneOffsetTransition;
import java.time.zone.ZoneRules;
import java.util.List;

/**
 * The utility's bill of a run: energy by the price of its hour, export credit, standing charge.
 *
 * <p>Prices follow the clock on the wall of the site. On the two days of a year with 23 or 25 hours
 * a price band is an hour shorter or longer than on others, and the standing charge of a day is the
 * same as of any other; of a day that the run holds in part, that part is charged.
 */
public final class Bill {

  private static final double JOULES_PER_KWH = 3.6e6;
  private static final long MICROS_PER_MINUTE = 60_000_000;
  private static final int MINUTES_PER_DAY = 1440;

  private final Tariff tariff;
  private final ZoneId zone;
  private final ZoneRules rules;
  private long at;
  private double price;
  private long priceUntil;
  private final long startMicros;
  private double importJ;
  private double exportJ;
  private double importCost;

  /**
   * An empty bill.
   *
   * @param zone the site's time zone
   * @param startMicros where the billed time begins, microseconds since 1970
   */
  public Bill(Tariff tariff, ZoneId zone, long startMicros) {
    this.tariff = tariff;
    this.zone = zone;
    this.rules = zone.getRules();
    this.startMicros = startMicros;
    this.at = startMicros;
    findPrice(startMicros);
  }

  /**
   * Adds the energy of an interval that begins where the last one ended. When the price changes
   * within the interval, the energy counts as spread evenly over it.
   *
   * @param untilMicros where the interval ends, microseconds since 1970
   * @param importedJ energy taken from the utility, in J, 0 or more
   * @param exportedJ energy given to it, in J, 0 or more
   */
  public void add(long untilMicros, double importedJ, double exportedJ) {
    long from = at;
    if (untilMicros < from || !(importedJ >= 0) || !(exportedJ >= 0)) {
      throw new IllegalArgumentException(
          "an interval of "
              + (untilMicros - from)
              + " µs with "
              + importedJ
              + " J imported and "
              + exportedJ
              + " J exported cannot be billed; allowed are 0 or more of each");
    }
    importJ += importedJ;
    exportJ += exportedJ;
    if (untilMicros <= priceUntil) {
      importCost += importedJ / JOULES_PER_KWH * price;
    } else {
      double length = untilMicros - from;
      long begin = from;
      while (begin < untilMicros) {
        if (begin >= priceUntil) {
          findPrice(begin);
        }
        long end = Math.min(untilMicros, priceUntil);
        importCost += importedJ * ((end - begin) / length) / JOULES_PER_KWH * price;
        begin = end;
      }
    }
    at = untilMicros;
    if (at >= priceUntil) {
      findPrice(at);
    }
  }

  /** The price of imported energy at the end of the last interval, in currency per kWh. */
  public double importPrice() {
    return price;
  }

  /** The credit for exported energy, in currency per kWh. */
  public double exportPrice() {
    return tariff.exportPerKWh();
  }

  /** When the price may change next, microseconds since 1970. */
  public long nextChangeMicros() {
    return priceUntil;
  }

  /** Finds the price at an instant and how long it surely holds. */
  private void findPrice(long micros) {
    Instant instant = Instant.ofEpochSecond(Math.floorDiv(micros, 1_000_000L));
    ZoneOffset offset = rules.getOffset(instant);
    long local = micros + offset.getTotalSeconds() * 1_000_000L;
    long minuteOfEra = Math.floorDiv(local, MICROS_PER_MINUTE);
    int minute = (int) Math.floorMod(minuteOfEra, (long) MINUTES_PER_DAY);
    price = priceAt(minute);
    int edge = MINUTES_PER_DAY;
    for (PriceBand band : tariff.bands()) {
      edge = nearer(edge, minute, band.span().from());
      edge = nearer(edge, minute, band.span().to());
    }
    long midnight = (minuteOfEra - minute) * MICROS_PER_MINUTE;
    priceUntil = midnight + edge * MICROS_PER_MINUTE - offset.getTotalSeconds() * 1_000_000L;
    ZoneOffsetTransition change = rules.nextTransition(instant);
    if (change != null) {
      priceUntil = Math.min(priceUntil, change.toEpochSecond() * 1_000_000L);
    }
  }

  private static int nearer(int edge, int minute, int candidate) {
    return candidate > minute && candidate < edge ? candidate : edge;
  }

  private double priceAt(int minute) {
    List<PriceBand> bands = tariff.bands();
    for (PriceBand band : bands) {
      if (holds(band.span(), minute)) {
        return band.importPerKWh();
      }
    }
    return bands.get(bands.size() - 1).importPerKWh();
  }

  private static boolean holds(MinuteSpan span, int minute) {
    return span.from() < span.to()
        ? minute >= span.from() && minute < span.to()
        : minute >= span.from() || minute < span.to();
  }

  /** The calendar days, in whole and in part, between the beginning and the last interval's end. */
  private double days() {
    double days = 0;
    LocalDate date =
        LocalDateTime.ofInstant(Instant.ofEpochSecond(Math.floorDiv(startMicros, 1_000_000L)), zone)
            .toLocalDate();
    long begin = startMicros;
    while (begin < at) {
      long dayBegin = midnight(date);
      long dayEnd = midnight(date.plusDays(1));
      long end = Math.min(at, dayEnd);
      days += (end - begin) / (double) (dayEnd - dayBegin);
      begin = end;
      date = date.plusDays(1);
    }
    return days;
  }

  private long midnight(LocalDate date) {
    return date.atStartOfDay(zone).toEpochSecond() * 1_000_000L;
  }

  /** The bill's lines; costs carry the currency in their name. */
  public List<Entry> entries() {
    double credit = exportJ / JOULES_PER_KWH * tariff.exportPerKWh();
    double standing = days() * tariff.standingPerDay();
    String currency = "_" + tariff.currency();
    return List.of(
        new Entry("import_kWh", importJ / JOULES_PER_KWH),
        new Entry("export_kWh", exportJ / JOULES_PER_KWH),
        new Entry("import" + currency, importCost),
        new Entry("export_credit" + currency, credit),
        new Entry("standing" + currency, standing),
        new Entry("total" + currency, importCost + standing - credit));
  }
}
