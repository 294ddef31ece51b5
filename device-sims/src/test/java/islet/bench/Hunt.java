package islet.bench;

import islet.bench.RunResult.AlarmEntry;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.bench.RunResult.Transition;
import islet.fault.FaultKind;
import islet.site.Dispatch;
import islet.site.GridProfile;
import islet.site.GridProfile.EnterService;
import islet.site.ProfileReader;
import islet.site.Site;
import islet.site.Site.Circuit;
import islet.site.Site.ConstantLoad;
import islet.site.Site.OnSag;
import islet.site.Site.Supervision;
import islet.site.Site.Utility;
import islet.site.SiteReader;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.stream.Stream;

/**
 * Looks for trouble: random sites, hours, charges, utilities, operators and faults, clustered
 * around transitions to the millisecond. A seed is a case; {@code main} runs as many as one likes.
 */
final class Hunt {

  private static final long SECOND = 1_000_000;

  /**
   * The utility must be good for so long at the end before a site that stays away counts as stuck,
   * s.
   */
  private static final long PATIENCE_S = 150;

  /** Short, so that a case holds several returns; the real delays have scenarios of their own. */
  private static final double DELAY_S = 20;

  private static final Path CONFIG = Path.of(System.getProperty("islet.root", "."), "config");

  /** Seeds from a million on are cases of the second site, from two million on of the third… */
  static final long SITE_SEEDS = 1_000_000;

  private static final List<Site> SITES =
      Stream.of(
              "ferry-landing",
              "ferry-landing-grid-interactive",
              "ferry-landing-inverter-charger",
              "ferry-landing-changeover",
              "ferry-landing-charger-only")
          .map(name -> SiteReader.read(CONFIG.resolve("sites/" + name + ".yaml")))
          .toList();

  /** How many sites are hunted on. */
  static int sites() {
    return SITES.size();
  }

  private static final List<GridProfile> PROFILES =
      List.of(profile("i"), profile("ii"), profile("iii"));

  /**
   * Left out: a supervisor that lies is there to be caught, and a charger that is stuck on can be
   * stopped by opening the tie only, which the supervisor does not do yet. Swells end at 1.19 pu:
   * the envelope bears more for 3 ms, less than any contact's travel. A battery starts above its
   * floor: by voltage alone nobody knows it to better than some percent.
   */
  private static final Set<FaultKind> BEYOND_US =
      EnumSet.of(FaultKind.SUPERVISOR_LIES, FaultKind.CHARGER_STUCK_ON);

  /** What is drawn from, in this order, so that a seed stays the case that it was. */
  private static final List<FaultKind> KINDS =
      List.copyOf(EnumSet.range(FaultKind.TIE_WELDED, FaultKind.SUPERVISOR_LIES));

  private Hunt() {}

  /**
   * What a case came to.
   *
   * @param findings what is wrong, empty when nothing is
   */
  record Outcomes(long seed, Scenario scenario, List<String> findings, List<Transition> modes) {}

  private static GridProfile profile(String category) {
    GridProfile p =
        ProfileReader.read(CONFIG.resolve("profiles/ieee1547-2018-category-" + category + ".yaml"));
    EnterService e = p.enter();
    return new GridProfile(
        p.name(),
        p.source(),
        p.trips(),
        new EnterService(
            e.minimumPu(), e.maximumPu(), e.minimumHz(), e.maximumHz(), DELAY_S, DELAY_S),
        p.sync(),
        p.islandDetectionS(),
        p.cessationBelowPu());
  }

  /** One case. */
  static Outcomes run(long seed) {
    Scenario scenario = scenario(seed);
    List<String> findings = new ArrayList<>();
    RunResult result;
    try {
      result = Rehearsals.run(scenario);
    } catch (RuntimeException e) {
      findings.add("threw " + e);
      return new Outcomes(seed, scenario, findings, List.of());
    }
    for (HazardVerdict hazard : result.hazards()) {
      if (hazard.verdict() == Outcome.FAIL && !beyondUs(hazard, scenario)) {
        findings.add(
            "hazard " + hazard.id() + " at " + hazard.firstAtSeconds() + " s: " + hazard.detail());
      }
    }
    stuck(scenario, result).ifPresent(findings::add);
    if (faults(scenario).isEmpty()) {
      for (AlarmEntry alarm : result.alarms()) {
        if (!alarm.id().equals("battery-low")) {
          findings.add("alarm " + alarm.id() + " at " + alarm.atSeconds() + " s without a fault");
        }
      }
    }
    if (result.transitions().size() > 40) {
      findings.add("chatter: " + result.transitions().size() + " changes of mode");
    }
    return new Outcomes(seed, scenario, findings, result.transitions());
  }

  /**
   * What nobody could have done better: a picture cannot be newer than a cut link or a paused
   * supervisor lets it be, and a tie whose only eye for the utility is put out does not see it go.
   */
  private static boolean beyondUs(HazardVerdict hazard, Scenario scenario) {
    for (Event event : scenario.events()) {
      boolean cut =
          event instanceof Event.Fault f
              && (f.kind() == FaultKind.DEVICE_LINK_LOST
                  || f.kind() == FaultKind.SUPERVISOR_LINK_LOST
                  || f.kind() == FaultKind.SUPERVISOR_PAUSE);
      boolean blind =
          event instanceof Event.Fault f
              && f.device().equals("tie")
              && f.signal().equals("main.voltage_pu");
      if (blind || (cut && hazard.id().equals("wrong-picture"))) {
        return true;
      }
    }
    return false;
  }

  private static List<Event.Fault> faults(Scenario scenario) {
    List<Event.Fault> faults = new ArrayList<>();
    for (Event event : scenario.events()) {
      if (event instanceof Event.Fault fault) {
        faults.add(fault);
      }
    }
    return faults;
  }

  /** A site that has everything it needs and yet stays away from the utility. */
  private static Optional<String> stuck(Scenario scenario, RunResult result) {
    long end = scenario.durationMicros();
    boolean stayAway = false;
    boolean held = false;
    for (Event event : scenario.events()) {
      if (event instanceof Event.Fault) {
        return Optional.empty();
      }
      if (event instanceof Event.Operator operator) {
        switch (operator.action()) {
          case ISLAND_REQUEST -> stayAway = true;
          case RECONNECT_REQUEST -> stayAway = false;
          case HOLD -> held = true;
          case RELEASE -> held = false;
          case ACKNOWLEDGE,
              RESET,
              SWITCH,
              SHELVE,
              UNSHELVE,
              OVERRIDE,
              END_OVERRIDE,
              AUTO,
              MANUAL,
              EQUALISE,
              WARN,
              ALL_CLEAR -> {}
        }
      }
      if (ends(event) > end - PATIENCE_S * SECOND) {
        return Optional.empty();
      }
    }
    String last =
        result.transitions().isEmpty()
            ? "STARTING"
            : result.transitions().get(result.transitions().size() - 1).to();
    if (last.equals("DARK")
        && !scenario.site().arrangement().hasSwitch()
        && scenario.initialSoc() < scenario.site().battery().limits().recoverySoc()) {
      return Optional.empty(); // an empty battery and nothing else to live on
    }
    String home = scenario.site().arrangement().hasSwitch() ? "GRID_PRESENT" : "ISLANDED";
    return stayAway || held || last.equals(home)
        ? Optional.empty()
        : Optional.of("stuck in " + last);
  }

  private static long ends(Event event) {
    if (event instanceof Event.Outage outage) {
      return outage.atMicros() + outage.durationMicros();
    }
    if (event instanceof Event.Sag sag) {
      return sag.atMicros() + sag.forMicros();
    }
    if (event instanceof Event.Swell swell) {
      return swell.atMicros() + swell.forMicros();
    }
    if (event instanceof Event.FrequencyStep step) {
      return step.atMicros() + step.forMicros();
    }
    if (event instanceof Event.Reclose reclose) {
      return reclose.atMicros() + reclose.totalMicros();
    }
    if (event instanceof Event.BrownOut b) {
      return b.atMicros() + b.fallMicros() + b.forMicros() + b.riseMicros();
    }
    if (event instanceof Event.FrequencyRamp ramp) {
      double oneWayS = Math.abs(ramp.hz() - SITES.get(0).utility().nominalHz()) / ramp.hzPerS();
      return ramp.atMicros() + ramp.forMicros() + Math.round(2e6 * oneWayS);
    }
    return event.atMicros();
  }

  private static Event turnedOrHidden(SplittableRandom random, long at, long lasts) {
    double angle = 360 * random.nextDouble() - 180;
    Event.Match match =
        new Event.Match(
            0.8 + 0.4 * random.nextDouble(), random.nextDouble(), 0.2 * random.nextDouble() - 0.1);
    return new Event.Outage(
        at, lasts, angle, random.nextBoolean() ? Optional.of(match) : Optional.empty());
  }

  private static Event reclose(SplittableRandom random, long at) {
    List<Long> lengths = new ArrayList<>();
    int count = 1 + 2 * random.nextInt(3);
    for (int i = 0; i < count; i++) {
      lengths.add((1 + random.nextInt(i % 2 == 0 ? 30_000 : 2_000)) * 1000L);
    }
    return new Event.Reclose(at, lengths);
  }

  private static Scenario scenario(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    Site base = SITES.get((int) Math.min(SITES.size() - 1, seed / SITE_SEEDS));
    Site site = site(base, random, dispatch(base, new SplittableRandom(~seed)));
    long start = 1_767_225_600L * SECOND + random.nextInt(365 * 24) * 3600L * SECOND;
    long duration = (360 + random.nextInt(120)) * SECOND;
    return new Scenario(
        "hunt " + seed,
        Path.of("hunt"),
        Path.of("hunt"),
        site,
        List.of(),
        start,
        duration,
        seed,
        random.nextBoolean()
            ? new WeatherSource.ClearSky(15)
            : new WeatherSource.Constant(random.nextInt(1000), -5 + random.nextInt(35)),
        pick(random, 0.25, 0.3, 0.4, 0.6, 0.8, 0.9, 0.97, 1.0),
        random.nextInt(8) > 0 && site.arrangement().hasSwitch(),
        events(site.arrangement(), random, duration),
        List.of(),
        Map.of(),
        10);
  }

  private static double pick(SplittableRandom random, double... values) {
    return values[random.nextInt(values.length)];
  }

  /** Half of the sites that may feed also trade, or follow a plan; drawn apart from all else. */
  private static Dispatch dispatch(Site base, SplittableRandom random) {
    if (!base.arrangement().mayFeed() || random.nextBoolean()) {
      return base.supervision().dispatch();
    }
    Dispatch.Trade[] trades = Dispatch.Trade.values();
    return new Dispatch(
        random.nextInt(4) == 0 ? Dispatch.Plan.OPTIMAL : Dispatch.Plan.WINDOWS,
        trades[random.nextInt(trades.length)],
        0.9,
        List.of(),
        0.9,
        Dispatch.USUAL.warning());
  }

  private static Site site(Site base, SplittableRandom random, Dispatch dispatch) {
    Supervision s = base.supervision();
    Utility u = base.utility();
    return new Site(
        base.id(),
        base.name(),
        base.place(),
        base.arrangement(),
        new Utility(
            u.nominalV(),
            u.nominalHz(),
            u.serviceOhm(),
            u.serviceReactanceOhm(),
            pick(random, 30_000, 3_000, 1_000),
            random.nextInt(3) == 0 ? 0 : u.exportLimitW()),
        PROFILES.get(random.nextInt(PROFILES.size())),
        base.pv(),
        base.regulator(),
        base.battery(),
        base.charger(),
        base.inverter(),
        base.tie(),
        base.changeover(),
        base.circuits().stream().map(c -> steady(c, random.nextInt(600))).toList(),
        new Supervision(
            s.scanS(),
            s.heartbeatS(),
            s.linkTimeoutS(),
            s.commandLifetimeS(),
            s.coordination(),
            random.nextBoolean() || !base.arrangement().hasTie()
                ? OnSag.SEPARATE
                : OnSag.RIDE_THROUGH,
            s.reserveSoc(),
            s.chargeWindows(),
            s.shedding(),
            s.shedBelowSoc(),
            s.restoreAboveSoc(),
            s.timeouts(),
            s.reserveWindows(),
            dispatch),
        base.tariff());
  }

  /**
   * Circuits from a load file become steady ones: reading the file would cost more than the run.
   */
  private static Circuit steady(Circuit c, double watts) {
    return c.load() instanceof Site.ProfileLoad
        ? new Circuit(
            c.name(),
            c.panel(),
            new ConstantLoad(watts),
            c.zShare(),
            c.iShare(),
            c.pShare(),
            c.powerFactor())
        : c;
  }

  private static List<Event> events(
      Site.Arrangement arrangement, SplittableRandom random, long duration) {
    List<Event> events = new ArrayList<>();
    long at = (5 + random.nextInt(40)) * SECOND + random.nextInt(1000) * 1000L;
    int count = 1 + random.nextInt(4);
    for (int i = 0; i < count && at < duration - SECOND; i++) {
      long lasts = lasting(random);
      switch (random.nextInt(14)) {
        case 0, 1, 2, 3 -> events.add(new Event.Outage(at, lasts));
        case 4 -> events.add(new Event.Sag(at, 0.05 + 0.86 * random.nextDouble(), lasts));
        case 5 -> events.add(new Event.Swell(at, 1.06 + 0.13 * random.nextDouble(), lasts));
        case 6 -> events.add(new Event.FrequencyStep(at, outOfBandHz(random), lasts));
        case 7 -> events.add(new Event.PhaseJump(at, 360 * random.nextDouble() - 180));
        case 8 -> operator(random, at, events);
        case 9 -> fault(arrangement, random, at, lasts, events);
        case 10 -> events.add(turnedOrHidden(random, at, lasts));
        case 11 ->
            events.add(
                new Event.BrownOut(
                    at, 0.95 * random.nextDouble(), lasting(random), lasts, lasting(random)));
        case 12 ->
            events.add(
                new Event.FrequencyRamp(
                    at, outOfBandHz(random), 0.05 + 5 * random.nextDouble(), lasts));
        case 13 -> events.add(reclose(random, at));
        default -> throw new AssertionError("fourteen kinds of event");
      }
      // Near the end of the last one, near the enter-service delay, or some time later.
      at +=
          switch (random.nextInt(4)) {
            case 0 -> lasts + random.nextInt(1500) * 1000L;
            case 1 -> lasts + (long) (DELAY_S * 1e6) + random.nextInt(12_000) * 1000L;
            case 2 -> random.nextInt(1500) * 1000L;
            default -> lasts + random.nextInt(90) * SECOND;
          };
    }
    events.sort(Comparator.comparingLong(Event::atMicros));
    return withoutOverlap(events);
  }

  /**
   * Clearly outside the band to enter service, since devices tell changes of less than 0.02 Hz and
   * 0.005 pu once a second only.
   */
  private static double outOfBandHz(SplittableRandom random) {
    return random.nextBoolean() ? 55 + 4.4 * random.nextDouble() : 60.15 + 3 * random.nextDouble();
  }

  private static long lasting(SplittableRandom random) {
    return switch (random.nextInt(4)) {
      case 0 -> (1 + random.nextInt(60)) * 1000L;
      case 1 -> (50 + random.nextInt(2000)) * 1000L;
      case 2 -> (1 + random.nextInt(30)) * SECOND;
      default -> (20 + random.nextInt(100)) * SECOND;
    };
  }

  private static void operator(SplittableRandom random, long at, List<Event> events) {
    switch (random.nextInt(3)) {
      case 0 -> {
        events.add(new Event.Operator(at, Event.Action.ISLAND_REQUEST, ""));
        events.add(
            new Event.Operator(
                at + random.nextInt(40_000) * 1000L, Event.Action.RECONNECT_REQUEST, ""));
      }
      case 1 -> {
        events.add(new Event.Operator(at, Event.Action.HOLD, "crew"));
        events.add(
            new Event.Operator(at + random.nextInt(60_000) * 1000L, Event.Action.RELEASE, "crew"));
      }
      default -> events.add(new Event.Operator(at, Event.Action.RESET, ""));
    }
  }

  private static void fault(
      Site.Arrangement arrangement,
      SplittableRandom random,
      long at,
      long lasts,
      List<Event> events) {
    FaultKind kind = KINDS.get(random.nextInt(KINDS.size()));
    if (BEYOND_US.contains(kind)) {
      return;
    }
    List<FaultKind.Target> targets =
        kind.targets().stream()
            .filter(t -> arrangement.hasCharger() || !t.device().equals("charger"))
            .filter(t -> arrangement.hasSwitch() || !t.device().equals("tie"))
            .toList();
    if (targets.isEmpty()) {
      return;
    }
    FaultKind.Target target = targets.get(random.nextInt(targets.size()));
    String signal =
        target.signals().isEmpty()
            ? ""
            : target.signals().get(random.nextInt(target.signals().size()));
    Map<String, Double> numbers = new TreeMap<>();
    if (kind == FaultKind.SENSOR_BIAS) {
      numbers.put("by", (random.nextDouble() - 0.5) * (signal.endsWith("_pu") ? 0.4 : 8));
    }
    events.add(
        new Event.Fault(
            at, kind, target.device(), signal, numbers, "", random.nextBoolean() ? lasts : 0));
  }

  /** The reader refuses overlapping changes of one quantity of the utility; so does the hunt. */
  private static List<Event> withoutOverlap(List<Event> events) {
    List<Event> out = new ArrayList<>();
    for (Event event : events) {
      boolean free =
          out.stream().noneMatch(e -> sameQuantity(e, event) && ends(e) > event.atMicros());
      if (free || event instanceof Event.Operator || event instanceof Event.Fault) {
        out.add(event);
      }
    }
    return out;
  }

  private static boolean sameQuantity(Event one, Event other) {
    return one.getClass() == other.getClass() || (breaks(one) && breaks(other));
  }

  private static boolean breaks(Event event) {
    return event instanceof Event.Outage || event instanceof Event.Reclose;
  }

  /** Runs cases: first seed, how many. Prints what was found and a count of each kind. */
  public static void main(String[] args) {
    long first = Long.parseLong(args[0]);
    int count = Integer.parseInt(args[1]);
    Map<String, Integer> kinds = new TreeMap<>();
    int bad = 0;
    for (long seed = first; seed < first + count; seed++) {
      Outcomes o = run(seed);
      if (o.findings().isEmpty()) {
        continue;
      }
      bad++;
      System.out.println("seed " + seed + " soc " + o.scenario().initialSoc());
      o.scenario().events().forEach(e -> System.out.println("    " + e));
      o.findings().forEach(f -> System.out.println("  ! " + f));
      o.modes()
          .forEach(
              m ->
                  System.out.println(
                      "      "
                          + m.atSeconds()
                          + " "
                          + m.from()
                          + " > "
                          + m.to()
                          + ": "
                          + m.reason()));
      for (String finding : o.findings()) {
        String[] words = finding.split(" ", 3);
        kinds.merge(words[0] + " " + words[1], 1, Integer::sum);
      }
    }
    System.out.println(count + " cases, " + bad + " with findings: " + kinds);
  }
}
