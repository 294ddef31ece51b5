package islet.control;

import islet.contract.Decimal;
import islet.control.plan.DayPlan;
import islet.control.plan.DayPlanner;
import islet.control.plan.DayProblem;
import islet.control.plan.HourMeans;
import islet.control.plan.Means;
import islet.site.Site;
import islet.site.Tariff.DayClass;
import islet.site.TariffClock;
import java.time.LocalDate;
import java.util.Arrays;
import java.util.Optional;

/**
 * Plans the next day and a half anew each hour, and says what this hour's plan is. A scan gathers
 * what loads and sun were like and puts the question; the answer is worked out between scans, or
 * beside them, and read by the next one. Until there is an answer nothing is planned.
 */
final class DayAhead {

  /** What the plan wants of the hour at hand. */
  enum Wish {
    /** There is no plan, or it wants nothing in particular. */
    NOTHING,
    /** The utility charges the battery. */
    CHARGE,
    /** The inverter carries the loads, from sun and battery. */
    CARRY,
    /** And so much is exported. */
    EXPORT
  }

  /** A day and a half: the plan at any hour sees the next night and the next evening. */
  static final int INTERVALS = 36;

  /** Less than this is nothing, kW. */
  private static final double NOTHING_KW = 0.02;

  /** More than a service of any such site carries: the plan does not watch the main fuse. */
  private static final double IMPORT_KW = 1000;

  /** A little less than refilling costs, so that nothing is bought for its own sake at the end. */
  private static final double END_SHARE = 0.98;

  private static final long HOUR = 3_600_000_000L;
  private static final long MINUTE = 60_000_000L;
  private static final long LATE_MICROS = 3_000_000;

  private static final String[] LOAD_DAYS = named("load");
  private static final String[] SUN_DAYS = named("sun");

  private final Site site;
  private final ChargeSchedule schedule;
  private final CivilClock clock;
  private final TariffClock prices;
  private final HourMeans loads = new HourMeans();
  private final HourMeans sun = new HourMeans();
  private final double fullKWh;
  private long last = Inputs.NEVER;
  private long hourOfEra = Long.MIN_VALUE;
  private long askAt = Long.MAX_VALUE;

  /** What is asked, and when. */
  private record Question(DayProblem problem, long at) {}

  /** What came of it, and when it was asked. */
  private record Answer(Optional<DayPlan> plan, long at) {}

  /** The question that waits to be thought about; whoever thinks takes it away. */
  private volatile Optional<Question> question = Optional.empty();

  /** What the last thinking came to; the next scan takes it away. */
  private volatile Optional<Answer> answer = Optional.empty();

  private Optional<DayPlan> plan = Optional.empty();
  private long planAt = Inputs.NEVER;

  DayAhead(Site site, ChargeSchedule schedule) {
    this.site = site;
    this.schedule = schedule;
    clock = new CivilClock(site.place().zone());
    prices = new TariffClock(site.tariff(), site.place().zone());
    double heldAh = site.battery().capacity20hAh() * CellModel.of(site.battery()).heldPerRated();
    fullKWh = heldAh * site.battery().nominalV() / 1000;
  }

  /** Gathers, takes over what was thought, and asks anew at each full hour. */
  void follow(Inputs in, BatteryEstimate battery, RoundTrip trip, long now, Outputs out) {
    gather(in, now);
    Optional<Answer> thought = answer;
    if (thought.isPresent()) {
      answer = Optional.empty();
      plan = thought.get().plan();
      planAt = thought.get().at();
      tell(out);
    }
    long hour = Math.floorDiv(now + clock.offset(now), HOUR);
    if (hour != hourOfEra) {
      if (hourOfEra != Long.MIN_VALUE) {
        close(hourOfEra);
      }
      // After a start the meters are given a minute to tell what they see.
      askAt = hourOfEra == Long.MIN_VALUE ? now + MINUTE : now;
      hourOfEra = hour;
    }
    if (now >= askAt && battery.known()) {
      askAt = Long.MAX_VALUE;
      question = Optional.of(new Question(problem(battery, trip, now), now));
    }
  }

  /** Something has changed that the plan has not known, such as a warning: it is made anew. */
  void astir(long now) {
    askAt = Math.min(askAt, now);
  }

  private void gather(Inputs in, long now) {
    double hours = now - last > LATE_MICROS || now < last ? 0 : (now - last) / 3.6e9;
    last = now;
    if (hours > 0 && now - in.meterAt() <= BatteryEstimate.FRESH_MICROS) {
      double watts = in.meter().criticalPowerW() + in.meter().noncriticalPowerW();
      loads.add(Math.max(0, watts / 1000), hours);
    }
    if (hours > 0 && now - in.regulatorAt() <= BatteryEstimate.FRESH_MICROS) {
      double watts = in.regulator().outputCurrentA() * in.regulator().busVoltageV();
      sun.add(Math.max(0, watts / 1000), hours);
    }
  }

  private void close(long hour) {
    long day = Math.floorDiv(hour, 24L);
    int ofDay = (int) Math.floorMod(hour, 24L);
    loads.close(day, ofDay, free(day));
    // The sun knows no holidays.
    sun.close(day, ofDay, false);
  }

  private boolean free(long day) {
    return prices.dayClass(LocalDate.ofEpochDay(day)) != DayClass.WEEKDAY;
  }

  private DayProblem problem(BatteryEstimate battery, RoundTrip trip, long now) {
    DayProblem p = new DayProblem(means(trip), INTERVALS);
    // From what is surely there, as the reserve is guarded.
    p.storedKWh = battery.sureSoc() * fullKWh;
    long begin = now;
    double cheapest = Double.POSITIVE_INFINITY;
    for (int i = 0; i < INTERVALS; i++) {
      long local = begin + clock.offset(begin);
      long end = begin + HOUR - Math.floorMod(local, HOUR);
      long hour = Math.floorDiv(local, HOUR);
      long day = Math.floorDiv(hour, 24L);
      int ofDay = (int) Math.floorMod(hour, 24L);
      prices.turnTo(begin);
      p.hours[i] = (end - begin) / 3.6e9;
      p.loadKW[i] = loads.forecast(ofDay, free(day));
      p.sunKW[i] = sun.knows(ofDay) ? sun.forecast(ofDay, false) : 0;
      p.importPrice[i] = prices.importPerKWh();
      p.exportPrice[i] = prices.exportPerKWh();
      p.exportKW[i] = schedule.mayExport(begin) ? site.utility().exportLimitW() / 1000 : 0;
      p.reserveKWh[i] = schedule.reserveAt(end - 1) * fullKWh;
      cheapest = Math.min(cheapest, p.importPrice[i]);
      begin = end;
    }
    p.endPerKWh =
        END_SHARE * Math.max(0, cheapest) / (p.means.rectifiedShare() * p.means.storedShare());
    return p;
  }

  private Means means(RoundTrip trip) {
    double volts = site.battery().nominalV();
    Site.Limits limits = site.battery().limits();
    double inverterKW = site.inverter().ratedW() / 1000;
    double into = trip.rectifiedShare();
    return new Means(
        limits.floorSoc() * fullKWh,
        fullKWh,
        limits.maximumChargeA() * volts / 1000,
        inverterKW / trip.invertedShare(),
        trip.storedShare(),
        1,
        Math.min(site.utilityChargeA() * volts / 1000 / into, inverterKW),
        inverterKW,
        into,
        trip.invertedShare(),
        IMPORT_KW);
  }

  private void tell(Outputs out) {
    if (plan.isEmpty()) {
      out.event("plan", "", "NONE", "no plan was found; the windows hold");
      return;
    }
    out.event(
        "plan",
        "",
        "MADE",
        "costs "
            + Decimal.text(plan.get().cost(), 2)
            + " "
            + site.tariff().currency()
            + " over "
            + INTERVALS
            + " hours with what is left in the battery; forecasts have lain off by "
            + Decimal.text(loads.error(), 2)
            + " kW of load and "
            + Decimal.text(sun.error(), 2)
            + " kW of sun");
  }

  /** Whether there is something to be thought about. */
  boolean asks() {
    return question.isPresent();
  }

  /** What is to be thought about. */
  Optional<DayProblem> asked() {
    return question.map(Question::problem);
  }

  /** Thinks: works out the answer. Not in a scan; takes as long as it takes. */
  void think() {
    Optional<Question> asked = question;
    question = Optional.empty();
    if (asked.isPresent()) {
      Question q = asked.get();
      answer = Optional.of(new Answer(DayPlanner.solve(q.problem()), q.at()));
    }
  }

  /** Which interval of the plan holds now, or below 0. */
  private int interval(long now) {
    if (plan.isEmpty() || now < planAt) {
      return -1;
    }
    // Intervals end on the full hours of the wall's clock; the first is what was left of its hour.
    long first = Math.floorDiv(planAt + clock.offset(planAt), HOUR);
    long at = Math.floorDiv(now + clock.offset(now), HOUR) - first;
    return at < INTERVALS ? (int) at : -1;
  }

  /** Whether a plan holds now. */
  boolean planned(long now) {
    return interval(now) >= 0;
  }

  /** What the plan wants now. */
  Wish wish(long now) {
    int i = interval(now);
    if (i < 0) {
      return Wish.NOTHING;
    }
    DayPlan p = plan.get();
    if (p.rectifyKW[i] > NOTHING_KW) {
      return Wish.CHARGE;
    }
    if (p.invertKW[i] > NOTHING_KW) {
      return p.exportKW[i] > NOTHING_KW ? Wish.EXPORT : Wish.CARRY;
    }
    return Wish.NOTHING;
  }

  /** The charging current from the utility that the plan wants now, A. */
  double chargeA(RoundTrip trip, double batteryV, long now) {
    int i = interval(now);
    return i < 0 || batteryV <= 0
        ? 0
        : 1000 * plan.get().rectifyKW[i] * trip.rectifiedShare() / batteryV;
  }

  /** What the plan wants to leave the site now, W. */
  double exportW(long now) {
    int i = interval(now);
    return i < 0 ? 0 : 1000 * plan.get().exportKW[i];
  }

  /** Whether the plan takes from the battery now, and not only from the sun. */
  boolean discharges(long now) {
    int i = interval(now);
    return i >= 0 && plan.get().dischargeKW[i] > NOTHING_KW;
  }

  void remember(Memory memory) {
    last = memory.instant("ahead at", last);
    hourOfEra = memory.count("ahead hour", hourOfEra);
    askAt = memory.instant("ahead asks", askAt);
    planAt = memory.instant("plan at", planAt);
    loads.visit(memory::number);
    sun.visit(memory::number);
  }

  /** What the hours of the past week were like outlives a restart. */
  void keep(Keepsake keepsake) {
    for (int place = 0; place < HourMeans.DAYS; place++) {
      loads.day(place, keepsake.text(LOAD_DAYS[place], loads.day(place)));
      sun.day(place, keepsake.text(SUN_DAYS[place], sun.day(place)));
    }
  }

  private static String[] named(String what) {
    String[] names = new String[HourMeans.DAYS];
    Arrays.setAll(names, place -> what + " day " + (place + 1));
    return names;
  }
}
