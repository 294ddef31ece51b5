package islet.site;

import java.math.BigDecimal;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;

/** Reads prices, from the site's own file or from one that it names. */
public final class TariffReader {

  private static final Pattern CURRENCY = Pattern.compile("[A-Z]{3}");
  private static final Site.MinuteSpan ALL_DAY = new Site.MinuteSpan(0, Spans.MINUTES_PER_DAY);
  private static final List<String> INTERVALS = List.of("15 min", "30 min", "1 h");
  private static final int[] INTERVAL_MINUTES = {15, 30, 60};
  private static final String YEAR_DAY_FORM = "a day of the year such as 1 June";
  private static final List<String> CLASSES = List.of("weekday", "weekend", "holiday");

  /** A year with a 29 February. */
  private static final int LEAP_YEAR = 2024;

  /** Stands in for a tariff that could not be read, so that the rest is still checked. */
  private static final Tariff NONE =
      Tariff.ofBands("", List.of(new Tariff.Band("", ALL_DAY, Double.NaN, Double.NaN)), Double.NaN);

  /** A day's bands, and whether each band still waits for the tariff's common export credit. */
  private record Whole(String currency, double exportCredit, boolean holidays) {}

  private TariffReader() {}

  /**
   * Reads and checks a tariff's own file.
   *
   * @throws InputException with everything that is wrong in the file
   */
  public static Tariff read(Path file) {
    return Section.read(file, List.of(), TariffReader::tariff);
  }

  /** Where no utility is, nothing is bought or sold. */
  static Tariff none() {
    return Tariff.ofBands("USD", List.of(new Tariff.Band("none", ALL_DAY, 0, 0)), 0);
  }

  /** The tariff of a site: a group of fields, or the path of a file that holds them. */
  static Tariff of(Section site) {
    if (!site.has("tariff") || site.hasGroup("tariff")) {
      return site.section("tariff", "", TariffReader::tariff);
    }
    Optional<Path> file =
        site.existingFile("tariff", "Name one of the files in config/tariffs, or your own.");
    return file.flatMap(f -> site.problems().gather(() -> read(f))).orElse(NONE);
  }

  private static Tariff tariff(Section s) {
    String currency = s.text("currency", CURRENCY, "three capitals such as USD", "");
    int interval =
        s.has("interval")
            ? INTERVAL_MINUTES[INTERVALS.indexOf(s.choice("interval", INTERVALS, ""))]
            : Tariff.USUAL_INTERVAL_MINUTES;
    double standing = price(s, "standing", currency, "day", 0, 1000);
    List<Holiday> holidays = s.has("holidays") ? holidays(s) : List.of();
    double credit =
        s.has("exportCredit") ? price(s, "exportCredit", currency, "kWh", 0, 10) : Double.NaN;
    Whole whole = new Whole(currency, credit, !holidays.isEmpty());
    List<Tariff.Season> seasons =
        s.oneOf("bands", "seasons")
            .map(given -> given.equals("bands") ? allYear(s, whole) : seasons(s, whole))
            .orElse(List.of());
    if (!s.has("exportCredit")
        && seasons.stream()
            .flatMap(season -> season.days().stream())
            .flatMap(day -> day.bands().stream())
            .anyMatch(band -> Double.isNaN(band.exportPerKWh()))) {
      // Required, unless every band brings its own.
      price(s, "exportCredit", currency, "kWh", 0, 10);
    }
    List<Tariff.DemandCharge> demand =
        s.has("demand") ? s.sections("demand", "", d -> demand(d, currency)) : List.of();
    Tariff tariff = new Tariff(currency, interval, standing, seasons, holidays, demand);
    checkDemand(s, tariff);
    return tariff;
  }

  private static List<Tariff.Season> allYear(Section s, Whole whole) {
    return List.of(
        new Tariff.Season(
            "",
            Tariff.YearDay.FIRST,
            Tariff.YearDay.LAST,
            List.of(new Tariff.DayBands(List.of(Tariff.DayClass.values()), bands(s, whole)))));
  }

  private static List<Holiday> holidays(Section s) {
    List<Holiday> holidays = new ArrayList<>();
    Set<String> seen = new HashSet<>();
    for (String text : s.texts("holidays", Holiday.FORM, "")) {
      Optional<Holiday> holiday = Holiday.parse(text);
      if (holiday.isEmpty()) {
        s.wrong("holidays", "\"" + text + "\"", Holiday.FORM, "Write months and days in full.");
      } else if (!seen.add(text)) {
        s.wrong("holidays", "\"" + text + "\" twice", "each holiday once", "");
      }
      holiday.ifPresent(holidays::add);
    }
    return holidays;
  }

  private static List<Tariff.Season> seasons(Section s, Whole whole) {
    List<Tariff.Season> seasons = s.sections("seasons", "", x -> season(x, whole));
    Set<String> names = new HashSet<>();
    BitSet taken = new BitSet();
    for (int i = 0; i < seasons.size(); i++) {
      Tariff.Season season = seasons.get(i);
      String field = "seasons." + (i + 1);
      if (!season.name().isEmpty() && !names.add(season.name())) {
        s.wrong(field + ".name", "a name that no other season has", "Rename one.");
      }
      BitSet days = days(season);
      if (taken.intersects(days) && !datesWrong(s, seasons.size())) {
        days.and(taken);
        s.wrong(
            field + ".from",
            "a second season on " + shown(days.nextSetBit(0)),
            "seasons that do not overlap",
            "A season ends the day before the next one begins; both its days are included.");
      }
      taken.or(days(season));
    }
    int gap = taken.nextClearBit(1);
    if (gap <= LocalDate.of(LEAP_YEAR, 12, 31).getDayOfYear()
        && !seasons.isEmpty()
        && !datesWrong(s, seasons.size())) {
      s.wrong(
          "seasons",
          "no season on " + shown(gap),
          "seasons that together hold every day of the year",
          gap == LocalDate.of(LEAP_YEAR, 2, 29).getDayOfYear()
              ? "Let the season end on 29 February; in other years that is its 28th."
              : "Let one season begin the day after the other ends.");
    }
    if (seasons.isEmpty()) {
      s.wrong("seasons", "at least one season", "Give bands without seasons for a whole year.");
    }
    return seasons;
  }

  private static boolean datesWrong(Section s, int seasons) {
    for (int i = 1; i <= seasons; i++) {
      if (s.isWrong("seasons." + i + ".from") || s.isWrong("seasons." + i + ".to")) {
        return true;
      }
    }
    return false;
  }

  private static BitSet days(Tariff.Season season) {
    BitSet days = new BitSet();
    LocalDate date = LocalDate.of(LEAP_YEAR, 1, 1);
    while (date.getYear() == LEAP_YEAR) {
      if (season.holds(date.getMonthValue(), date.getDayOfMonth())) {
        days.set(date.getDayOfYear());
      }
      date = date.plusDays(1);
    }
    return days;
  }

  private static String shown(int dayOfLeapYear) {
    LocalDate date = LocalDate.ofYearDay(LEAP_YEAR, dayOfLeapYear);
    String month = date.getMonth().name();
    return date.getDayOfMonth()
        + " "
        + month.charAt(0)
        + month.substring(1).toLowerCase(Locale.ROOT);
  }

  private static Tariff.Season season(Section s, Whole whole) {
    String name = s.text("name", "the season's name", "");
    Tariff.YearDay from = yearDay(s, "from", Tariff.YearDay.FIRST);
    Tariff.YearDay to = yearDay(s, "to", Tariff.YearDay.LAST);
    List<Tariff.DayBands> days =
        s.oneOf("bands", "days")
            .map(
                given ->
                    given.equals("bands")
                        ? List.of(
                            new Tariff.DayBands(List.of(Tariff.DayClass.values()), bands(s, whole)))
                        : days(s, whole))
            .orElse(List.of());
    return new Tariff.Season(name, from, to, days);
  }

  private static Tariff.YearDay yearDay(Section s, String name, Tariff.YearDay standIn) {
    String text = s.text(name, YEAR_DAY_FORM, "The day itself is included.");
    Optional<Tariff.YearDay> day = Holiday.yearDay(text);
    if (day.isEmpty() && !text.isEmpty()) {
      s.wrong(name, YEAR_DAY_FORM, "The day itself is included.");
    }
    return day.orElse(standIn);
  }

  private static List<Tariff.DayBands> days(Section s, Whole whole) {
    List<Tariff.DayBands> days = s.sections("days", "", d -> dayBands(d, whole));
    Set<Tariff.DayClass> seen = new LinkedHashSet<>();
    for (int i = 0; i < days.size(); i++) {
      for (Tariff.DayClass dayClass : days.get(i).on()) {
        if (!seen.add(dayClass)) {
          s.wrong(
              "days." + (i + 1) + ".on",
              Section.word(dayClass) + " a second time",
              "each class of days once in a season",
              "Else two prices would hold.");
        }
      }
    }
    for (Tariff.DayClass dayClass : Tariff.DayClass.values()) {
      boolean needed =
          switch (dayClass) {
            case WEEKDAY, WEEKEND -> true;
            case HOLIDAY -> whole.holidays();
          };
      if (needed && !seen.contains(dayClass) && !s.isWrong("days")) {
        s.wrong(
            "days",
            "no bands for a " + Section.word(dayClass),
            "bands for weekday, weekend and, where holidays are listed, holiday",
            "Add the class to one of the lists under \"on\".");
      }
    }
    return days;
  }

  private static Tariff.DayBands dayBands(Section s, Whole whole) {
    List<Tariff.DayClass> on = new ArrayList<>();
    String allowed = "a list out of " + String.join(", ", CLASSES);
    for (String word : s.texts("on", allowed, "")) {
      int index = CLASSES.indexOf(word);
      if (index < 0) {
        s.wrong("on", "\"" + word + "\"", allowed, Spelling.question(word, CLASSES));
      } else {
        on.add(Tariff.DayClass.values()[index]);
      }
    }
    return new Tariff.DayBands(on, bands(s, whole));
  }

  /** The bands of a day, each minute in one of them. */
  private static List<Tariff.Band> bands(Section s, Whole whole) {
    List<Tariff.Band> bands = s.sections("bands", "", b -> band(b, whole));
    BitSet taken = new BitSet();
    boolean told = false;
    for (int i = 0; i < bands.size(); i++) {
      String field = "bands." + (i + 1) + ".between";
      boolean last = i == bands.size() - 1;
      BitSet minutes = Spans.minutes(bands.get(i).span());
      boolean rest = minutes.cardinality() == Spans.MINUTES_PER_DAY;
      if (rest && !last) {
        s.wrong(field, "times of day, in every band but the last", "");
        told = true;
      } else if (!rest && taken.intersects(minutes)) {
        s.wrong(field, "bands that do not overlap", "Else two prices would hold.");
      } else if (rest && !told && taken.cardinality() == Spans.MINUTES_PER_DAY) {
        s.wrong(
            field,
            "nothing left for it",
            "a last band without times only where the others leave some of the day",
            "Remove the band: the ones before it hold the whole day.");
      }
      taken.or(minutes);
    }
    if (bands.isEmpty() && s.has("bands")) {
      s.wrong("bands", "at least one band", "Give one without times for a flat price.");
    }
    int gap = taken.nextClearBit(0);
    if (!bands.isEmpty() && gap < Spans.MINUTES_PER_DAY) {
      int end = Math.min(taken.nextSetBit(gap) < 0 ? 1440 : taken.nextSetBit(gap), 1440);
      s.wrong(
          "bands." + bands.size() + ".between",
          "no price from " + Spans.text(gap) + " to " + Spans.text(end),
          "bands that together hold the whole day",
          "Leave out the times of the last band: it then holds all the rest.");
    }
    return bands;
  }

  private static Tariff.Band band(Section s, Whole whole) {
    Site.MinuteSpan span = s.has("between") ? s.span("between", "") : ALL_DAY;
    return new Tariff.Band(
        s.text("name", "the band's name", ""),
        span,
        price(s, "import", whole.currency(), "kWh", -1, 10),
        s.has("export")
            ? price(s, "export", whole.currency(), "kWh", -1, 10)
            : whole.exportCredit());
  }

  private static Tariff.DemandCharge demand(Section s, String currency) {
    return new Tariff.DemandCharge(
        s.text("name", "the charge's name", ""),
        price(s, "price", currency, "kW", 0, 1000),
        s.has("season") ? s.text("season", "the name of a season", "") : "",
        s.has("band") ? s.text("band", "the name of a band", "") : "");
  }

  /** A demand charge must be able to find its intervals. */
  private static void checkDemand(Section s, Tariff tariff) {
    List<String> seasons =
        tariff.seasons().stream().map(Tariff.Season::name).filter(n -> !n.isEmpty()).toList();
    Set<String> seen = new HashSet<>();
    for (int i = 0; i < tariff.demand().size(); i++) {
      Tariff.DemandCharge charge = tariff.demand().get(i);
      String field = "demand." + (i + 1);
      if (!charge.name().isEmpty() && !seen.add(charge.name())) {
        s.wrong(field + ".name", "a name that no other demand charge has", "Rename one.");
      }
      if (!charge.season().isEmpty() && !seasons.contains(charge.season())) {
        s.wrong(
            field + ".season",
            seasons.isEmpty()
                ? "no season, since the tariff has none"
                : "one of " + String.join(", ", seasons),
            Spelling.question(charge.season(), seasons));
      }
      checkBand(s, tariff, charge, field + ".band");
    }
  }

  private static void checkBand(
      Section s, Tariff tariff, Tariff.DemandCharge charge, String field) {
    if (charge.band().isEmpty()) {
      return;
    }
    Set<String> names = new LinkedHashSet<>();
    for (Tariff.Season season : tariff.seasons()) {
      if (!charge.season().isEmpty() && !charge.season().equals(season.name())) {
        continue;
      }
      for (Tariff.DayBands day : season.days()) {
        for (Tariff.Band band : day.bands()) {
          names.add(band.name());
          boolean cut =
              band.span().from() % tariff.intervalMinutes() != 0
                  || band.span().to() % tariff.intervalMinutes() != 0;
          if (band.name().equals(charge.band()) && cut) {
            s.wrong(
                field,
                "a band whose times are whole intervals of " + tariff.intervalMinutes() + " min",
                "Else an interval would lie half in the band and half outside.");
          }
        }
      }
    }
    if (!names.isEmpty() && !names.contains(charge.band())) {
      s.wrong(field, "one of " + String.join(", ", names), Spelling.question(charge.band(), names));
    }
  }

  /** A price with its unit, such as {@code 0.19 USD/kWh}. */
  private static double price(
      Section s, String name, String currency, String per, double minimum, double maximum) {
    String unit = " " + currency + "/" + per;
    String allowed = Decimals.text(minimum) + unit + " to " + Decimals.text(maximum) + unit;
    String text = s.text(name, allowed, "");
    if (text.isEmpty() || currency.isEmpty()) {
      return Double.NaN;
    }
    String number = text.endsWith(unit) ? text.substring(0, text.length() - unit.length()) : "";
    double value =
        number.matches(Quantity.NUMBER) ? new BigDecimal(number).doubleValue() : Double.NaN;
    if (!(value >= minimum && value <= maximum)) {
      s.wrong(name, allowed, "");
      return Double.NaN;
    }
    return value;
  }
}
