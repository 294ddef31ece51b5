package islet.bench;

import islet.contract.BatteryPath;
import islet.contract.ChargeStage;
import islet.contract.ChargerTelemetry;
import islet.contract.InverterOrder;
import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import islet.contract.MeterTelemetry;
import islet.contract.Mode;
import islet.contract.RegulatorTelemetry;
import islet.contract.TieTelemetry;
import islet.contract.TieTrip;
import islet.control.Inputs;
import islet.control.Outputs;
import islet.control.SiteSupervisor;
import islet.device.BatteryGuard;
import islet.device.OverloadBudget;
import islet.device.Surroundings;
import islet.plant.BooksException;
import islet.plant.DataFiles;
import islet.plant.Plant;
import islet.plant.PlantSpec;
import islet.plant.Weather;
import islet.site.Site;
import java.util.List;
import java.util.Optional;

/**
 * How long a site lives by itself once its utility is gone: an account of energy in steps of up to
 * a minute.
 *
 * <p>The plant is the one of a rehearsal, in long steps, and so is the supervisor, told of the site
 * after every step and obeyed at once: it sheds, charges and ends the island by its own rules and
 * from what it knew at the hour. Left out are messages, the switch's milliseconds, the devices' own
 * charging while the supervisor is silent, and everything between two steps. The inverter's own
 * protection and a lithium battery's management unit look after every step and when their time is
 * up.
 *
 * <p>One instance lives many lives, one after the other. Not safe for use by several threads.
 */
public final class IslandLife {

  /** The longest life that is told apart from a longer one: 7 days, µs. */
  public static final long LONGEST = 7 * 24 * HourStates.HOUR;

  private static final long SECOND = 1_000_000;
  private static final long STEP = 60 * SECOND;

  /** While the battery's voltage is low, since a minute is long against the disconnect's time. */
  private static final long STEP_WHEN_LOW = 5 * SECOND;

  /** The array's voltage is costly to work out, and no supervisor of ours looks at it. */
  private static final double UNASKED = 0;

  /** Scans that a supervisor may need to find out where it stands; it listens for a second. */
  private static final int MOST_FIRST_SCANS = 50;

  private final Site site;
  private final Weather weather;
  private final PlantSpec spec;
  private final long scanMicros;
  private final List<String> shedding;
  private final int[] circuit;

  /**
   * Reads weather and loads once for many lives.
   *
   * @param scenario without events
   * @param wraps whether measured weather begins again at the run's end; what is folded by the year
   *     anyway goes on by itself
   * @param files where weather and loads are read, or have been
   */
  public IslandLife(Scenario scenario, boolean wraps, DataFiles files) {
    site = scenario.site();
    Weather asRead = WeatherBuilder.of(scenario, files);
    weather =
        wraps
            ? new WrappedWeather(asRead, scenario.startMicros(), scenario.durationMicros())
            : asRead;
    spec =
        PlantBuilder.spec(
            site, scenario.initialSoc(), scenario.initialHealth(), scenario.startMicros(), files);
    scanMicros = Math.round(site.supervision().scanS() * 1e6);
    shedding = site.supervision().shedding();
    List<String> names = site.circuits().stream().map(Site.Circuit::name).toList();
    circuit = shedding.stream().mapToInt(names::indexOf).toArray();
  }

  /**
   * Lets the utility go at an hour.
   *
   * @param from how the site stands then
   * @param mostMicros when to stop looking, microseconds after that hour
   * @return how long the emergency panel lived, microseconds; {@code mostMicros} when it still did
   */
  public long live(HourState from, long mostMicros) {
    try {
      return new Life(from, STEP).run(mostMicros);
    } catch (BooksException refused) {
      // Where power crosses zero a long step can be booked too coarsely; a rehearsal's step is not.
      return new Life(from, SECOND).run(mostMicros);
    }
  }

  /** One life. */
  private final class Life implements Surroundings {
    private final long begun;
    private final long longestStep;
    private final Plant plant;
    private final SiteSupervisor supervisor = new SiteSupervisor(site);
    private final Inputs in = new Inputs();
    private final Outputs out = new Outputs();
    private final OverloadBudget overload;
    private final Optional<BatteryGuard> guard;
    private int shed;

    /**
     * What flowed into the battery over the last step: a count by its end would miss every jump.
     */
    private double meanA;

    private long lowSince = Long.MAX_VALUE;
    private long now;

    Life(HourState from, long longestStep) {
      this.longestStep = longestStep;
      begun = from.micros();
      now = begun;
      plant = new Plant(aged(from), weather, now);
      plant.setLongestStep(longestStep / 1e6);
      plant.setBatteryTemperature(from.celsius());
      plant.setInverterForming(site.utility().nominalHz());
      plant.solve();
      from.kept().restore(supervisor);
      Site.Inverter inverter = site.inverter();
      overload = new OverloadBudget(SiteSimulation.surge(inverter), inverter.ratedW(), now);
      guard =
          site.battery()
              .management()
              .map(m -> new BatteryGuard(plant, SiteSimulation.guarding(site.battery(), m), this));
    }

    private PlantSpec aged(HourState from) {
      return new PlantSpec(
          spec.place(),
          spec.pv(),
          spec.regulator(),
          spec.battery(),
          from.soc(),
          from.health(),
          spec.dcCableOhm(),
          spec.inverter(),
          spec.utility(),
          spec.transfer(),
          spec.charger(),
          spec.circuits());
    }

    long run(long mostMicros) {
      long end = begun + mostMicros;
      boolean alive = scan() && protect();
      for (int i = 0; alive && out.mode == Mode.STARTING && i < MOST_FIRST_SCANS; i++) {
        advanceTo(now + scanMicros);
        alive = protect() && scan();
      }
      while (alive && now < end) {
        advanceTo(Math.min(end, next()));
        alive = protect() && scan();
      }
      return Math.min(now, end) - begun;
    }

    private void advanceTo(long micros) {
      double before = plant.ledger().chargeInC() - plant.ledger().chargeOutC();
      plant.advanceTo(micros);
      double after = plant.ledger().chargeInC() - plant.ledger().chargeOutC();
      meanA = (after - before) / ((micros - now) * 1e-6);
      now = micros;
    }

    private long next() {
      boolean low = lowSince != Long.MAX_VALUE;
      long next =
          Math.min(now + (low ? STEP_WHEN_LOW : longestStep), plant.nextDiscontinuityMicros());
      next = Math.min(next, Math.max(now + 1, overload.spentAt()));
      return guard.isPresent() ? Math.min(next, guard.get().wake(now)) : next;
    }

    /** Lets the devices' own protection look; false when the panel goes dark. */
    private boolean protect() {
      if (guard.isPresent() && guard.get().run(now)) {
        plant.solve();
      }
      double volts = plant.inverterTerminalV();
      Site.Limits limits = site.battery().limits();
      lowSince = volts < limits.disconnectV() ? Math.min(lowSince, now) : Long.MAX_VALUE;
      boolean disconnects =
          lowSince != Long.MAX_VALUE && now - lowSince >= limits.toleranceS() / 2 * SECOND;
      boolean spent = overload.spent(plant.inverterLoadVa(), plant.inverterRatingW(), now);
      return !disconnects
          && !spent
          && volts >= site.inverter().dcMinimumV()
          && volts <= site.inverter().dcMaximumV()
          && plant.criticalVoltagePu() >= OutOfSyncClose.DEAD_PU;
    }

    /** Lets the supervisor look, and obeys; false when it ends the island. */
    private boolean scan() {
      tell();
      supervisor.scan(in, now, out);
      in.scanned();
      if (out.inverterOrdered && out.inverter == InverterOrder.OFF) {
        return false;
      }
      if (out.chargingOrdered) {
        plant.setRegulator(out.regulatorEnabled, out.regulatorVoltageV, out.regulatorLimitA);
        shedTo(out.shedCount);
        plant.solve();
      }
      return true;
    }

    private void shedTo(int count) {
      for (int i = Math.min(shed, count); i < Math.max(shed, count); i++) {
        plant.setCircuitClosed(circuit[i], i >= count);
      }
      shed = count;
    }

    /** Every device says what is true. */
    private void tell() {
      double celsius = plant.batteryTemperatureC();
      in.take(
          new RegulatorTelemetry(
              0,
              now,
              plant.regulatorTerminalV(),
              celsius,
              UNASKED,
              plant.pvPowerW(),
              plant.regulatorCurrentA(),
              out.regulatorVoltageV,
              out.regulatorLimitA,
              out.stage,
              out.regulatorEnabled,
              false),
          now);
      in.take(
          new InverterTelemetry(
              0,
              now,
              Math.max(0, plant.inverterTerminalV()),
              plant.inverterDcCurrentA(),
              plant.inverterPowerW(),
              plant.inverterVoltagePu(),
              plant.inverterFrequencyHz(),
              InverterState.FORMING,
              InverterTrip.NONE,
              true,
              false),
          now);
      if (site.arrangement().hasSwitch()) {
        in.take(
            new TieTelemetry(
                0,
                now,
                false,
                false,
                0,
                0,
                plant.criticalVoltagePu(),
                plant.criticalFrequencyHz(),
                0,
                TieTrip.LOSS,
                false,
                false),
            now);
      }
      if (site.arrangement().hasCharger()) {
        double busV = plant.chargerTerminalV();
        in.take(
            new ChargerTelemetry(0, now, busV, celsius, 0, 0, 0, 0, ChargeStage.OFF, false, false),
            now);
      }
      in.take(
          new MeterTelemetry(
              0,
              now,
              0,
              0,
              0,
              plant.criticalPowerW(),
              0,
              plant.criticalVoltagePu(),
              plant.batteryTerminalV(),
              meanA,
              celsius,
              String.join(",", shedding.subList(0, shed)),
              false,
              path()),
          now);
    }

    private BatteryPath path() {
      return switch (plant.batteryContactor()) {
        case CLOSED -> BatteryPath.CLOSED;
        case DISCHARGE_ONLY -> BatteryPath.DISCHARGE_ONLY;
        case OPEN -> BatteryPath.OPEN;
      };
    }

    @Override
    public long now() {
      return now;
    }

    @Override
    public void stir() {}

    @Override
    public void note(String source, String kind, String from, String to, String reason) {}
  }
}
