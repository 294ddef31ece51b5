package islet.plant;

import java.util.List;

/**
 * The whole plant: array, charge regulator, battery and inverter on one DC bus; the inverter on the
 * critical panel; a tie, a changeover switch or nothing from there to the main panel; the main
 * panel on the utility's service; a one-way charger from the main panel to the DC bus where there
 * is one. All arrangements are this one plant with parts left out.
 *
 * <p>Electrically it is quasi-static: {@link #solve} finds the operating point of the present
 * instant after any actuator or fault was set. Charge, temperature, angle and an island's frequency
 * move only in {@link #advanceTo}, in steps of at most a second during which the operating point is
 * held. Every step is booked in the {@link Ledger}, which throws when energy or charge doesn't
 * balance.
 *
 * <p>Trips, sequences and time-outs belong to devices, not here: the plant stays solvable whatever
 * it is told, and reports what a device should have prevented ({@link #twoSources}, {@link
 * #inverterUndervoltage}, {@link #utilityLineV}).
 *
 * <p>Powers in W, the battery's positive when charging, the utility's positive when importing, the
 * inverter's positive into the panel. Not safe for use by several threads.
 */
public final class Plant {
  /** Below this voltage a panel is dead: nothing can follow it, pu. */
  static final double DEAD_PU = 0.1;

  /** Below this voltage a load counts as not served, pu; see {@link ZipLoad}. */
  static final double USABLE_PU = ZipLoad.TURN_PU;

  /** A following inverter's voltage ceiling in an island it feeds too much into, pu; our choice. */
  private static final double CEILING_PU = 1.5;

  /**
   * How fast an island's frequency runs off per unit of missing reactive over active power, Hz/s;
   * an island settles on its loads' resonance in a few tenths of a second (our choice).
   */
  private static final double REACTIVE_RUN_OFF = 20;

  /** The anti-islanding pushes for so long in one direction, our choice, µs. */
  private static final long PUSH_MICROS = 150_000;

  /** A frequency that is off by more has given way to the push, our choice, Hz. */
  private static final double GIVEN_WAY_HZ = 0.05;

  /** How far an island's frequency can run off, Hz. */
  private static final double FARTHEST_RUN_OFF_HZ = 15;

  private static final long LONGEST_STEP = StandardTime.SECOND;

  /** While frequency or angle moves fast. */
  private static final long FINE_STEP = 5_000;

  /** While limits are passed between jumps: the time resolution of protection. */
  private static final long LOOK_MICROS = 1_000;

  private static final double PER_MICRO = 1e-6;

  private final PlantSpec spec;
  private final Weather weather;
  private final PvArray array;
  private final RegulatorStage regulator;
  private final TrackingStage charger;
  private final double chargerInputW;
  private final Transfer transfer;
  private final Battery battery;
  private final InverterStage inverter;
  private final DcBus bus;
  private final Service service;
  private final Ledger ledger;

  private final CircuitSpec[] circuits;
  private final double[] tanPhi;
  private final double[] wantedW;
  private final boolean[] circuitClosed;

  /** What a circuit wants beyond its profile, W; below 0 for less. */
  private final double[] stepW;

  private final Motors motors;
  private final HeatSink heatSink;
  private final ZipLoad critical = new ZipLoad();
  private final ZipLoad noncritical = new ZipLoad();
  private final ZipLoad joint = new ZipLoad();
  private final ZipLoad none = new ZipLoad();
  private double openCriticalW;
  private double openNoncriticalW;
  private double wantedCriticalW;
  private double wantedNoncriticalW;

  private long longestStep = LONGEST_STEP;
  private long now;
  private long nextSample;
  private long nextJump;

  private InverterState state = InverterState.OFF;
  private double chargeV;
  private double chargeLimitA;
  private double feedV;
  private double feedLimitW;
  private double islandPu = 1;
  private double islandHz;
  private boolean tieClosed;
  private boolean between;
  private boolean utilityLive;
  private double utilityPu = 1;
  private double utilityHz;
  private double utilityAngleDeg;
  private double islandAngleDeg;

  private double inverterShare = 1;
  private boolean arrayDisconnected;
  private Contactor contactorOrdered = Contactor.CLOSED;
  private boolean contactorFailedOpen;
  private boolean batteryDisconnected;

  private boolean followsIsland;
  private boolean feedsShort;
  private double formingPu;
  private boolean twoSources;
  private double mainPu;
  private double criticalPu;
  private double criticalW;
  private double criticalVar;
  private double noncriticalW;
  private double noncriticalVar;
  private double inverterW;
  private double inverterPu;
  private double chargerAcW;
  private double chargerLossW;
  private double inverterLossW;
  private double pvW;
  private double regulatorLossW;
  private double circulatingA;

  /**
   * Builds a plant at rest: everything off and open, all circuits closed, utility dead.
   *
   * @param spec its parts
   * @param weather over it
   * @param startMicros first instant, µs since 1970-01-01T00:00Z
   */
  public Plant(PlantSpec spec, Weather weather, long startMicros) {
    this.spec = spec;
    this.weather = weather;
    this.now = startMicros;
    this.array = new PvArray(spec.pv(), spec.place(), weather);
    this.regulator = RegulatorStage.of(spec.regulator(), array, spec.battery().nominalV());
    this.transfer = spec.transfer();
    this.charger =
        spec.charger()
            .map(c -> TrackingStage.of(c, spec.battery().nominalV()))
            .orElseGet(TrackingStage::none);
    this.chargerInputW = charger.largestInputW(spec.battery().nominalV());
    array.turnTo(startMicros);
    this.battery = Battery.of(spec.battery(), spec.initialSoc(), spec.initialHealth(), roomC());
    this.inverter = new InverterStage(spec.inverter());
    this.heatSink = new HeatSink(spec.inverter().thermal(), inverter.lossAtRatedW(), roomC());
    this.bus =
        new DcBus(
            battery, regulator, charger, inverter, spec.dcCableOhm(), spec.battery().nominalV());
    this.service = new Service(spec.utility());
    this.ledger = new Ledger(battery.storedJ(), battery.wellsC());
    List<CircuitSpec> list = spec.circuits();
    this.circuits = list.toArray(new CircuitSpec[0]);
    this.tanPhi = new double[circuits.length];
    this.wantedW = new double[circuits.length];
    this.circuitClosed = new boolean[circuits.length];
    this.stepW = new double[circuits.length];
    for (int i = 0; i < circuits.length; i++) {
      double pf = circuits[i].powerFactor();
      tanPhi[i] = Math.sqrt(1 - pf * pf) / pf;
      circuitClosed[i] = true;
    }
    this.motors = new Motors(circuits);
    this.islandHz = spec.utility().nominalHz();
    this.utilityHz = islandHz;
    sampleLoads();
    motors.settled();
    sumLoads();
    solve();
  }

  /**
   * Sets the charge regulator.
   *
   * @param on converting
   * @param setV voltage it holds at its terminals with no current, V
   * @param limitA most output current, A; its rating holds as well
   */
  public void setRegulator(boolean on, double setV, double limitA) {
    regulator.set(on, finite(setV, "regulator set voltage"), finite(limitA, "regulator limit"));
  }

  /**
   * Sets the charger; in a plant without one this does nothing.
   *
   * @param on converting, as long as the main panel is alive
   * @param setV voltage it holds at its terminals with no current, V
   * @param limitA most output current, A; its rating holds as well
   */
  public void setCharger(boolean on, double setV, double limitA) {
    charger.set(on, finite(setV, "charger set voltage"), finite(limitA, "charger limit"));
  }

  /**
   * Lets the operating point be held for longer than a second, as an account of energy over days
   * may; loads and weather that jump, and the battery's own limit, still end a step. Not for runs
   * in which protection is judged.
   *
   * @param seconds the longest step, 1 to 300 s
   */
  public void setLongestStep(double seconds) {
    longestStep = Math.round(Require.within(seconds, 1, 300, "The longest step in s") * 1e6);
  }

  /** Moves the contactor between the battery and its cable to the bus; closed unless told. */
  public void setBatteryContactor(Contactor position) {
    contactorOrdered = position;
    joinBattery();
  }

  private void joinBattery() {
    bus.setContactor(
        contactorFailedOpen || batteryDisconnected ? Contactor.OPEN : contactorOrdered);
  }

  /** Fault: the battery's contactor is open whatever it is told. */
  public void setBatteryContactorFailedOpen(boolean open) {
    contactorFailedOpen = open;
    joinBattery();
  }

  /** Opens or closes the battery's disconnect, a switch without auxiliary contact. */
  public void setBatteryDisconnected(boolean open) {
    batteryDisconnected = open;
    joinBattery();
  }

  /** Opens or closes the array's disconnect: the sun is there and nothing can be taken. */
  public void setArrayDisconnected(boolean open) {
    arrayDisconnected = open;
  }

  /**
   * Fault: the inverter may give and take a part of its rating only, for ever.
   *
   * @param share of its rating, 0 to 1
   */
  public void setInverterShare(double share) {
    inverterShare = Require.within(share, 0, 1, "The share of its rating that an inverter has");
  }

  /** Blocks the inverter. */
  public void setInverterOff() {
    state = InverterState.OFF;
  }

  /**
   * Lets the inverter follow the AC voltage at its terminals, as long as there is one: it charges
   * the bus when below one voltage and feeds AC when above another.
   *
   * @param chargeV below it charges, V
   * @param chargeLimitA most DC charging current, A; its rating holds as well
   * @param feedV above it feeds, V; taken as chargeV when lower
   * @param feedLimitW most AC power fed, W; its rating holds as well
   */
  public void setInverterFollowing(
      double chargeV, double chargeLimitA, double feedV, double feedLimitW) {
    finite(chargeV, "charge voltage");
    finite(chargeLimitA, "charge limit");
    finite(feedV, "feed voltage");
    finite(feedLimitW, "feed limit");
    state = InverterState.FOLLOWING;
    this.chargeV = chargeV;
    this.chargeLimitA = chargeLimitA;
    this.feedV = feedV;
    this.feedLimitW = feedLimitW;
  }

  /** Lets the inverter make its own voltage at this frequency, going on from its present angle. */
  public void setInverterForming(double hz) {
    setIslandHz(hz);
    state = InverterState.FORMING;
  }

  /** Slews the frequency the inverter forms, Hz. */
  public void setIslandHz(double hz) {
    islandHz = Require.within(hz, 1, 400, "The island's frequency in Hz");
  }

  /** Sets the voltage the inverter forms, pu (1 unless set). */
  public void setIslandVoltage(double pu) {
    islandPu = Require.within(pu, 0.1, 1.3, "The island's voltage in pu");
  }

  /**
   * Moves the tie's main contact; a changeover switch is put on the utility's side when closed, on
   * the inverter's when not.
   *
   * @throws IllegalArgumentException when nothing stands between the panels
   */
  public void setTieClosed(boolean closed) {
    Require.that(
        !closed || transfer != Transfer.NONE,
        "The tie was told to close, but nothing stands between the panels of this plant.");
    tieClosed = closed;
    between = false;
  }

  /**
   * Puts a changeover switch between its two sides, as while it travels: the critical panel hangs
   * on nothing.
   */
  public void setBetween() {
    Require.that(
        transfer == Transfer.CHANGEOVER,
        "Only a changeover switch can stand between its sides; this plant has " + transfer + '.');
    tieClosed = false;
    between = true;
  }

  /**
   * Lets a circuit want more or less than its profile says, never less than nothing.
   *
   * @param circuit numbered from 0 as in the specification
   * @param watts at nominal voltage; 0 for what the profile says
   */
  public void setLoadStep(int circuit, double watts) {
    stepW[circuit] = finite(watts, "load step");
    sampleLoads();
  }

  /** Moves a circuit's contactor; circuits are numbered from 0 as in the specification. */
  public void setCircuitClosed(int circuit, boolean closed) {
    circuitClosed[circuit] = closed;
    motors.switched(circuit, closed && wantedW[circuit] > 0);
    sumLoads();
  }

  /**
   * Sets the utility's source.
   *
   * @param live false when it is open upstream, so that only our section of line is left
   * @param pu voltage behind the service, pu; 0 is a bolted short close by, not an open line
   * @param hz frequency, Hz
   */
  public void setUtility(boolean live, double pu, double hz) {
    double checkedPu = Require.within(pu, 0, 3, "The utility's voltage in pu");
    utilityHz = Require.within(hz, 1, 400, "The utility's frequency in Hz");
    utilityPu = checkedPu;
    utilityLive = live;
  }

  /** Hangs another load onto the line behind the service; it matters once the source is open. */
  public void setLineLoad(LineLoad load) {
    service.setLine(load);
  }

  /** Hangs the load that the specification names onto the line again. */
  public void restoreLineLoad() {
    service.setLine(LineLoad.resistive(spec.utility().lineLoadW()));
  }

  /**
   * The load on the line that would take what the utility's source takes from this site now; see
   * {@link LineLoad}. Nothing when the site doesn't feed the utility.
   *
   * @param share active power of the load over what the source takes; 1 is a perfect match
   * @param qualityFactor reactive power of its inductance over active power
   * @param imbalance capacitive vars too many, over active power; 0 is a perfect match
   */
  public LineLoad matchingLineLoad(double share, double qualityFactor, double imbalance) {
    if (!sourceBehind() || utilityPu < DEAD_PU || service.sourceW() >= 0) {
      return LineLoad.resistive(0);
    }
    return LineLoad.matching(
        -service.sourceW(), -service.sourceVar(), utilityPu, share, qualityFactor, imbalance);
  }

  /** Lets the utility's angle jump, degrees. */
  public void addUtilityPhaseDeg(double degrees) {
    utilityAngleDeg = wrap(utilityAngleDeg + finite(degrees, "phase jump"));
  }

  /** Shades the array: 1 as the weather says, 0 dark. */
  public void setShade(double share) {
    array.setShade(Require.within(share, 0, 1, "The share of light that reaches the array"));
  }

  /** Fault: multiplies the battery's resistances. */
  public void setBatteryResistanceFactor(double factor) {
    battery.setResistanceFactor(
        Require.within(factor, 0.1, 1000, "The battery's resistance factor"));
  }

  /** Fault: shorts cells of the bank; what they held is written off as a loss. */
  public void setShortedCells(int cells) {
    Require.within(cells, 0, spec.battery().cells() - 1, "The number of shorted cells");
    ledger.writeOff(battery.shortCells(cells));
  }

  /**
   * Fault: the bank loses capacity for good, and what that part of it held; the state of charge of
   * the rest stays.
   *
   * @param share of the capacity that is left, 0 to 0.9
   */
  public void loseBatteryCapacity(double share) {
    double checked = Require.within(share, 0, 0.9, "The share of capacity that is lost");
    double joules = battery.storedJ();
    double coulombs = battery.wellsC();
    battery.lose(checked);
    ledger.writeOff(joules - battery.storedJ(), coulombs - battery.wellsC());
  }

  /** Sets the battery's temperature, °C, as a test or a fault would. */
  public void setBatteryTemperature(double celsius) {
    battery.setTemperatureC(Require.within(celsius, -40, 90, "The battery's temperature in °C"));
  }

  private static double finite(double value, String what) {
    Require.that(
        Double.isFinite(value), "The " + what + " is " + value + "; it must be a finite number.");
    return value;
  }

  /** The present instant, µs since 1970-01-01T00:00Z. */
  public long nowMicros() {
    return now;
  }

  /**
   * The next instant at which a load, a motor's start or the weather jumps, µs since
   * 1970-01-01T00:00Z.
   */
  public long nextDiscontinuityMicros() {
    return nextJump;
  }

  /**
   * When somebody who protects something should look again at the latest, µs since
   * 1970-01-01T00:00Z: at the next discontinuity, and sooner while frequency runs or two sources
   * meet, where limits are passed between jumps.
   */
  public long nextLookMicros() {
    return followsIsland || twoSources ? Math.min(nextJump, now + LOOK_MICROS) : nextJump;
  }

  /** Finds the operating point of the present instant; call it after setting anything. */
  public void solve() {
    operate(now, 0);
    seeMotors();
  }

  private void seeMotors() {
    if (motors.any()) {
      motors.see(now, criticalPu, mainPu);
      nextJump = Math.min(nextSample, motors.next(now));
    }
  }

  /**
   * Lets time pass with the actuators as they stand, then solves.
   *
   * @param epochMicros µs since 1970-01-01T00:00Z, not before the present
   */
  public void advanceTo(long epochMicros) {
    if (epochMicros < now) {
      throw new IllegalArgumentException(
          "The plant stands at "
              + now
              + " µs and was asked to go back to "
              + epochMicros
              + " µs; time only moves forward.");
    }
    if (epochMicros == now) {
      return;
    }
    while (now < epochMicros) {
      long step = Math.min(stepLimit(), Math.min(epochMicros, nextJump) - now);
      double seconds = step * PER_MICRO;
      operate(now + step / 2, seconds);
      book(seconds);
      turn(seconds);
      now += step;
      if (now >= nextJump) {
        sampleLoads();
        if (motors.any()) {
          // A start begins where there is voltage for it, so that voltage must be known.
          solve();
        }
      }
    }
    solve();
  }

  private long stepLimit() {
    if (followsIsland || twoSources) {
      return FINE_STEP;
    }
    double micros = battery.longestStepS() / PER_MICRO;
    if (longestStep > LONGEST_STEP) {
      micros = Math.min(micros, battery.longestInnerStepS() / PER_MICRO);
    }
    return micros >= longestStep ? longestStep : Math.max(1, (long) micros);
  }

  private void sampleLoads() {
    nextSample = weather.nextChangeMicros(now);
    for (int i = 0; i < circuits.length; i++) {
      LoadProfile profile = circuits[i].profile();
      wantedW[i] = Math.max(0, profile.powerW(now) + stepW[i]);
      nextSample = Math.min(nextSample, profile.nextChangeMicros(now));
      motors.switched(i, circuitClosed[i] && wantedW[i] > 0);
    }
    motors.pass(now);
    nextJump = Math.min(nextSample, motors.next(now));
    sumLoads();
  }

  private void sumLoads() {
    critical.clear();
    noncritical.clear();
    openCriticalW = 0;
    openNoncriticalW = 0;
    wantedCriticalW = 0;
    wantedNoncriticalW = 0;
    for (int i = 0; i < circuits.length; i++) {
      CircuitSpec circuit = circuits[i];
      double watts = wantedW[i];
      double shut = circuitClosed[i] ? watts : 0;
      switch (circuit.panel()) {
        case CRITICAL -> {
          wantedCriticalW += shut;
          openCriticalW += watts - shut;
          draw(critical, i, shut);
        }
        case NONCRITICAL -> {
          wantedNoncriticalW += shut;
          openNoncriticalW += watts - shut;
          draw(noncritical, i, shut);
        }
      }
    }
  }

  private void draw(ZipLoad panel, int i, double watts) {
    if (motors.starting(i)) {
      double starting = startingW(i, watts);
      panel.addImpedance(starting, starting * InrushSpec.tanPhi());
    } else {
      panel.add(circuits[i], watts, tanPhi[i]);
    }
  }

  private double startingW(int i, double runningW) {
    return circuits[i].inrush().watts(runningW, circuits[i].powerFactor());
  }

  private boolean sourceBehind() {
    return utilityLive;
  }

  private void operate(long atMicros, double seconds) {
    array.turnTo(atMicros);
    battery.prepare(seconds);
    regulator.offer(arrayDisconnected ? 0 : array.availableW());
    boolean source = sourceBehind();
    boolean wasAlive = criticalPu >= DEAD_PU;
    joint.sum(critical, noncritical);
    boolean parallel = parallel();
    if (parallel && !source) {
      service.addLineTo(joint, hertzPu());
    }
    boolean meets = state == InverterState.FORMING && parallel && source;
    // A source without voltage is a short to whoever holds one.
    feedsShort = meets && utilityPu < DEAD_PU;
    if (feedsShort) {
      service.addShortTo(joint);
    }
    twoSources = meets && !feedsShort;
    followsIsland = state == InverterState.FOLLOWING && parallel && !source && wasAlive;
    offerCharger(source);
    setDuty(source);
    bus.solve(idleW());
    settleDcPowers();
    settleAc(source);
    settleLoads();
  }

  /** Frequency of what the site feeds, over the nominal one. */
  private double hertzPu() {
    return islandHz / spec.utility().nominalHz();
  }

  /** The room that battery and inverter share, °C. */
  private double roomC() {
    return Math.max(spec.battery().roomMinimumC(), array.ambientC());
  }

  /** Inverter and utility on one panel: only a closed tie makes that. */
  private boolean parallel() {
    return tieClosed && transfer == Transfer.TIE;
  }

  /** What a forming inverter carries. */
  private ZipLoad carried() {
    return parallel() ? joint : tieClosed || between ? none : critical;
  }

  /**
   * The charger takes what the main panel can give; its input current is limited, as a real one's.
   */
  private void offerCharger(boolean source) {
    if (!charger.on() || !source || utilityPu < DEAD_PU) {
      charger.offer(0);
      return;
    }
    double most = service.transferableW(utilityPu, tieClosed ? joint : noncritical);
    charger.offer(Math.min(chargerInputW * Math.min(1, utilityPu), most));
  }

  private double idleW() {
    double idle = state == InverterState.OFF ? 0 : inverter.idleW();
    return idle + regulator.idleFromBusW();
  }

  /** Says what the inverter asks of the DC bus, from its state and what its terminals see. */
  private void setDuty(boolean source) {
    circulatingA = 0;
    switch (state) {
      case OFF -> inverter.rest();
      case FOLLOWING -> follow(source);
      case FORMING -> {
        if (twoSources) {
          meet();
        } else {
          ZipLoad loads = carried();
          formingPu = loads.voltageAtCurrent(spec.inverter().surgeW(), islandPu);
          inverter.carry(loads.watts(formingPu));
        }
      }
    }
  }

  private void follow(boolean source) {
    double share = heatSink.share() * inverterShare;
    double rated = spec.inverter().ratedW() * share;
    if (parallel() && source && utilityPu >= DEAD_PU) {
      // Its current limit makes its power fall with the voltage it follows.
      double most =
          Math.min(rated * Math.min(1, utilityPu), service.transferableW(utilityPu, joint));
      double amperes = Math.min(chargeLimitA, spec.inverter().ratedChargeA() * share);
      inverter.droop(chargeV, amperes, most, feedV, Math.min(most, feedLimitW));
    } else if (followsIsland) {
      double most = Math.min(rated, joint.watts(CEILING_PU));
      inverter.droop(chargeV, 0, 0, feedV, Math.min(most, feedLimitW));
    } else {
      inverter.rest();
    }
  }

  /**
   * Two voltage sources on one panel: what flows between them follows from the angle, limited by
   * the inverter's surge one way and by its charging limit the other. Simple on purpose: a device
   * must have tripped long before finer answers matter.
   */
  private void meet() {
    double nominal = spec.utility().nominalV();
    double own = islandPu * nominal;
    double theirs = utilityPu * nominal;
    double x =
        spec.inverter().outputReactancePu() * nominal * nominal / spec.inverter().ratedW()
            + spec.utility().serviceReactanceOhm();
    double angle = StrictMath.toRadians(islandAngleDeg - utilityAngleDeg);
    double apart2 = own * own + theirs * theirs - 2 * own * theirs * StrictMath.cos(angle);
    circulatingA = Math.sqrt(Math.max(0, apart2)) / x;
    double flow = own * theirs * StrictMath.sin(angle) / x;
    double most = Math.min(spec.inverter().surgeW(), service.transferableW(utilityPu, joint));
    if (flow >= 0) {
      inverter.carry(Math.min(flow, most));
    } else if (bus.takesCharge()) {
      inverter.absorb(Math.min(-flow, most));
    } else {
      // A bus without a battery has nowhere to put it; the inverter blocks.
      inverter.rest();
    }
  }

  private void settleDcPowers() {
    double out = bus.regulatorTerminalV() * bus.regulatorA();
    if (regulator.awake()) {
      regulatorLossW = regulator.lossW(out, bus.regulatorA());
      pvW = out + regulatorLossW;
    } else {
      regulatorLossW = 0;
      pvW = 0;
    }
    double charging = bus.chargerTerminalV() * bus.chargerA();
    chargerLossW = charger.awake() ? charger.lossW(charging, bus.chargerA()) : 0;
    chargerAcW = charger.awake() ? charging + chargerLossW : 0;
    double dc = inverterTerminalV() * bus.inverterA();
    if (bus.inverterA() < 0) {
      inverterW = inverter.acFromDcW(-dc);
      inverterLossW = inverter.conversionLossW(inverterW);
    } else if (bus.inverterA() > 0) {
      inverterW = -inverter.acForChargingW(dc);
      inverterLossW = inverter.conversionLossW(dc);
    } else {
      inverterW = 0;
      inverterLossW = 0;
    }
  }

  private void settleAc(boolean source) {
    boolean parallel = parallel();
    if (feedsShort) {
      mainPu = formedPu(joint);
      criticalPu = mainPu;
      inverterPu = mainPu;
      service.fromSiteIntoShort(mainPu);
      return;
    }
    if (source) {
      service.fromSource(
          utilityPu, tieClosed ? joint : noncritical, (parallel ? inverterW : 0) - chargerAcW);
      mainPu = service.panelV() / spec.utility().nominalV();
      inverterPu = parallel ? mainPu : formedPu(carried());
      criticalPu = tieClosed ? mainPu : between ? 0 : inverterPu;
      return;
    }
    if (parallel) {
      double pu = followsIsland ? joint.voltageFor(inverterW, CEILING_PU) : formedPu(joint);
      mainPu = pu;
      criticalPu = pu;
      inverterPu = pu;
    } else {
      mainPu = 0;
      inverterPu = formedPu(carried());
      criticalPu = tieClosed || between ? 0 : inverterPu;
    }
    service.fromSite(mainPu, hertzPu());
  }

  /**
   * Voltage that the forming inverter holds over these loads: its own, what its current limit
   * leaves of it, or what its power makes when the DC side gives less.
   */
  private double formedPu(ZipLoad loads) {
    if (state != InverterState.FORMING) {
      return 0;
    }
    double wanted = loads.watts(formingPu);
    // Rounding in the loss curve's inverse must not pass for a sag.
    if (inverterW >= wanted * (1 - 1e-9)) {
      return formingPu;
    }
    return loads.voltageFor(inverterW, formingPu);
  }

  private void settleLoads() {
    criticalW = critical.watts(criticalPu);
    criticalVar = critical.vars(criticalPu);
    noncriticalW = noncritical.watts(mainPu);
    noncriticalVar = noncritical.vars(mainPu);
  }

  private void book(double seconds) {
    ledger.beginStep();
    double available = array.availableW();
    ledger.add(Flow.PV_AVAILABLE, available * seconds);
    ledger.add(Flow.PV, pvW * seconds);
    ledger.add(Flow.CURTAILED, Math.max(0, available - pvW) * seconds);
    double idle = bus.idleActualW();
    double wantedIdle = idleW();
    double inverterIdle = state == InverterState.OFF ? 0 : inverter.idleW();
    double inverterShare = wantedIdle > 0 ? inverterIdle / wantedIdle : 0;
    ledger.add(Flow.INVERTER_IDLE, idle * inverterShare * seconds);
    ledger.add(Flow.REGULATOR_LOSS, (regulatorLossW + idle * (1 - inverterShare)) * seconds);
    double cable =
        square(battery.terminalA()) * bus.cableOhm()
            + square(bus.regulatorA()) * regulator.cableOhm()
            + square(bus.chargerA()) * charger.cableOhm()
            + square(bus.inverterA()) * spec.inverter().cableOhm();
    ledger.add(Flow.CABLE_LOSS, cable * seconds);
    ledger.add(Flow.CHARGER_LOSS, chargerLossW * seconds);
    ledger.add(Flow.CHARGER_FROM_AC, chargerAcW * seconds);
    ledger.add(Flow.INVERTER_LOSS, inverterLossW * seconds);
    ledger.add(Flow.INVERTER_TO_AC, Math.max(0, inverterW) * seconds);
    ledger.add(Flow.INVERTER_FROM_AC, Math.max(0, -inverterW) * seconds);
    ledger.add(Flow.CRITICAL, criticalW * seconds);
    ledger.add(Flow.NONCRITICAL, noncriticalW * seconds);
    ledger.add(Flow.UNSERVED_CRITICAL, unservedCriticalW() * seconds);
    ledger.add(Flow.UNSERVED_NONCRITICAL, unservedNoncriticalW() * seconds);
    ledger.add(Flow.IMPORT, Math.max(0, service.panelW()) * seconds);
    ledger.add(Flow.EXPORT, Math.max(0, -service.panelW()) * seconds);
    ledger.add(Flow.UTILITY_SOURCE, service.sourceW() * seconds);
    ledger.add(Flow.SERVICE_LOSS, service.lossW() * seconds);
    ledger.add(Flow.LINE_LOAD, service.lineLoadW() * seconds);
    battery.advance(ledger);
    battery.cool(roomC());
    heatSink.advance(inverterLossW + idle * inverterShare, roomC(), seconds);
    ledger.endStep(battery.storedJ(), battery.wellsC(), now);
  }

  private static double square(double value) {
    return value * value;
  }

  /** Angles turn with their frequency, counted against the nominal one. */
  private void turn(double seconds) {
    double nominal = spec.utility().nominalHz();
    utilityAngleDeg = wrap(utilityAngleDeg + 360 * (utilityHz - nominal) * seconds);
    if (state == InverterState.FORMING) {
      islandAngleDeg = wrap(islandAngleDeg + 360 * (islandHz - nominal) * seconds);
    } else if (followsIsland) {
      islandAngleDeg = wrap(islandAngleDeg + 360 * (islandHz - nominal) * seconds);
      drift(seconds);
    } else if (parallel() && sourceBehind()) {
      islandAngleDeg = utilityAngleDeg;
      islandHz = utilityHz;
    }
  }

  /** Positive feedback of the anti-islanding, its push, and what missing vars do. */
  private void drift(double seconds) {
    double nominal = spec.utility().nominalHz();
    double off = islandHz - nominal;
    // Both ways in turn until the frequency gives way, since vars of the load could hold it against
    // either way alone; then on in the direction in which it went.
    boolean turn = Math.floorMod(now, 2 * PUSH_MICROS) >= PUSH_MICROS;
    double way = Math.abs(off) > GIVEN_WAY_HZ ? Math.signum(off) : turn ? -1 : 1;
    double missing = joint.vars(criticalPu) / Math.max(1, Math.abs(inverterW));
    double rate =
        spec.inverter().islandFeedbackPerS() * off
            + spec.inverter().islandKickHzPerS() * way
            + REACTIVE_RUN_OFF * missing;
    double hz = islandHz + rate * seconds;
    islandHz = Math.max(nominal - FARTHEST_RUN_OFF_HZ, Math.min(nominal + FARTHEST_RUN_OFF_HZ, hz));
  }

  private static double wrap(double degrees) {
    return degrees - 360 * Math.floor((degrees + 180) / 360);
  }

  /** Voltage of the utility's source, pu; 0 when it is open. */
  public double utilityVoltagePu() {
    return utilityLive ? utilityPu : 0;
  }

  /** Frequency of the utility's source, Hz; 0 when it is open. */
  public double utilityFrequencyHz() {
    return utilityLive ? utilityHz : 0;
  }

  /** True while a source stands behind the service. */
  public boolean utilityLive() {
    return utilityLive;
  }

  /**
   * Voltage on the line at our service, V: the source's while live, and what we put there when its
   * source is open (the truth about backfeed).
   */
  public double utilityLineV() {
    return service.lineV();
  }

  /** Power through the meter, W; import positive. */
  public double pccPowerW() {
    return service.panelW();
  }

  /** Reactive power through the meter, var; toward the site positive. */
  public double pccReactiveVar() {
    return service.panelVar();
  }

  /** Voltage of the main panel, pu. */
  public double mainVoltagePu() {
    return mainPu;
  }

  /** Frequency of the main panel, Hz; 0 when dead. */
  public double mainFrequencyHz() {
    if (mainPu < DEAD_PU) {
      return 0;
    }
    return sourceBehind() ? utilityHz : islandHz;
  }

  /** Voltage of the critical panel, pu. */
  public double criticalVoltagePu() {
    return criticalPu;
  }

  /** Frequency of the critical panel, Hz; 0 when dead. */
  public double criticalFrequencyHz() {
    if (criticalPu < DEAD_PU) {
      return 0;
    }
    return tieClosed && sourceBehind() ? utilityHz : islandHz;
  }

  /**
   * Angle of the critical panel ahead of the main panel, degrees, −180 to 180; 0 while the tie is
   * closed on one source, or when either side is dead.
   */
  public double angleDeg() {
    if ((tieClosed && !twoSources) || mainPu < DEAD_PU || criticalPu < DEAD_PU) {
      return 0;
    }
    return wrap(islandAngleDeg - utilityAngleDeg);
  }

  /** Voltage across the tie's open contact, pu; 0 when it is closed. */
  public double tieVoltagePu() {
    if (tieClosed) {
      return 0;
    }
    return acrossOpenSwitchPu(
        mainPu, criticalPu, StrictMath.toRadians(islandAngleDeg - utilityAngleDeg));
  }

  static double acrossOpenSwitchPu(double a, double b, double angleRad) {
    double half = StrictMath.sin(0.5 * angleRad);
    return Math.sqrt((a - b) * (a - b) + 4 * a * b * half * half);
  }

  /** Power of the critical circuits, W. */
  public double criticalPowerW() {
    return criticalW;
  }

  /** Reactive power of the critical circuits, var. */
  public double criticalReactiveVar() {
    return criticalVar;
  }

  /** Power of the non-critical circuits, W. */
  public double noncriticalPowerW() {
    return noncriticalW;
  }

  /** Reactive power of the non-critical circuits, var. */
  public double noncriticalReactiveVar() {
    return noncriticalVar;
  }

  /** Power of one circuit, W. */
  public double circuitPowerW(int circuit) {
    if (!circuitClosed[circuit]) {
      return 0;
    }
    CircuitSpec c = circuits[circuit];
    double w = wantedW[circuit];
    double pu =
        switch (c.panel()) {
          case CRITICAL -> criticalPu;
          case NONCRITICAL -> mainPu;
        };
    if (motors.starting(circuit)) {
      return startingW(circuit, w) * pu * pu;
    }
    return ZipLoad.at(w * c.zShare(), w * c.iShare(), w * c.pShare(), pu);
  }

  /** Power a circuit would take at nominal voltage if closed, W. */
  public double circuitWantedW(int circuit) {
    return wantedW[circuit];
  }

  /** True when the circuit's contactor is closed. */
  public boolean circuitClosed(int circuit) {
    return circuitClosed[circuit];
  }

  /** Number of circuits. */
  public int circuits() {
    return circuits.length;
  }

  /** Power that critical circuits want and don't get, W: open, or below 0.7 pu. */
  public double unservedCriticalW() {
    double starved = criticalPu < USABLE_PU ? Math.max(0, wantedCriticalW - criticalW) : 0;
    return openCriticalW + starved;
  }

  /** Power that non-critical circuits want and don't get, W: open, or below 0.7 pu. */
  public double unservedNoncriticalW() {
    double starved = mainPu < USABLE_PU ? Math.max(0, wantedNoncriticalW - noncriticalW) : 0;
    return openNoncriticalW + starved;
  }

  /** True when the tie's main contact is closed. */
  public boolean tieClosed() {
    return tieClosed;
  }

  /** True while a changeover switch stands between its sides. */
  public boolean between() {
    return between;
  }

  /** Voltage at the inverter's AC terminals, pu; with a tie it is the critical panel's. */
  public double inverterVoltagePu() {
    return transfer == Transfer.TIE ? criticalPu : inverterPu;
  }

  /** Frequency at the inverter's AC terminals, Hz; 0 when dead. */
  public double inverterFrequencyHz() {
    if (transfer == Transfer.TIE) {
      return criticalFrequencyHz();
    }
    return inverterPu < DEAD_PU ? 0 : islandHz;
  }

  /** Voltage at the charger's DC terminals, V. */
  public double chargerTerminalV() {
    return bus.chargerTerminalV();
  }

  /** Current from the charger into the bus, A. */
  public double chargerCurrentA() {
    return bus.chargerA();
  }

  /** Power from the main panel into the charger, W. */
  public double chargerPowerW() {
    return chargerAcW;
  }

  /** True while the inverter forms a voltage on a panel that the utility holds as well. */
  public boolean twoSources() {
    return twoSources;
  }

  /** Current that two sources drive through each other, A RMS before any limit; 0 otherwise. */
  public double circulatingA() {
    return circulatingA;
  }

  /** Power at the array's maximum power point, W. */
  public double pvAvailableW() {
    return array.availableW();
  }

  /** Power taken from the array, W. */
  public double pvPowerW() {
    return pvW;
  }

  /**
   * Voltage at the array, V; worked out when asked. With a PWM regulator: while its switch is
   * closed.
   */
  public double pvVoltageV() {
    return switch (spec.regulator().kind()) {
      case MPPT -> array.voltageV(pvW);
      case PWM ->
          bus.regulatorA() > 0
              ? bus.regulatorTerminalV() + spec.regulator().dropV()
              : array.voltageV(0);
    };
  }

  /** Current from the array, A; worked out when asked. */
  public double pvCurrentA() {
    double v = pvVoltageV();
    return v > 0 ? pvW / v : 0;
  }

  /** Irradiance in the array's plane, W/m². */
  public double pvIrradiance() {
    return array.irradiance();
  }

  /** Temperature of the array's cells, °C. */
  public double cellTemperatureC() {
    return array.cellC();
  }

  /** Temperature of the outside air, °C. */
  public double ambientTemperatureC() {
    return array.ambientC();
  }

  /** Voltage of the DC bus, V. */
  public double busVoltageV() {
    return bus.busV();
  }

  /** Voltage at the regulator's output terminals, V. */
  public double regulatorTerminalV() {
    return bus.regulatorTerminalV();
  }

  /** Voltage at the inverter's DC terminals, V. */
  public double inverterTerminalV() {
    return bus.busV() + bus.inverterA() * spec.inverter().cableOhm();
  }

  /** Voltage at the battery's terminals, V. */
  public double batteryTerminalV() {
    return battery.terminalV();
  }

  /** Current from the regulator into the bus, A. */
  public double regulatorCurrentA() {
    return bus.regulatorA();
  }

  /** Current from the inverter into the bus, A; negative when it feeds AC. */
  public double inverterDcCurrentA() {
    return bus.inverterA();
  }

  /** Current into the battery, A. */
  public double batteryCurrentA() {
    return battery.terminalA();
  }

  /** Power into the battery at its terminals, W. */
  public double batteryPowerW() {
    return battery.terminalV() * battery.terminalA();
  }

  /**
   * State of charge of all that is stored, 0 to 1; a bank driven into its last reserve below empty
   * still says 0, one overfilled says 1.
   */
  public double batterySoc() {
    return Math.max(0, Math.min(1, battery.soc()));
  }

  /** Share of the new battery's capacity that it has lost. */
  public double batteryFade() {
    return 1 - battery.health();
  }

  /** How the battery's contactor stands, by its auxiliary contacts. */
  public Contactor batteryContactor() {
    return contactorFailedOpen ? Contactor.OPEN : contactorOrdered;
  }

  /** Whether nothing can flow between battery and bus. */
  public boolean batteryCutOff() {
    return bus.contactor() == Contactor.OPEN;
  }

  /** Voltage the battery would come to rest at, V. */
  public double batteryRestingV() {
    return battery.restingV();
  }

  /** Temperature of the battery, °C. */
  public double batteryTemperatureC() {
    return battery.temperatureC();
  }

  /** Battery current that makes gas, A. */
  public double batteryGassingA() {
    return battery.gassingA();
  }

  /** Energy in the battery's wells, J. */
  public double storedJ() {
    return battery.storedJ();
  }

  /** What the inverter does. */
  public InverterState inverterState() {
    return state;
  }

  /** Power of the inverter at its AC terminals, W; positive into the critical panel. */
  public double inverterPowerW() {
    return inverterW;
  }

  /**
   * How hard the forming inverter works: its current in VA at nominal voltage, which is what its
   * ratings are made for. While it follows, or meets another source, the active power it gives, W.
   */
  public double inverterLoadVa() {
    if (state == InverterState.FORMING && !twoSources) {
      return carried().currentVa(inverterPu);
    }
    return Math.max(0, inverterW);
  }

  /** What the inverter may give for ever at its present heat sink temperature, W. */
  public double inverterRatingW() {
    return spec.inverter().ratedW() * heatSink.share() * inverterShare;
  }

  /** Temperature of the inverter's heat sink, °C; the room's when nothing is said of it. */
  public double heatSinkC() {
    return heatSink.celsius();
  }

  /** Power that the loads on a forming inverter want at full voltage, W; 0 when not forming. */
  public double inverterDemandW() {
    if (state != InverterState.FORMING) {
      return 0;
    }
    return carried().watts(islandPu);
  }

  /** True when the inverter is on and its DC terminals are below its lowest working voltage. */
  public boolean inverterUndervoltage() {
    return state != InverterState.OFF && inverterTerminalV() < spec.inverter().dcMinimumV();
  }

  /** True when the inverter's DC terminals are above its highest voltage, on or off. */
  public boolean inverterOvervoltage() {
    return inverterTerminalV() > spec.inverter().dcMaximumV();
  }

  /** Energy through the meter from the utility since the start, J. */
  public double importJ() {
    return ledger.joules(Flow.IMPORT);
  }

  /** Energy through the meter to the utility since the start, J. */
  public double exportJ() {
    return ledger.joules(Flow.EXPORT);
  }

  /** All energies since the start. */
  public Ledger ledger() {
    return ledger;
  }

  /** The parts. */
  public PlantSpec spec() {
    return spec;
  }
}
