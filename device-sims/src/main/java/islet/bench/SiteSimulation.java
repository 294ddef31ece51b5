package islet.bench;

import islet.contract.Device;
import islet.contract.Lifetime;
import islet.contract.Mode;
import islet.contract.OperatorOrder;
import islet.contract.Port;
import islet.contract.SupervisorCommand;
import islet.contract.SupervisorTelemetry;
import islet.contract.TieTrip;
import islet.contract.Topics;
import islet.device.AuxiliaryContact;
import islet.device.BatteryGuard;
import islet.device.BatteryGuardSettings;
import islet.device.Charger;
import islet.device.ChargingSettings;
import islet.device.Devices;
import islet.device.Inverter;
import islet.device.InverterSettings;
import islet.device.Limit;
import islet.device.Meter;
import islet.device.Regulator;
import islet.device.SimulatedDevice;
import islet.device.SurgeCurve;
import islet.device.Surroundings;
import islet.device.Tie;
import islet.device.TieSettings;
import islet.plant.DataFiles;
import islet.plant.LineLoad;
import islet.plant.Plant;
import islet.plant.Weather;
import islet.site.GridProfile;
import islet.site.Site;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * A site in virtual time: the plant, its four devices, and the round that lets both find their
 * balance after each change. The round runs at every change, at every instant that a device waits
 * for, and at every full second.
 */
public final class SiteSimulation implements Surroundings, Witness {

  /**
   * Rounds that devices may need to settle at one instant; more means that two of them chase each
   * other.
   */
  private static final int MOST_ROUNDS = 64;

  private static final long SECOND = 1_000_000;

  /**
   * A supervisor can't know the state of charge better than this, so the last part above the floor
   * is not held against it (common practice for shunt-based estimates).
   */
  private static final double FLOOR_DOUBT = 0.05;

  /** Of the time that the loads bear, this much is kept for the inverter to take over, s. */
  private static final double TAKE_OVER_S = 0.005;

  /** The tie measures on its own side of the panel's wiring; half a percent covers the drop. */
  private static final double ACCURACY_PU = 0.005;

  /** A supervisor that has just been started listens for a second, and its scan comes after, s. */
  private static final double LISTENS_S = 1.5;

  /** Takes lines for the sequence of events. */
  @FunctionalInterface
  public interface Notes {
    void note(long micros, String source, String kind, String from, String to, String reason);
  }

  private final long beganMicros;
  private final long coldMicros;
  private final Site site;
  private final VirtualTime time;
  private final VirtualTime.Timer round;
  private final Plant plant;
  private final Devices devices;
  private final SimulatedDevice[] inOrder;
  private final Optional<BatteryGuard> guard;
  private final Truth truth = new Truth();
  private final SiteMeters meters;
  private final ExportPermit exportPermit;
  private final Notes notes;
  private final boolean movedByHand;
  private Witness witness = new Witness() {};
  private boolean started;
  private boolean wasAtFloor;
  private boolean tieTrusted = true;
  private double cloudShare = 1;
  private double stepW;
  private double mainPu;
  private double criticalPu;
  private double deltaHz;
  private double deltaDeg;

  /**
   * Builds the site and connects its devices.
   *
   * @param broker where the devices connect
   * @param initialSoc state of charge at the start, 0 to 1
   * @param initialHealth the battery's capacity at the start over a new one's
   * @param tieClosed how the tie stands at the start
   */
  public SiteSimulation(
      Site site,
      Weather weather,
      double initialSoc,
      double initialHealth,
      boolean tieClosed,
      VirtualTime time,
      Port.Broker broker,
      Notes notes) {
    this(site, weather, initialSoc, initialHealth, tieClosed, time, broker, notes, new DataFiles());
  }

  /** The same, one of many runs that share their data files. */
  SiteSimulation(
      Site site,
      Weather weather,
      double initialSoc,
      double initialHealth,
      boolean tieClosed,
      VirtualTime time,
      Port.Broker broker,
      Notes notes,
      DataFiles files) {
    this.site = site;
    this.time = time;
    this.notes = notes;
    beganMicros = time.now();
    coldMicros = Amount.micros(site.inverter().startS() + LISTENS_S);
    movedByHand = site.changeover().map(Site.Changeover::manual).orElse(false);
    round = time.timer(VirtualTime.DEVICE, this::settle);
    plant = PlantBuilder.build(site, weather, initialSoc, initialHealth, time.now(), files);
    plant.setUtility(site.arrangement().hasUtility(), 1, site.utility().nominalHz());
    meters = new SiteMeters(site, plant);
    exportPermit = new ExportPermit(site);
    devices = devices(tieClosed, broker);
    guard = devices.guard();
    inOrder = devices.all().toArray(new SimulatedDevice[0]);
    truth.sample.set(Signal.SUPERVISOR_MODE, Mode.STARTING);
    truth.sample.set(Signal.SUPERVISOR_RESERVE, site.supervision().reserveSoc());
    truth.sample.set(Signal.SUPERVISOR_SOC, initialSoc);
    truth.sample.set(Signal.SUPERVISOR_VOLTAGE_SOC, initialSoc);
  }

  private Devices devices(boolean tieClosed, Port.Broker broker) {
    Topics topics = new Topics(site.id());
    double linkTimeoutS = site.supervision().linkTimeoutS();
    Site.Battery battery = site.battery();
    Site.Limits limits = battery.limits();
    Site.Inverter inverter = site.inverter();
    GridProfile profile = site.profile();
    Site.Arrangement arrangement = site.arrangement();
    Optional<Tie> tie =
        arrangement.hasSwitch()
            ? Optional.of(
                new Tie(plant, switchSettings(), topics, broker, this, linkTimeoutS, tieClosed))
            : Optional.empty();
    // Only a tie's contact is wired to the inverter; what a changeover switch keeps apart, or what
    // nothing joins, needs no interlock.
    AuxiliaryContact wired =
        arrangement.hasTie() ? tie.<AuxiliaryContact>map(t -> t).orElse(() -> false) : () -> false;
    boolean coordinated = site.supervision().coordination() == Site.Coordination.SHARED;
    return new Devices(
        tie,
        new Inverter(
            plant,
            new InverterSettings(
                site.utility().nominalHz(),
                inverter.startS(),
                surge(inverter),
                inverter.ratedW(),
                inverter.dcMinimumV(),
                inverter.dcMaximumV(),
                limits.disconnectV(),
                limits.reconnectV(),
                limits.toleranceS() / 2,
                inverter.ratedChargeA(),
                profile.cessationBelowPu(),
                highestVoltage(profile),
                profileLimits(profile),
                !arrangement.hasTie(),
                arrangement.mayFeed(),
                arrangement.hasTie() && !coordinated
                    ? Optional.of(charging(inverter.ratedChargeA()))
                    : Optional.empty()),
            wired,
            topics,
            broker,
            this,
            linkTimeoutS),
        new Regulator(
            plant, charging(site.regulator().ratedA()), topics, broker, this, linkTimeoutS),
        site.charger()
            .map(c -> new Charger(plant, charging(c.ratedA()), topics, broker, this, linkTimeoutS)),
        new Meter(
            plant,
            site.circuits().stream().map(Site.Circuit::name).toList(),
            topics,
            broker,
            this,
            linkTimeoutS),
        battery.management().map(m -> new BatteryGuard(plant, guarding(battery, m), this)));
  }

  static BatteryGuardSettings guarding(Site.Battery battery, Site.Management unit) {
    return new BatteryGuardSettings(
        battery.cells(),
        unit.overV(),
        unit.underV(),
        unit.chargeA(),
        unit.dischargeA(),
        unit.overC(),
        battery.limits().minimumChargeC(),
        battery.limits().maximumChargeC());
  }

  /** What a charging device of this rating is set to on the unit itself. */
  private ChargingSettings charging(double ratedA) {
    Site.Limits limits = site.battery().limits();
    Site.Charge charge = site.battery().charge();
    double ratingsA =
        site.regulator().ratedA() + site.charger().map(Site.Charger::ratedA).orElse(0.0);
    // Units that a supervisor coordinates are set so that both together keep the battery's limit
    // when it is silent; units that nobody coordinates are each set as if alone.
    boolean shared =
        site.arrangement().hasCharger()
            && site.supervision().coordination() == Site.Coordination.SHARED
            && ratingsA > limits.maximumChargeA();
    double shareA = shared ? limits.maximumChargeA() * ratedA / ratingsA : limits.maximumChargeA();
    return new ChargingSettings(
        charge.absorptionV(),
        charge.floatV(),
        charge.compensationVPerK(),
        charge.absorptionS(),
        charge.tailA(),
        charge.rebulkV(),
        limits.maximumV(),
        Math.min(ratedA, shareA),
        limits.minimumChargeC(),
        limits.maximumChargeC());
  }

  static SurgeCurve surge(Site.Inverter inverter) {
    List<SurgeCurve.Point> points = new ArrayList<>();
    points.add(new SurgeCurve.Point(inverter.surgeW(), inverter.surgeS()));
    inverter.surge().forEach(p -> points.add(new SurgeCurve.Point(p.powerW(), p.forS())));
    return new SurgeCurve(points);
  }

  private static double highestVoltage(GridProfile profile) {
    return profile.trips().stream()
        .filter(t -> t.quantity() == GridProfile.Quantity.OVER_VOLTAGE)
        .mapToDouble(GridProfile.Trip::limit)
        .max()
        .orElse(Double.MAX_VALUE);
  }

  private static List<Limit> profileLimits(GridProfile profile) {
    List<Limit> limits = new ArrayList<>();
    for (GridProfile.Trip t : profile.trips()) {
      limits.add(
          switch (t.quantity()) {
            case OVER_VOLTAGE -> new Limit(true, true, t.limit(), t.clearingS(), TieTrip.VOLTAGE);
            case UNDER_VOLTAGE -> new Limit(true, false, t.limit(), t.clearingS(), TieTrip.VOLTAGE);
            case OVER_FREQUENCY ->
                new Limit(false, true, t.limit(), t.clearingS(), TieTrip.FREQUENCY);
            case UNDER_FREQUENCY ->
                new Limit(false, false, t.limit(), t.clearingS(), TieTrip.FREQUENCY);
          });
    }
    return limits;
  }

  private TieSettings switchSettings() {
    return site.changeover().map(this::changeoverSettings).orElseGet(this::tieSettings);
  }

  /**
   * It keeps no grid code's limits, since it never joins a source to the utility; an automatic one
   * leaves before the loads' voltage envelope is passed.
   */
  private TieSettings changeoverSettings(Site.Changeover changeover) {
    GridProfile.EnterService enter = site.profile().enter();
    return new TieSettings(
        changeover.operateS(),
        changeover.lossBelowPu(),
        changeover.lossS(),
        0,
        0,
        changeover.manual() ? List.of() : envelopeLimits(changeover.deadS()),
        0,
        0,
        0,
        enter.minimumPu(),
        enter.maximumPu(),
        true,
        changeover.deadS(),
        changeover.manual());
  }

  /**
   * For the critical loads' sake the switch leaves before their voltage envelope is passed.
   *
   * @param afterS what passes after its contacts have parted until the loads live again, s
   */
  private static List<Limit> envelopeLimits(double afterS) {
    List<Limit> limits = new ArrayList<>();
    for (VoltageEnvelope.Band band : VoltageEnvelope.ITIC) {
      double clearingS = Math.max(0, band.allowedS() - afterS);
      double guarded = band.limitPu() + (band.under() ? ACCURACY_PU : -ACCURACY_PU);
      limits.add(new Limit(true, !band.under(), guarded, clearingS, TieTrip.SAG));
    }
    return limits;
  }

  private TieSettings tieSettings() {
    Site.Tie tie = site.tie().orElseThrow();
    GridProfile profile = site.profile();
    List<Limit> limits = new ArrayList<>(profileLimits(profile));
    if (site.supervision().onSag() == Site.OnSag.SEPARATE) {
      limits.addAll(envelopeLimits(TAKE_OVER_S));
    }
    double separateBelow =
        switch (site.supervision().onSag()) {
          case SEPARATE -> tie.separateBelowPu();
          case RIDE_THROUGH -> 0;
        };
    return new TieSettings(
        tie.operateS(),
        tie.lossBelowPu(),
        tie.lossS(),
        separateBelow,
        tie.separateS(),
        limits,
        profile.sync().voltagePu(),
        profile.sync().frequencyHz(),
        profile.sync().angleDeg(),
        profile.enter().minimumPu(),
        profile.enter().maximumPu(),
        false,
        0,
        false);
  }

  /** Lets somebody watch the truth. */
  public void watch(Witness watcher) {
    witness = watcher;
  }

  /** Begins: the first round runs at the present instant. */
  public void start() {
    started = true;
    round.arm(time.now());
  }

  @Override
  public long now() {
    return time.now();
  }

  @Override
  public void stir() {
    if (started) {
      round.arm(time.now());
    }
  }

  @Override
  public void note(String source, String kind, String from, String to, String reason) {
    notes.note(time.now(), source, kind, from, to, reason);
  }

  /** The supervisor's picture is part of the sample, as the wire told it. */
  @Override
  public void told(long micros, SupervisorTelemetry picture) {
    Sample sample = truth.sample;
    sample.set(Signal.SUPERVISOR_MODE, picture.mode());
    sample.set(Signal.SUPERVISOR_STAGE, picture.stage());
    sample.set(Signal.SUPERVISOR_RESERVE, picture.reserveSoc());
    sample.set(Signal.SUPERVISOR_SOC, picture.soc());
    sample.set(Signal.SUPERVISOR_VOLTAGE_SOC, picture.voltageSoc());
    show(micros);
  }

  /** Whether a utility serves the site. */
  boolean hasUtility() {
    return site.arrangement().hasUtility();
  }

  /** What is really so, as it was last shown to the witnesses; on the run's own thread only. */
  Truth truth() {
    return truth;
  }

  /**
   * Changes the utility at the present instant; what has passed until now was under the old one.
   */
  public void utility(boolean live, double pu, double hz) {
    plant.advanceTo(time.now());
    plant.setUtility(live, pu, hz);
    stir();
  }

  /**
   * Lets a part of the light reach the array from the present instant on.
   *
   * @param share 0 to 1
   * @return whether that is anything new
   */
  boolean cloud(double share) {
    if (share == cloudShare) {
      return false;
    }
    cloudShare = share;
    plant.advanceTo(time.now());
    plant.setShade(share);
    stir();
    return true;
  }

  /**
   * Lets the emergency panel's loads want more or less from the present instant on, on the circuit
   * that is shed last.
   *
   * @param watts at nominal voltage
   * @return whether that is anything new
   */
  boolean loadStep(double watts) {
    if (watts == stepW) {
      return false;
    }
    stepW = watts;
    plant.advanceTo(time.now());
    plant.setLoadStep(lastShed(), watts);
    stir();
    return true;
  }

  private int lastShed() {
    int last = 0;
    int place = -1;
    for (int i = 0; i < site.circuits().size(); i++) {
      Site.Circuit circuit = site.circuits().get(i);
      int shed = site.supervision().shedding().indexOf(circuit.name());
      int rank = shed < 0 ? Integer.MAX_VALUE : shed;
      if (circuit.panel() == Site.Panel.CRITICAL && rank > place) {
        last = i;
        place = rank;
      }
    }
    return last;
  }

  /** Hangs a load onto the line that matches what the site feeds at the present instant. */
  public LineLoad matchLineLoad(double share, double qualityFactor, double imbalance) {
    plant.advanceTo(time.now());
    LineLoad load = plant.matchingLineLoad(share, qualityFactor, imbalance);
    plant.setLineLoad(load);
    return load;
  }

  /** Hangs the site's own line load onto the line again. */
  public void restoreLineLoad() {
    plant.advanceTo(time.now());
    plant.restoreLineLoad();
  }

  /**
   * A person has looked at the tie and says so: if it is sound now, it counts as a healthy path
   * again. Not before the supervisor is told, which cannot know that anybody has looked.
   */
  @Override
  public void asked(long micros, SupervisorCommand order) {
    if (order.order() == OperatorOrder.RESET
        && Lifetime.of(micros, order.at(), order.lifetimeS()) == Lifetime.GOOD) {
      tieTrusted = devices.tie().map(Tie::sound).orElse(true);
    }
  }

  /** A person moves the changeover switch. */
  public void moveSwitch(boolean toUtility) {
    plant.advanceTo(time.now());
    devices.tie().orElseThrow().moveByHand(toUtility);
    stir();
  }

  /** Lets the utility's angle jump at the present instant, degrees. */
  public void utilityPhase(double degrees) {
    plant.advanceTo(time.now());
    plant.addUtilityPhaseDeg(degrees);
    stir();
  }

  private void settle() {
    long now = time.now();
    plant.advanceTo(now);
    plant.solve();
    meters.read();
    int rounds = 0;
    boolean changed = true;
    while (changed) {
      if (++rounds > MOST_ROUNDS) {
        throw new IllegalStateException(
            "The devices found no rest at " + now + " µs: two of them undo each other's work.");
      }
      before();
      changed = guard.isPresent() && guard.get().run(now);
      for (SimulatedDevice device : inOrder) {
        changed |= device.run(now);
      }
      if (changed) {
        closing();
        plant.solve();
        fill();
        show(now);
      }
    }
    for (SimulatedDevice device : inOrder) {
      device.report(now);
    }
    fill();
    show(now);
    round.arm(next(now));
  }

  private long next(long now) {
    long next = Math.min(plant.nextLookMicros(), now - Math.floorMod(now, SECOND) + SECOND);
    for (SimulatedDevice device : inOrder) {
      next = Math.min(next, device.wake(now));
    }
    return guard.isPresent() ? Math.min(next, guard.get().wake(now)) : next;
  }

  private void before() {
    mainPu = plant.mainVoltagePu();
    criticalPu = plant.criticalVoltagePu();
    deltaHz = plant.criticalFrequencyHz() - plant.mainFrequencyHz();
    deltaDeg = plant.angleDeg();
  }

  private void closing() {
    if (plant.tieClosed() && !truth.contactClosed) {
      truth.closeUtilityPu = mainPu;
      truth.closeIslandPu = criticalPu;
      truth.closeDeltaHz = deltaHz;
      truth.closeDeltaDeg = deltaDeg;
    }
  }

  private void fill() {
    Sample s = truth.sample;
    s.set(Signal.UTILITY_VOLTAGE, plant.utilityLineV() / site.utility().nominalV());
    s.set(Signal.UTILITY_FREQUENCY, plant.mainFrequencyHz());
    s.set(Signal.UTILITY_LIVE, plant.utilityLive());
    s.set(Signal.PCC_POWER, plant.pccPowerW());
    s.set(Signal.MAIN_VOLTAGE, plant.mainVoltagePu());
    s.set(Signal.CRITICAL_VOLTAGE, plant.criticalVoltagePu());
    s.set(Signal.CRITICAL_POWER, plant.criticalPowerW());
    s.set(Signal.NONCRITICAL_POWER, plant.noncriticalPowerW());
    s.set(Signal.TIE_CLOSED, plant.tieClosed());
    s.set(Signal.PV_AVAILABLE, plant.pvAvailableW());
    s.set(Signal.PV_POWER, plant.pvPowerW());
    s.set(Signal.BUS_VOLTAGE, plant.busVoltageV());
    s.set(Signal.BATTERY_VOLTAGE, plant.batteryTerminalV());
    s.set(Signal.BATTERY_CURRENT, plant.batteryCurrentA());
    s.set(Signal.BATTERY_SOC, plant.batterySoc());
    s.set(Signal.BATTERY_TEMPERATURE, plant.batteryTemperatureC());
    s.set(Signal.REGULATOR_STAGE, devices.regulator().stage());
    s.set(Signal.INVERTER_STATE, devices.inverter().inverterState());
    s.set(Signal.INVERTER_POWER, plant.inverterPowerW());
    s.set(Signal.PRICE_IMPORT, meters.bill().importPrice());
    s.set(Signal.PRICE_EXPORT, meters.bill().exportPrice());
    truth.utilitySourceLive = plant.utilityLive();
    truth.utilitySourcePu = plant.utilityVoltagePu();
    truth.utilitySourceHz = plant.utilityFrequencyHz();
    truth.causedLineV = plant.utilityLive() ? 0 : plant.utilityLineV();
    truth.contactClosed = plant.tieClosed();
    truth.disconnectOpen = devices.tie().map(Tie::isolated).orElse(false);
    truth.apartHz = plant.criticalFrequencyHz() - plant.mainFrequencyHz();
    truth.apartDeg = plant.angleDeg();
    truth.energyAvailable = energyAvailable();
    truth.pathHealthy = pathHealthy() && devices.inverter().able();
    truth.tieSees = devices.tie().map(Tie::sees).orElse(true);
    truth.tieReadable = devices.tie().map(Tie::readable).orElse(true);
    truth.trippedAt = devices.inverter().madeTripAt();
    truth.inverterOutW = Math.max(0, plant.inverterPowerW());
    truth.twoSources = plant.twoSources();
    truth.utilityChargeW =
        plant.chargerPowerW()
            + (site.arrangement().hasTie() && plant.tieClosed() && plant.utilityLive()
                ? Math.max(0, -plant.inverterPowerW())
                : 0);
    truth.exportLimitW = exportPermit.limitW(time.now());
    truth.exportPermitted = truth.exportLimitW > 0;
  }

  private boolean pathHealthy() {
    if (time.now() - beganMicros < coldMicros) {
      // The site has just been switched on: nothing could have started the inverter any sooner.
      return false;
    }
    if (plant.batteryCutOff()) {
      // The battery's own protection stands between.
      return false;
    }
    if (devices.tie().isEmpty()) {
      return true;
    }
    Tie tie = devices.tie().get();
    tieTrusted &= tie.sound();
    // What only a person moves is no path until it has been moved.
    return tieTrusted && !tie.held() && !(movedByHand && plant.tieClosed());
  }

  private boolean energyAvailable() {
    double soc = plant.batterySoc();
    Site.Limits limits = site.battery().limits();
    if (soc <= limits.floorSoc() + FLOOR_DOUBT) {
      wasAtFloor = true;
    } else if (soc >= limits.recoverySoc() + FLOOR_DOUBT) {
      wasAtFloor = false;
    }
    return !wasAtFloor;
  }

  private void show(long micros) {
    truth.sample.at(micros);
    witness.truth(truth);
  }

  /** Brings plant and meters to the end of the run. */
  public void settleBooks(long end) {
    plant.advanceTo(end);
    meters.read();
  }

  /** Bill and meters of the run so far. */
  public SiteMeters meters() {
    return meters;
  }

  /** The plant, for faults and for the books at the end. */
  public Plant plant() {
    return plant;
  }

  /** The devices, for faults. */
  public Devices devices() {
    return devices;
  }

  /** Takes the devices off the broker in good order. */
  public void close() {
    for (SimulatedDevice device : inOrder) {
      device.close();
    }
  }

  /** The client id of a device at the broker. */
  public static String clientId(Site site, Device device) {
    return SimulatedDevice.clientId(new Topics(site.id()), device);
  }
}
