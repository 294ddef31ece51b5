package islet.control;

import islet.contract.AlarmId;
import islet.contract.Authority;
import islet.contract.ChargeStage;
import islet.contract.Forced;
import islet.contract.InverterOrder;
import islet.contract.Mode;
import islet.contract.SupervisorCommand;
import islet.contract.TieOrder;
import islet.contract.TieTrip;
import islet.site.Dispatch;
import islet.site.Site;

/**
 * Islet's own supervisor: judges the utility and the battery, steps the mode machine, divides the
 * charging current, and lets nothing past the interlocks.
 */
public final class SiteSupervisor implements Supervisor {

  private static final long TEMPERATURE_MICROS = 5_000_000;
  private static final long CONTRADICTED_MICROS = 1_000_000;

  /** Trade begins again only when so much lies above what is kept (common practice). */
  private static final double ABOVE = 0.05;

  /** As good as a count by a shunt is held to be (common practice). */
  private static final double FLOOR_MARGIN = 0.05;

  /** The tie tells a padlock at once; twice its period of 1 Hz later the order was lost. */
  private static final long LOST_MICROS = 2_000_000;

  /** The meter tells a change at once; so long it may be a report on its way. */
  private static final long CONTACTOR_MICROS = 1_000_000;

  private final Site site;
  private final GridQualification grid;
  private final BatteryEstimate battery;
  private final ChargeSchedule schedule;
  private final ChargeCoordinator coordinator;
  private final LoadShedding shedding;
  private final AlarmBoard alarms = new AlarmBoard();
  private final HoldBoard holds = new HoldBoard();
  private final OverrideBoard overrides = new OverrideBoard();
  private final WarningBoard warnings = new WarningBoard();
  private final UtilityTrust trust = new UtilityTrust();
  private final PriceTrade trade;
  private final RoundTrip roundTrip;
  private final boolean plans;
  private final DayAhead ahead;
  private boolean wasWarned;

  /** Whether the battery is above what is kept from trade. */
  private boolean above;

  private final Situation situation;
  private final long troubleMicros;
  private Mode told = Mode.STARTING;
  private boolean wasClosed;

  private long lostSince = Long.MAX_VALUE;
  private int repeated;

  /** Holds that the tie may not know of, counted down from the highest. */
  private int untold;

  /** A supervisor for a site, which begins in STARTING. */
  public SiteSupervisor(Site site) {
    this.site = site;
    grid = new GridQualification(site);
    battery = new BatteryEstimate(site);
    schedule = new ChargeSchedule(site, warnings, trust);
    trade = new PriceTrade(site);
    roundTrip = new RoundTrip(site);
    plans = site.supervision().dispatch().plan() == Dispatch.Plan.OPTIMAL;
    ahead = new DayAhead(site, schedule);
    coordinator = new ChargeCoordinator(site);
    shedding = new LoadShedding(site);
    troubleMicros = GridQualification.micros(site.supervision().linkTimeoutS() + 2);
    situation = new Situation(site, grid, battery, alarms, holds, schedule);
  }

  @Override
  public void scan(Inputs in, long nowMicros, Outputs out) {
    out.begin();
    alarms.begin(nowMicros, out);
    overrides.begin(nowMicros, out);
    warnings.begin(nowMicros, out);
    judgeUtility(in, nowMicros);
    trust.watch(grid.state(), nowMicros);
    battery.measure(in, nowMicros, out);
    roundTrip.measure(in, battery.belief(), nowMicros);
    situation.observe(in, out, nowMicros);
    if (in.operatorAsks()) {
      heed(in.operator(), nowMicros, out);
    } else if (untold > 0 && mayTellHolds()) {
      repeatHold(out);
    } else {
      repeatLostHold(nowMicros, out);
    }
    step(out);
    charge(in, nowMicros, out);
    order(out);
    interlock(out);
    ring(in, out);
    tell(nowMicros, out);
  }

  /**
   * A tie that is there is told of its padlocks, even though a device that is missing keeps all
   * else waiting.
   */
  private boolean mayTellHolds() {
    return situation.phase() != Phase.LISTEN || situation.startTimedOut();
  }

  private void judgeUtility(Inputs in, long now) {
    if (now - in.meterAt() <= BatteryEstimate.FRESH_MICROS) {
      grid.passed(in.meterLowestPu(), in.meterHighestPu(), in.meterLowestHz(), in.meterHighestHz());
    }
    if (now - in.tieAt() <= BatteryEstimate.FRESH_MICROS) {
      if (wasClosed && !in.tie().closed() && in.tie().trip() != TieTrip.NONE) {
        grid.tripped();
      }
      wasClosed = in.tie().closed();
      grid.passed(in.lowestPu(), in.highestPu(), in.lowestHz(), in.highestHz());
      grid.measure(in.tie().utilityVoltagePu(), in.tie().utilityFrequencyHz(), now);
    } else if (now - in.meterAt() <= BatteryEstimate.FRESH_MICROS) {
      grid.measure(in.meter().utilityVoltagePu(), in.meter().utilityFrequencyHz(), now);
    } else {
      grid.blind();
    }
  }

  private void heed(SupervisorCommand command, long now, Outputs out) {
    switch (command.order()) {
      case ISLAND -> situation.askIsland(true);
      case RECONNECT -> situation.askIsland(false);
      case SHELVE -> out.refusal = alarms.shelve(command.key(), command.forS(), out);
      case UNSHELVE -> out.refusal = alarms.unshelve(command.key(), out);
      case OVERRIDE -> out.refusal = overrides.force(command.key(), command.forS(), now, out);
      case END_OVERRIDE -> out.refusal = overrides.end(command.key(), out);
      case EQUALISE -> out.refusal = coordinator.askEqualise();
      case WARN -> out.refusal = warnings.warn(command.key(), command.forS(), now, out);
      case ALL_CLEAR -> out.refusal = warnings.clear(command.key(), out);
      case AUTO -> takeOver(false, out);
      case MANUAL -> takeOver(true, out);
      case HOLD -> {
        if (holds.place(command.key())) {
          out.holdKey = command.key();
          out.holdPlaced = true;
          out.event("hold", "", command.key(), "maintenance hold placed");
        }
      }
      case RELEASE -> {
        // What the tie says counts: a hold may hang there that this supervisor knows nothing of.
        if (holds.release(command.key()) || situation.heldByTie()) {
          out.holdKey = command.key();
          out.holdPlaced = false;
          out.event("hold", command.key(), "", "maintenance hold released");
        }
      }
      case ACKNOWLEDGE -> alarms.acknowledge(command.key(), out);
      case RESET -> situation.askReset();
    }
  }

  private void takeOver(boolean manual, Outputs out) {
    if (situation.manual() != manual) {
      String auto = Authority.AUTO.name();
      String hand = Authority.MANUAL.name();
      out.event("authority", manual ? auto : hand, manual ? hand : auto, "ordered by a person");
    }
    situation.takeOver(manual);
  }

  /** After a restart nobody knows whether the tie heard of a hold, so it is told again. */
  private void repeatHold(Outputs out) {
    untold = Math.min(untold, holds.count()) - 1;
    if (untold >= 0) {
      out.holdKey = holds.key(untold);
      out.holdPlaced = true;
    }
  }

  /** The tie says for so long that no padlock hangs, and here one does: the order was lost. */
  private void repeatLostHold(long now, Outputs out) {
    boolean lost = holds.any() && situation.tieHeard() && !situation.heldByTie();
    if (!lost) {
      lostSince = Long.MAX_VALUE;
      return;
    }
    lostSince = Math.min(lostSince, now);
    if (now - lostSince >= LOST_MICROS) {
      lostSince = now;
      repeated = repeated % holds.count();
      out.holdKey = holds.key(repeated++);
      out.holdPlaced = true;
    }
  }

  private void step(Outputs out) {
    for (ModeRow row : ModeTable.rows(situation.phase())) {
      if (row.condition().holds(situation)) {
        row.action().run(situation);
        situation.enter(row.to());
        Mode mode = row.to().mode();
        if (mode != told) {
          out.event("mode", told.name(), mode.name(), row.on());
          told = mode;
        }
        return;
      }
    }
  }

  private void charge(Inputs in, long now, Outputs out) {
    schedule.decide(battery.soc(), now, out);
    if (plans) {
      if (warnings.any() != wasWarned) {
        wasWarned = warnings.any();
        ahead.astir(now);
      }
      ahead.follow(in, battery, roundTrip, now, out);
      if (ahead.planned(now)) {
        schedule.planned(
            ahead.wish(now) == DayAhead.Wish.CHARGE,
            ahead.chargeA(roundTrip, battery.voltageV(), now));
      }
    }
    out.exportLimitW = schedule.mayExport(now) ? Double.POSITIVE_INFINITY : 0;
    boolean connected = situation.phase() == Phase.CONNECTED && grid.present();
    boolean feeds = connected && site.arrangement().mayFeed();
    // A charger of its own works whenever the utility is there, wherever the loads hang.
    boolean served = site.arrangement().hasCharger() ? grid.present() : connected;
    double ceilingW = feeds ? situation.rampShare() * site.inverter().ratedW() : 0;
    coordinator.decide(
        in,
        battery.belief(),
        served && mayCharge(),
        schedule.limitA(),
        feeds && !overrides.stands(Forced.FEED_OFF),
        ceilingW,
        out,
        now);
    if (coordinator.full()) {
      battery.full();
    }
    boolean trades =
        feeds
            && !mayCharge()
            && !situation.manual()
            && !situation.batteryEmpty()
            && !overrides.stands(Forced.FEED_OFF);
    followReserve();
    if (plans && ahead.planned(now)) {
      carryOut(in, trades, ceilingW, now, out);
    } else {
      trade.decide(trades, above, roundTrip.share(), now, out);
      give(in, ceilingW, now, out);
    }
    if (battery.voices() == 0) {
      // Without a voltage nobody charges: the devices' own set points are no better informed than
      // we.
      out.regulatorEnabled = false;
      out.chargeLimitA = 0;
      out.chargerEnabled = false;
      out.chargerLimitA = 0;
      out.feedLimitW = 0;
    }
    boolean islanded =
        switch (situation.phase()) {
          case FORM, CARRY, SYNCHRONISE, CLOSE_TIE, UNSUPPLIED -> true;
          case LISTEN, CONNECTED, UNLOAD_TIE, OPEN_TIE, CLOSE_ON_DEAD_PANEL, WAIT_FOR_PERSON ->
              false;
        };
    out.shedCount = shedding.decide(battery.soc(), islanded, situation.overloads());
    if (overrides.stands(Forced.SHED_ALL)) {
      out.shedCount = site.supervision().shedding().size();
    }
    if (overrides.stands(Forced.REGULATOR_OFF)) {
      out.regulatorEnabled = false;
    }
  }

  /** The battery gives, as the prices say: the loads by itself, or all that may leave the site. */
  private void give(Inputs in, double ceilingW, long now, Outputs out) {
    if (trade.trade() == Dispatch.Trade.NONE) {
      return;
    }
    boolean loadsOnly = trade.trade() == Dispatch.Trade.LOADS;
    // Near full, a sun that gives more than the loads draw would be held back to nothing.
    if (loadsOnly && out.stage != ChargeStage.BULK && PriceTrade.sunCovers(in, now)) {
      return;
    }
    giveFromBattery(out);
    out.feedLimitW = ceilingW;
    if (loadsOnly) {
      out.exportLimitW = 0;
    }
  }

  /** What the plan wants of this hour, as far as the battery is above its reserve. */
  private void carryOut(Inputs in, boolean may, double ceilingW, long now, Outputs out) {
    DayAhead.Wish wish = ahead.wish(now);
    boolean gives = wish == DayAhead.Wish.CARRY || wish == DayAhead.Wish.EXPORT;
    if (!may || !gives || !above) {
      return;
    }
    boolean nearFull = out.stage != ChargeStage.BULK;
    if (nearFull && (!ahead.discharges(now) || PriceTrade.sunCovers(in, now))) {
      // The ordinary feed serves the loads and lets the rest go.
      return;
    }
    giveFromBattery(out);
    out.feedLimitW = ceilingW;
    out.exportLimitW =
        wish == DayAhead.Wish.EXPORT ? Math.min(out.exportLimitW, ahead.exportW(now)) : 0;
  }

  /**
   * What is kept from trade: the reserve, and a little above the floor, where a count that has not
   * seen a full battery for long is not good enough to play with.
   */
  private double keptSoc() {
    return Math.max(schedule.reserveSoc(), site.battery().limits().floorSoc() + FLOOR_MARGIN);
  }

  /** Once at what is kept the battery gives again only when well above it. */
  private void followReserve() {
    double sureSoc = battery.sureSoc();
    double kept = keptSoc();
    if (sureSoc <= kept) {
      above = false;
    } else if (sureSoc >= Math.min(1, kept + ABOVE)) {
      above = true;
    }
  }

  @Override
  public boolean wantsToThink() {
    return plans && ahead.asks();
  }

  @Override
  public void think() {
    ahead.think();
  }

  /** The inverter never feeds below the voltage to which it would charge. */
  private void giveFromBattery(Outputs out) {
    out.chargeLimitA = 0;
    out.chargeVoltageV = site.battery().limits().disconnectV();
    out.feedVoltageV = out.chargeVoltageV;
  }

  /** By hand the utility charges when a person says so; what falls below the reserve waits too. */
  private boolean mayCharge() {
    return overrides.stands(Forced.CHARGE_NOW)
        || (schedule.allowed() && !situation.manual() && !overrides.stands(Forced.CHARGE_OFF));
  }

  private void order(Outputs out) {
    out.islandPermit = false;
    out.chargingOrdered = situation.phase() != Phase.LISTEN;
    switch (situation.phase()) {
      case LISTEN -> {}
      case CONNECTED -> {
        if (situation.standbyRests()) {
          inverter(InverterOrder.OFF, out);
        } else {
          standBy(out);
        }
        out.islandPermit = !situation.batteryEmpty();
      }
      case UNLOAD_TIE -> {
        standBy(out);
        unload(out);
        out.islandPermit = !situation.batteryEmpty();
      }
      case OPEN_TIE -> {
        tie(TieOrder.OPEN, out);
        standBy(out);
        if (situation.leavesUnloaded()) {
          unload(out);
        }
        out.islandPermit = !situation.batteryEmpty();
      }
      case FORM, CARRY -> {
        tie(TieOrder.OPEN, out);
        inverter(InverterOrder.FORM, out);
        out.islandPermit = true;
      }
      case SYNCHRONISE -> {
        carryWhileReturning(out);
        out.islandPermit = true;
      }
      case CLOSE_TIE -> {
        tie(TieOrder.CLOSE, out);
        carryWhileReturning(out);
        out.islandPermit = true;
      }
      case CLOSE_ON_DEAD_PANEL -> {
        tie(TieOrder.CLOSE, out);
        inverter(InverterOrder.OFF, out);
      }
      case UNSUPPLIED -> {
        tie(TieOrder.OPEN, out);
        inverter(InverterOrder.OFF, out);
      }
      case WAIT_FOR_PERSON -> {
        inverter(InverterOrder.OFF, out);
        if (grid.lost()) {
          tie(TieOrder.OPEN, out);
        }
      }
    }
  }

  /** Behind a tie the inverter follows; beside a changeover switch it runs on, ready to carry. */
  private void standBy(Outputs out) {
    if (situation.tied()) {
      inverter(InverterOrder.FOLLOW, out);
    } else {
      inverter(situation.mayStandBy() ? InverterOrder.FORM : InverterOrder.OFF, out);
    }
  }

  /**
   * The inverter feeds what the panel draws, from the battery as well as from the sun, as the
   * island will live.
   */
  private void unload(Outputs out) {
    giveFromBattery(out);
    out.feedLimitW = Math.min(situation.panelDrawW(), site.inverter().ratedW());
  }

  /** Only what shall meet the utility has to come into step with it. */
  private void carryWhileReturning(Outputs out) {
    inverter(situation.tied() ? InverterOrder.SYNCHRONISE : InverterOrder.FORM, out);
  }

  private void tie(TieOrder order, Outputs out) {
    if (!site.arrangement().hasSwitch()
        || site.changeover().map(Site.Changeover::manual).orElse(false)) {
      return;
    }
    out.tie = order;
    out.tieOrdered = true;
  }

  private static void inverter(InverterOrder order, Outputs out) {
    out.inverter = order;
    out.inverterOrdered = true;
  }

  /** Holds in every mode, whatever was decided above. */
  private void interlock(Outputs out) {
    if (out.tieOrdered && out.tie == TieOrder.CLOSE && !situation.mayClose()) {
      out.tieOrdered = false;
    }
    if (out.inverterOrdered
        && (out.inverter == InverterOrder.FORM || out.inverter == InverterOrder.SYNCHRONISE)
        && !situation.mayForm()) {
      // An OFF sent blindly would end an island that stands well; the inverter's own interlock with
      // the tie's contact holds without us.
      out.inverterOrdered = !situation.islandUnknown();
      boolean behindClosedTie = situation.tied() && situation.tieClosedByContact();
      out.inverter = behindClosedTie ? InverterOrder.FOLLOW : InverterOrder.OFF;
      // As on the utility: with its permit it takes over when the contact opens again, also when
      // this order comes late and finds it open already.
      out.islandPermit = behindClosedTie && !situation.batteryEmpty();
    }
    double maximumV = site.battery().limits().maximumV();
    double maximumA = site.battery().limits().maximumChargeA();
    out.regulatorVoltageV = Math.min(out.regulatorVoltageV, maximumV);
    out.chargeVoltageV = Math.min(out.chargeVoltageV, maximumV);
    out.chargeLimitA = Math.min(out.chargeLimitA, maximumA);
    out.chargerVoltageV = Math.min(out.chargerVoltageV, maximumV);
    out.chargerLimitA = Math.min(out.chargerLimitA, site.utilityChargeA());
    if (out.inverter != InverterOrder.FOLLOW) {
      out.chargeLimitA = 0;
      out.feedLimitW = 0;
    }
    if (situation.batteryEmpty() || overrides.stands(Forced.FEED_OFF)) {
      out.feedLimitW = 0;
    }
  }

  private void ring(Inputs in, Outputs out) {
    boolean settled = situation.phase() != Phase.LISTEN;
    alarms.follow(AlarmId.DEVICE_SILENT, settled && situation.anySilent(), 0, out);
    alarms.follow(AlarmId.SENSORS_DISAGREE, settled && battery.doubtful(), 0, out);
    alarms.follow(
        AlarmId.BATTERY_COLD_OR_HOT,
        settled && coordinator.outsideTemperature(),
        TEMPERATURE_MICROS,
        out);
    alarms.follow(
        AlarmId.BATTERY_CONTACTOR_OPEN, settled && coordinator.apart(), CONTACTOR_MICROS, out);
    // Later than silence is found, so that a device that is gone rings one alarm and not two.
    alarms.follow(
        AlarmId.COMMAND_REFUSED, in.commandTrouble() && !situation.anySilent(), troubleMicros, out);
    alarms.follow(AlarmId.BAD_MESSAGE, in.badMessage(), 0, out);
    alarms.follow(AlarmId.JOURNAL_FAILED, in.journalTrouble(), 0, out);
    if (site.arrangement().hasChangeover()) {
      alarms.follow(
          AlarmId.TIE_DOUBTFUL,
          settled && situation.contactContradicted(),
          CONTRADICTED_MICROS,
          out);
    }
    alarms.follow(AlarmId.OVERRIDE_ACTIVE, overrides.any(), 0, out);
    if (situation.startTimedOut()) {
      alarms.raise(AlarmId.START_TIMEOUT, out);
    }
    if (settled) {
      alarms.lower(AlarmId.START_TIMEOUT, out);
    }
    if (settled && situation.phase() != Phase.WAIT_FOR_PERSON) {
      alarms.lower(AlarmId.CONTRADICTION, out);
    }
    if (situation.phase() == Phase.CONNECTED) {
      alarms.lower(AlarmId.TIE_NOT_CLOSED, out);
      alarms.lower(AlarmId.SYNC_TIMEOUT, out);
    }
    if (situation.openOverdue()) {
      // Whether it is given up hangs on the link; that it has not opened is known.
      alarms.raise(AlarmId.TIE_NOT_OPEN, out);
    }
    if (!situation.strandedByHand()) {
      alarms.lower(AlarmId.SWITCH_BY_HAND, out);
    }
    if (situation.phase() == Phase.CARRY || situation.phase() == Phase.CONNECTED) {
      alarms.lower(AlarmId.TIE_NOT_OPEN, out);
      if (situation.tied()) {
        alarms.lower(AlarmId.TIE_DOUBTFUL, out);
      }
      alarms.lower(AlarmId.INVERTER_NOT_FORMING, out);
      if (situation.standbyDown()) {
        alarms.raise(AlarmId.INVERTER_TRIPPED, out);
      } else {
        alarms.lower(AlarmId.INVERTER_TRIPPED, out);
      }
    }
    if (!situation.batteryEmpty()) {
      alarms.lower(AlarmId.BATTERY_LOW, out);
    }
    if (battery.voices() > 0) {
      alarms.lower(AlarmId.NO_BATTERY_VOLTAGE, out);
    }
  }

  private void tell(long now, Outputs out) {
    out.mode = situation.phase().mode();
    out.grid = grid.state();
    out.tieClosed = situation.tieClosedByContact();
    out.batteryVoltageV = battery.voltageV();
    out.soc = battery.soc();
    out.voltageSoc = battery.voltageSoc();
    out.doubts = battery.doubts();
    out.reserveSoc = schedule.reserveSoc();
    out.qualifiedInS = grid.qualifiedInS(now);
    out.authority = situation.manual() ? Authority.MANUAL : Authority.AUTO;
    out.overrides = overrides.text();
    out.warned = warnings.any();
    out.confidence = schedule.confidence();
  }

  @Override
  public void keep(Keepsake keepsake) {
    situation.keep(keepsake);
    battery.keep(keepsake);
    int before = holds.count();
    holds.keep(keepsake);
    untold += holds.count() - before;
    alarms.keep(keepsake);
    overrides.keep(keepsake);
    coordinator.keep(keepsake);
    warnings.keep(keepsake);
    trust.keep(keepsake);
    roundTrip.keep(keepsake);
    if (plans) {
      ahead.keep(keepsake);
    }
  }

  /** Hands in what the supervisor and its parts remember, in a fixed order. */
  void remember(Memory memory) {
    rememberCourse(memory);
    rememberMeasured(memory);
    alarms.remember(memory);
  }

  /** Where its sequences stand, and what a person has asked: what the mode machine goes by. */
  void rememberCourse(Memory memory) {
    situation.remember(memory);
    grid.remember(memory);
    battery.rememberCourse(memory);
    holds.remember(memory);
    overrides.remember(memory);
    told = memory.word("told", told);
    wasClosed = memory.flag("was closed", wasClosed);
    untold = (int) memory.count("untold holds", untold);
  }

  /** What was measured and counted, and what charging, shedding and trade make of it. */
  void rememberMeasured(Memory memory) {
    battery.remember(memory);
    schedule.remember(memory);
    coordinator.remember(memory);
    shedding.remember(memory);
    warnings.remember(memory);
    trust.remember(memory);
    trade.remember(memory);
    roundTrip.remember(memory);
    above = memory.flag("above reserve", above);
    if (plans) {
      ahead.remember(memory);
      wasWarned = memory.flag("was warned", wasWarned);
    }
    lostSince = memory.instant("hold lost", lostSince);
    repeated = (int) memory.count("hold repeated", repeated);
  }

  /** When the phase of the last scan was entered, microseconds since 1970. */
  public long phaseSince() {
    return situation.enteredAt();
  }

  /** Hears what the lines of the mode machine's table wait for. */
  @FunctionalInterface
  public interface Waiting {
    /**
     * Something counts.
     *
     * @param row the line's number, from 1
     * @param passedS for how long it has been so, s
     * @param limitS how long it takes, s
     */
    void counts(int row, Wait wait, double passedS, double limitS);
  }

  /**
   * Tells what the lines that were read last wait for by time, as of the last scan; for whoever
   * looks on. Changes nothing.
   */
  public void waits(Waiting waiting) {
    for (ModeRow row : ModeTable.rows(situation.phase())) {
      if (!row.where().holds(situation)) {
        continue;
      }
      for (Wait wait : row.waits()) {
        long counted = situation.counted(wait);
        if (counted != Situation.NOT_COUNTING) {
          waiting.counts(ModeTable.number(row), wait, counted / 1e6, situation.limit(wait) / 1e6);
        }
      }
    }
  }

  /** The phase after the last scan. */
  public Phase phase() {
    return situation.phase();
  }
}
