package islet.control;

import islet.contract.AlarmId;
import islet.contract.InverterState;
import islet.contract.InverterTrip;
import islet.contract.Lifetime;
import islet.contract.TieTelemetry;
import islet.site.GridProfile.SyncLimits;
import islet.site.Site;
import islet.site.Site.Arrangement;
import islet.site.Site.Changeover;
import islet.site.Site.Timeouts;

/**
 * How things stand in one scan, in the words of the mode machine's table. Every question is
 * answered from fresh telemetry; what is not known counts as the dangerous case.
 */
final class Situation {

  /**
   * A bus below this is dead (IEEE Std 1547-2018 speaks of de-energised; the figure is common
   * practice).
   */
  static final double DEAD_PU = 0.1;

  /**
   * The panel lives from here on (range B of ANSI C84.1, from memory, taken with a little room).
   */
  private static final double ALIVE_PU = 0.85;

  /** In step means in step for this long, so that a passing coincidence does not close the tie. */
  private static final long IN_STEP_MICROS = 300_000;

  /**
   * Voltage on the utility side so soon after forming, and of our very frequency, is ours. The
   * inverter forms a little off nominal, so that a utility which happens to return just then is not
   * taken for us.
   */
  private static final long SUSPECT_MICROS = 2_000_000;

  private static final double SUSPECT_DEG = 2;
  private static final double SUSPECT_HZ = 0.02;

  /**
   * The sync check before closing uses this part of the profile's limits, so that what drifts until
   * the contact touches stays inside.
   */
  private static final double SYNC_SHARE = 0.5;

  /** Two sides of one closed switch never differ by so much, per unit. */
  private static final double DIFFER_PU = 0.3;

  private static final double UNHEARD = -1;

  /** Nothing is so that would have to last. */
  static final long NOT_COUNTING = -1;

  private static final long DIFFER_MICROS = 1_000_000;

  /**
   * A tie that carries less than this part of the inverter's rating is unloaded (common practice).
   */
  private static final double UNLOADED_SHARE = 0.02;

  /** For so long, in which meter and inverter have both reported again. */
  private static final long UNLOADED_MICROS = 1_000_000;

  /** Both report each second and at every change; so much older than the other's is old news. */
  private static final long OUTDATED_MICROS = 500_000;

  /**
   * Telemetry comes at 1 Hz; who has given nothing for five periods gives nothing (common
   * practice).
   */
  private static final long BLIND_MICROS = 5_000_000;

  /**
   * A scan that comes so late was kept from looking: a pause, or a clock that was set. Five cycles
   * of the usual 100 ms.
   */
  private static final long LOOKED_AWAY_MICROS = 500_000;

  /** For this part of the start's time-out all devices are waited for (common practice). */
  private static final double PATIENT_SHARE = 0.5;

  private static final long EMPTY_MICROS = 30_000_000;
  private static final long RETRY_MICROS = 30_000_000;

  /**
   * So many starts in a row may fail; then the island waits for a person or the utility (common
   * practice).
   */
  private static final int MOST_FAILED_STARTS = 3;

  /** An island that has stood for so long counts as a good start. */
  private static final long GOOD_START_MICROS = 600_000_000;

  /** The tie reports a change at once; a contact that is silent for this long proves nothing. */
  private static final long PROOF_MICROS = 3_000_000;

  private final Site site;
  private final GridQualification grid;
  private final BatteryEstimate battery;
  private final AlarmBoard alarms;
  private final Timeouts timeouts;
  private final SyncLimits sync;
  private final HoldBoard holds;

  /** A tie joins both sources on one panel; a changeover switch keeps them apart. */
  private final boolean tied;

  /** There is a tie or a changeover switch; without one nothing ever joins the utility. */
  private final boolean switched;

  private final boolean byHand;
  private final boolean prefersBattery;
  private final double batteryAboveSoc;

  private Inputs in = new Inputs();
  private Outputs out = new Outputs();
  private final ChargeSchedule schedule;
  private long now;
  private Phase phase = Phase.LISTEN;
  private long enteredAt = Inputs.NEVER;
  private long formedAt = Inputs.NEVER;
  private long stepSince = Long.MAX_VALUE;
  private long lowSince = Long.MAX_VALUE;
  private long notFormingSince = Long.MAX_VALUE;
  private long differSince = Long.MAX_VALUE;
  private long liveSince = Long.MAX_VALUE;
  private boolean foreignSeen;
  private long blindSince = Long.MAX_VALUE;
  private long unloadedSince = Long.MAX_VALUE;

  /** By the tie's own clock: since when its contact has said closed. */
  private long closedSince = Long.MAX_VALUE;

  /** By the tie's own clock: since when it has said open. */
  private long openSince = Long.MAX_VALUE;

  /** By the inverter's own clock: since when it has said that it forms nothing. */
  private long deniedSince = Long.MAX_VALUE;

  /** When orders were last seen not to reach the tie, or the inverter, in time. */
  private long tieUnheededAt = Inputs.NEVER;

  private long inverterUnheededAt = Inputs.NEVER;

  private long observedAt = Inputs.NEVER;
  private boolean utilitySideDeadSinceForming;
  private boolean empty;
  private boolean islandAsked;
  private boolean manual;

  /** Under manual authority: a person has asked to go back, or to start. */
  private boolean asked;

  private boolean reset;
  private long retryAt = Inputs.NEVER;

  /** When the pause before the next try began; nothing is decided by it. */
  private long retryFrom = Inputs.NEVER;

  private long rampFrom = Inputs.NEVER;
  private int failedStarts;
  private int overloads;

  /** Starts the inverter again when it has tripped while it stands by. */
  private final StandbyRestart standby = new StandbyRestart(MOST_FAILED_STARTS, RETRY_MICROS);

  Situation(
      Site site,
      GridQualification grid,
      BatteryEstimate battery,
      AlarmBoard alarms,
      HoldBoard holds,
      ChargeSchedule schedule) {
    this.site = site;
    this.schedule = schedule;
    this.grid = grid;
    this.battery = battery;
    this.alarms = alarms;
    this.holds = holds;
    timeouts = site.supervision().timeouts();
    sync = site.profile().sync();
    Arrangement arrangement = site.arrangement();
    tied = arrangement.hasTie();
    switched = arrangement.hasSwitch();
    byHand = site.changeover().map(Changeover::manual).orElse(false);
    prefersBattery =
        site.changeover().map(c -> c.prefer() == Changeover.Prefer.BATTERY).orElse(false);
    batteryAboveSoc = site.changeover().map(Changeover::batteryAboveSoc).orElse(1.0);
  }

  /** Takes the images of a scan and follows what takes time. */
  void observe(Inputs image, Outputs orders, long instant) {
    in = image;
    out = orders;
    now = instant;
    boolean lookedAway = observedAt != Inputs.NEVER && now - observedAt > LOOKED_AWAY_MICROS;
    observedAt = now;
    if (in.tieUnheeded()) {
      tieUnheededAt = now;
    }
    if (in.inverterUnheeded()) {
      inverterUnheededAt = now;
    }
    boolean deaf = phase != Phase.LISTEN && cutOff();
    if (enteredAt == Inputs.NEVER || lookedAway || deaf) {
      // Time in which no proof could come is not held against it.
      enteredAt = instant;
    }
    boolean contact = in.tieAt() != Inputs.NEVER && in.tie().closed();
    closedSince = contact ? Math.min(closedSince, in.tie().at()) : Long.MAX_VALUE;
    openSince = open() ? Math.min(openSince, in.tie().at()) : Long.MAX_VALUE;
    boolean step = differencesSmall();
    stepSince = step ? Math.min(stepSince, now) : Long.MAX_VALUE;
    boolean denies = fresh(in.inverterAt()) && !forming();
    if (denies) {
      // Silence is no denial: an island does not begin anew when its inverter is heard again.
      formedAt = Inputs.NEVER;
    } else if (forming() && formedAt == Inputs.NEVER) {
      formedAt = now;
    }
    deniedSince = denies ? Math.min(deniedSince, in.inverter().at()) : Long.MAX_VALUE;
    notFormingSince = seenNotForming() ? Math.min(notFormingSince, now) : Long.MAX_VALUE;
    boolean orphan = open() && fresh(in.inverterAt()) && !forming() && panelPu() >= ALIVE_PU;
    liveSince = orphan ? Math.min(liveSince, now) : Long.MAX_VALUE;
    differSince = sidesDiffer() ? Math.min(differSince, now) : Long.MAX_VALUE;
    // An OFF to an inverter that is not heard would come late, and end an island that stands well.
    boolean blind = battery.voices() == 0 && fresh(in.inverterAt());
    blindSince = blind ? Math.min(blindSince, now) : Long.MAX_VALUE;
    boolean unloaded = phase == Phase.UNLOAD_TIE && powersMatch();
    unloadedSince = unloaded ? Math.min(unloadedSince, now) : Long.MAX_VALUE;
    followUtilitySide();
    followForeignVoltage();
    followBattery();
    // An inverter that stops at the battery's floor is not at fault.
    standby.observe(
        phase == Phase.CONNECTED, inverterTripped() && !empty, inverterRuns(), !manual, now);
    if (phase == Phase.CONNECTED || (phase == Phase.CARRY && now - enteredAt > GOOD_START_MICROS)) {
      failedStarts = 0;
    }
    if (phase == Phase.CONNECTED) {
      asked = false;
      // What was shed for an overload comes back with the utility, or when a person resets.
      overloads = 0;
    }
  }

  /**
   * Remembers whether the utility's side was dead before we formed. With its permit the inverter
   * may form between two scans, so a voltage that is there while it forms takes nothing back; but a
   * utility with which we come into step lives by itself.
   */
  private void followUtilitySide() {
    boolean dead = in.lowestPu() < DEAD_PU;
    switch (phase) {
      case CONNECTED, UNLOAD_TIE, OPEN_TIE, UNSUPPLIED, CLOSE_TIE -> {
        if (dead) {
          utilitySideDeadSinceForming = true;
        } else if (!forming()) {
          utilitySideDeadSinceForming = false;
        }
      }
      case SYNCHRONISE -> utilitySideDeadSinceForming &= dead;
      case LISTEN, FORM, CARRY, CLOSE_ON_DEAD_PANEL, WAIT_FOR_PERSON -> {}
    }
  }

  private void followBattery() {
    boolean low =
        battery.voices() > 0 && battery.voltageV() <= site.battery().limits().disconnectV();
    lowSince = low ? Math.min(lowSince, now) : Long.MAX_VALUE;
    boolean disconnected =
        fresh(in.inverterAt())
            && in.inverter().state() == InverterState.FAULT
            && in.inverter().trip() == InverterTrip.DC_LOW;
    boolean lowForLong = low && now - lowSince >= limit(Wait.LOW);
    // The inverter's low-voltage disconnect says the same as the floor, whatever the count says.
    if (lowForLong
        || disconnected
        || (battery.known() && battery.sureSoc() <= site.battery().limits().floorSoc())) {
      empty = true;
    } else if (empty
        && battery.voices() > 0
        && battery.soc() >= site.battery().limits().recoverySoc()
        && battery.voltageV() >= site.battery().limits().reconnectV()) {
      empty = false;
    }
  }

  void enter(Phase next) {
    if (next == Phase.FORM) {
      formedAt = Inputs.NEVER;
    }
    phase = next;
    enteredAt = now;
    reset = false;
  }

  /**
   * What an operator wished, and what was learnt the hard way: without these a restart would go
   * back to the utility unasked, start a tripped inverter again and again, or put all loads onto a
   * battery that has just run empty.
   */
  void keep(Keepsake keepsake) {
    islandAsked = keepsake.flag("island asked", islandAsked);
    manual = keepsake.flag("manual", manual);
    empty = keepsake.flag("battery empty", empty);
    failedStarts = (int) keepsake.count("failed starts", failedStarts);
    overloads = (int) keepsake.count("overloads", overloads);
  }

  void remember(Memory memory) {
    phase = memory.word("phase", phase);
    enteredAt = memory.instant("entered", enteredAt);
    formedAt = memory.instant("formed", formedAt);
    stepSince = memory.instant("in step", stepSince);
    lowSince = memory.instant("low", lowSince);
    notFormingSince = memory.instant("not forming", notFormingSince);
    differSince = memory.instant("sides differ", differSince);
    liveSince = memory.instant("live", liveSince);
    blindSince = memory.instant("blind", blindSince);
    unloadedSince = memory.instant("unloaded", unloadedSince);
    closedSince = memory.instant("closed", closedSince);
    openSince = memory.instant("open", openSince);
    deniedSince = memory.instant("denied", deniedSince);
    tieUnheededAt = memory.instant("tie unheeded", tieUnheededAt);
    inverterUnheededAt = memory.instant("inverter unheeded", inverterUnheededAt);
    observedAt = memory.instant("observed", observedAt);
    foreignSeen = memory.flag("foreign seen", foreignSeen);
    utilitySideDeadSinceForming = memory.flag("side dead", utilitySideDeadSinceForming);
    empty = memory.flag("empty", empty);
    islandAsked = memory.flag("island asked", islandAsked);
    manual = memory.flag("manual", manual);
    asked = memory.flag("asked", asked);
    reset = memory.flag("reset", reset);
    retryAt = memory.instant("retry", retryAt);
    rampFrom = memory.instant("ramp", rampFrom);
    failedStarts = (int) memory.count("failed starts", failedStarts);
    overloads = (int) memory.count("overloads", overloads);
    standby.remember(memory);
  }

  Phase phase() {
    return phase;
  }

  long enteredAt() {
    return enteredAt;
  }

  private boolean fresh(long arrived) {
    return now - arrived <= PROOF_MICROS;
  }

  private boolean silent(long arrived) {
    return now - arrived > GridQualification.micros(site.supervision().linkTimeoutS());
  }

  boolean anySilent() {
    return silent(in.regulatorAt())
        || silent(in.inverterAt())
        || (switched && silent(in.tieAt()))
        || (site.arrangement().hasCharger() && silent(in.chargerAt()))
        || silent(in.meterAt());
  }

  private boolean allReport() {
    return fresh(in.regulatorAt())
        && fresh(in.inverterAt())
        && switchHeard()
        && (!site.arrangement().hasCharger() || fresh(in.chargerAt()))
        && fresh(in.meterAt())
        && battery.known();
  }

  /**
   * Whether enough is known to go on: every device reports; or one has not for so long that it is
   * gone on without those that only charge, and without an inverter or a meter for which the other
   * witnesses speak. Never without the switch.
   */
  private boolean ready() {
    return allReport()
        || (timedOut(Wait.REPORTS)
            && switchHeard()
            && battery.known()
            && battery.voices() > 0
            && (fresh(in.inverterAt()) || fresh(in.meterAt())));
  }

  private boolean switchHeard() {
    return !switched || fresh(in.tieAt());
  }

  private boolean open() {
    return switchHeard() && !switchClosed();
  }

  /**
   * Where the switch stands. A tie's contact is all there is; behind a changeover switch the
   * panel's own voltage says from which of the two sources it comes, and what it says counts more
   * than a contact.
   */
  private boolean switchClosed() {
    if (tied || !switched) {
      return in.tie().closed();
    }
    return switch (source()) {
      case UTILITY -> true;
      case INVERTER -> false;
      case UNKNOWN -> in.tie().closed();
    };
  }

  /** From whom the panel behind a changeover switch has its voltage. */
  private enum Source {
    UTILITY,
    INVERTER,
    UNKNOWN
  }

  private Source source() {
    TieTelemetry t = in.tie();
    if (!fresh(in.tieAt()) || !fresh(in.inverterAt()) || t.islandVoltagePu() < ALIVE_PU) {
      return Source.UNKNOWN;
    }
    boolean byInverter = forming();
    boolean byUtility = t.utilityVoltagePu() >= DEAD_PU;
    if (!byInverter || !byUtility) {
      return byInverter ? Source.INVERTER : byUtility ? Source.UTILITY : Source.UNKNOWN;
    }
    double inverterHz = in.inverter().acFrequencyHz();
    if (Math.abs(inverterHz - t.utilityFrequencyHz()) < SUSPECT_HZ) {
      return Source.UNKNOWN;
    }
    double fromInverter = Math.abs(t.islandFrequencyHz() - inverterHz);
    double fromUtility = Math.abs(t.islandFrequencyHz() - t.utilityFrequencyHz());
    return fromInverter < fromUtility ? Source.INVERTER : Source.UTILITY;
  }

  /** A changeover switch's contact says otherwise than the panel's voltage. */
  boolean contactContradicted() {
    return switched && !tied && fresh(in.tieAt()) && switchClosed() != in.tie().closed();
  }

  private boolean closed() {
    return switched && fresh(in.tieAt()) && switchClosed() && !outdated();
  }

  /**
   * The contact said closed, but since then the inverter has said that it forms, which its wired
   * interlock allows behind an open tie only. Beside a changeover switch it may form at any time.
   */
  private boolean outdated() {
    return tied && forming() && saidLater(OUTDATED_MICROS);
  }

  /**
   * The inverter has spoken later than the tie, by what it dates its report as well as by when that
   * came: an old report that a slow link brings last is no news.
   */
  private boolean saidLater(long byMicros) {
    return in.inverterAt() - in.tieAt() > byMicros && in.inverter().at() - in.tie().at() > byMicros;
  }

  private boolean forming() {
    InverterState state = in.inverter().state();
    return fresh(in.inverterAt())
        && (state == InverterState.FORMING || state == InverterState.SYNCHRONISING);
  }

  /**
   * The inverter says that it does not form, or, when it is silent, somebody sees the panel dead.
   * Silence alone is no sign: an island stands without us.
   */
  private boolean seenNotForming() {
    return fresh(in.inverterAt())
        ? !forming()
        : (fresh(in.tieAt()) && in.tie().islandVoltagePu() < DEAD_PU)
            || (fresh(in.meterAt()) && in.meter().criticalVoltagePu() < DEAD_PU);
  }

  /**
   * No device is heard: then it is our own link that is lost, and nothing is known of the field.
   */
  private boolean cutOff() {
    return !fresh(in.regulatorAt())
        && !fresh(in.inverterAt())
        && !fresh(in.tieAt())
        && !fresh(in.meterAt());
  }

  private boolean timedOut(double seconds) {
    return now - enteredAt > GridQualification.micros(seconds);
  }

  /** The step has lasted for longer than this takes. */
  private boolean timedOut(Wait step) {
    return now - enteredAt > limit(step);
  }

  /** It has been so for as long as it must. */
  private boolean reached(Wait wait) {
    return counted(wait) >= limit(wait);
  }

  /**
   * For how long it has been so, in microseconds; {@link #NOT_COUNTING} while it is not, or while
   * what it would lead to is so already.
   */
  long counted(Wait wait) {
    return switch (wait) {
      case REPORTS -> allReport() ? NOT_COUNTING : now - enteredAt;
      case SIDES_DIFFER -> since(differSince);
      case BLIND -> since(blindSince);
      case BLIND_IN_STEP -> blindSince == Long.MAX_VALUE ? NOT_COUNTING : now - enteredAt;
      case CLEARING -> grid.beyondMicros(now);
      case RAMP -> islandAsked && rampShare() < 1 ? now - rampFrom : NOT_COUNTING;
      case UNLOADED -> since(unloadedSince);
      case UNLOAD, OPEN, FORM, SYNCHRONISE, CLOSE -> now - enteredAt;
      case OPEN_WORD ->
          !timedOut(Wait.OPEN) || answeredFor(timeouts.openS()) ? NOT_COUNTING : now - enteredAt;
      case FORM_WORD ->
          !timedOut(Wait.FORM) || longSince(inverterUnheededAt, timeouts.formS())
              ? NOT_COUNTING
              : now - enteredAt;
      case NOT_FORMING -> since(notFormingSince);
      case NOT_FORMING_IN_STEP ->
          notFormingSince == Long.MAX_VALUE ? NOT_COUNTING : now - enteredAt;
      case UNCARRIED ->
          liveSince == Long.MAX_VALUE ? NOT_COUNTING : Math.max(0, in.inverterAt() - liveSince);
      case FORMS_BEHIND ->
          tied && closed() && forming()
              ? Math.max(0, in.inverter().at() - closedSince)
              : NOT_COUNTING;
      case LOW -> empty ? NOT_COUNTING : since(lowSince);
      case BAND -> grid.inBandMicros(now);
      case RETRY -> retryOver() ? NOT_COUNTING : now - retryFrom;
      case IN_STEP -> tied ? since(stepSince) : NOT_COUNTING;
      case CLOSE_WORD ->
          !timedOut(Wait.CLOSE) || (!closed() && answeredFor(timeouts.closeS()))
              ? NOT_COUNTING
              : now - enteredAt;
      case IDLE -> fresh(in.inverterAt()) ? NOT_COUNTING : now - enteredAt;
    };
  }

  private long since(long instant) {
    return instant == Long.MAX_VALUE ? NOT_COUNTING : now - instant;
  }

  /** How long it takes, in microseconds. */
  long limit(Wait wait) {
    double linkS = site.supervision().linkTimeoutS();
    return switch (wait) {
      case REPORTS -> GridQualification.micros(PATIENT_SHARE * timeouts.startS());
      case SIDES_DIFFER, UNCARRIED -> DIFFER_MICROS;
      case BLIND -> BLIND_MICROS;
      case BLIND_IN_STEP -> GridQualification.micros(timeouts.startS());
      case CLEARING -> grid.beyondLimitMicros(now);
      case RAMP -> GridQualification.micros(site.profile().enter().rampS());
      case UNLOADED -> UNLOADED_MICROS;
      case UNLOAD -> GridQualification.micros(timeouts.unloadS());
      case OPEN -> GridQualification.micros(timeouts.openS());
      case OPEN_WORD -> GridQualification.micros(timeouts.openS() + linkS);
      case FORM, NOT_FORMING, NOT_FORMING_IN_STEP -> GridQualification.micros(timeouts.formS());
      case FORM_WORD -> GridQualification.micros(timeouts.formS() + linkS);
      case FORMS_BEHIND -> OUTDATED_MICROS;
      case LOW -> EMPTY_MICROS;
      case BAND -> grid.delayMicros();
      case RETRY -> retryAt - retryFrom;
      case IN_STEP -> IN_STEP_MICROS;
      case SYNCHRONISE -> GridQualification.micros(timeouts.synchroniseS());
      case CLOSE -> GridQualification.micros(timeouts.closeS());
      case CLOSE_WORD -> GridQualification.micros(timeouts.closeS() + linkS);
      case IDLE ->
          GridQualification.micros(site.supervision().commandLifetimeS())
              + Lifetime.MOST_AHEAD_MICROS;
    };
  }

  private boolean retryOver() {
    return now >= retryAt;
  }

  private boolean differencesSmall() {
    TieTelemetry t = in.tie();
    return fresh(in.tieAt())
        && t.utilityVoltagePu() > DEAD_PU
        && t.islandVoltagePu() > DEAD_PU
        && Math.abs(t.utilityVoltagePu() - t.islandVoltagePu()) <= SYNC_SHARE * sync.voltagePu()
        && Math.abs(t.utilityFrequencyHz() - t.islandFrequencyHz())
            <= SYNC_SHARE * sync.frequencyHz()
        && Math.abs(t.angleDeg()) <= SYNC_SHARE * sync.angleDeg();
  }

  // Questions of the table, in its order.

  /** The tie says closed, yet its two sides have different voltages, as only an open switch has. */
  private boolean sidesDiffer() {
    return closed() && Math.abs(in.tie().utilityVoltagePu() - panelPu()) > DIFFER_PU;
  }

  /**
   * The emergency panel's voltage by those of its three witnesses that are heard: the middle one of
   * three, the higher of two, since a sensor fails to nothing more often than to something.
   */
  private double panelPu() {
    double a = fresh(in.tieAt()) ? in.tie().islandVoltagePu() : UNHEARD;
    double b = fresh(in.meterAt()) ? in.meter().criticalVoltagePu() : UNHEARD;
    double c = fresh(in.inverterAt()) ? in.inverter().acVoltagePu() : UNHEARD;
    double high = Math.max(a, Math.max(b, c));
    double low = Math.min(a, Math.min(b, c));
    return low == UNHEARD
        ? Math.max(0, high)
        : Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
  }

  /** The same for so long that it is no matter of one side's being told before the other. */
  boolean contactLies() {
    return reached(Wait.SIDES_DIFFER);
  }

  /** The inverter is silent, but the tie sees the panel live behind its open contact. */
  private boolean carriedInSilence() {
    return !fresh(in.inverterAt()) && open() && panelPu() >= ALIVE_PU;
  }

  boolean foundCarried() {
    return carriedInSilence() && !empty;
  }

  boolean foundCarriedAtStart() {
    return ready() && foundCarried();
  }

  /**
   * The tie is silent, but the inverter carries the panel, which its wired interlock allows behind
   * an open tie only.
   */
  boolean carriedBehindSilentTie() {
    return tied
        && (!fresh(in.tieAt()) || (in.tie().closed() && outdated()))
        && forming()
        && panelPu() >= ALIVE_PU;
  }

  boolean contradiction() {
    return tied && ready() && closed() && forming();
  }

  boolean foundIslanded() {
    return ready() && open() && forming();
  }

  boolean foundConnected() {
    return ready() && closed() && !sidesDiffer() && grid.present() && keptApart();
  }

  /**
   * Inverter and utility don't form one bus: a tie needs that said, a changeover switch is built
   * so.
   */
  private boolean keptApart() {
    return !tied || !forming();
  }

  boolean foundLost() {
    return !byHand && ready() && closed() && grid.lost();
  }

  /** The loads hang on a dead utility, and only a person can move them. */
  boolean strandedByHand() {
    return byHand && closed() && grid.lost();
  }

  /** The changeover switch stands on a utility that is there: somebody has moved it. */
  boolean movedToUtility() {
    return site.arrangement().hasChangeover() && closed() && !sidesDiffer() && grid.present();
  }

  boolean foundDark() {
    return ready() && open() && seenNotForming();
  }

  /**
   * It still listens: a device that is needed has not reported in time. Nothing is at stake in
   * waiting.
   */
  boolean startTimedOut() {
    return phase == Phase.LISTEN && timedOut(timeouts.startS());
  }

  /**
   * Devices are heard and none of them gives a battery voltage, for longer than it takes all to
   * report after a cut. Cut off from all of them we wait: they run on their own settings, and an
   * order sent now would come late.
   */
  boolean blind() {
    return reached(Wait.BLIND) && timedOut(Wait.BLIND_IN_STEP);
  }

  boolean tieOpened() {
    // Not by what it said before it closed, which others have belied since.
    return (open() && !servedLaterThanSaid(0)) || carriedBehindSilentTie();
  }

  boolean utilityLost() {
    return grid.lost();
  }

  boolean mayLeaveAsAsked() {
    return islandAsked && mayLeave();
  }

  /**
   * The inverter can take over what the panel draws while the tie is still closed: it may feed, the
   * ramp after a return is over, and the voltage that it would feed from is known.
   */
  boolean mayUnloadAsAsked() {
    return mayLeaveAsAsked() && mayFeedThePanel();
  }

  private boolean mayFeedThePanel() {
    return site.arrangement().mayFeed()
        && rampShare() >= 1
        && battery.voices() > 0
        && fresh(in.meterAt());
  }

  /** The tie is told to open on request: until it has, the inverter goes on feeding the panel. */
  boolean leavesUnloaded() {
    return islandAsked && grid.present() && closed() && mayFeedThePanel();
  }

  boolean mayNotLeaveAsAsked() {
    return !mayLeaveAsAsked();
  }

  /** What the tie carries is what the panel draws less what the inverter gives. */
  private boolean powersMatch() {
    return fresh(in.meterAt())
        && fresh(in.inverterAt())
        && Math.abs(in.meter().criticalPowerW() - in.inverter().acPowerW())
            <= UNLOADED_SHARE * site.inverter().ratedW();
  }

  boolean tieUnloaded() {
    return reached(Wait.UNLOADED);
  }

  boolean unloadTimedOut() {
    return timedOut(Wait.UNLOAD);
  }

  /** What the inverter has to feed so that the tie carries nothing, W. */
  double panelDrawW() {
    return fresh(in.meterAt()) && battery.voices() > 0
        ? Math.max(0, in.meter().criticalPowerW())
        : 0;
  }

  /** The site would rather have its loads on the battery, and there is enough in it. */
  boolean mayLeaveForBattery() {
    return prefersBattery
        && !manual
        && battery.known()
        && battery.soc() >= batteryAboveSoc
        && mayLeave();
  }

  private boolean mayLeave() {
    // Whom the tie does not hear cannot have it opened, and would end in HELD for nothing.
    return !byHand && closed() && !empty && inverterRuns() && !standby.down();
  }

  boolean provenOpen() {
    return open() && !in.tie().orderedClosed() && !doubtfulTie();
  }

  boolean provenOpenButEmpty() {
    return provenOpen() && empty;
  }

  /**
   * The contact says open, yet since we formed the utility side, dead before, lives exactly as we
   * do: then the voltage there is ours, and the contact lies. Likewise when the panel lives behind
   * an open contact and nobody forms it.
   */
  boolean doubtfulTie() {
    if (!switched) {
      return false;
    }
    TieTelemetry t = in.tie();
    // The inverter must have denied it long after: a silent one may well be who forms.
    if (reached(Wait.UNCARRIED)
        && (saidTogetherMicros() >= DIFFER_MICROS || lastsBeyondSlowLinks(liveSince))) {
      return true;
    }
    return tied
        && open()
        && forming()
        && utilitySideDeadSinceForming
        && now - formedAt <= SUSPECT_MICROS
        && t.utilityVoltagePu() > DEAD_PU
        && !foreignSeen;
  }

  /** It has looked so for longer than a slow link explains, whatever the reports are dated. */
  private boolean lastsBeyondSlowLinks(long since) {
    return now - since >= GridQualification.micros(site.supervision().linkTimeoutS());
  }

  /**
   * For how long, by what tie and inverter date their reports, the one has said open while the
   * other has said that it forms nothing. Reports that a slow link brings late speak of different
   * times.
   */
  private long saidTogetherMicros() {
    return openSince == Long.MAX_VALUE || deniedSince == Long.MAX_VALUE
        ? 0
        : Math.min(in.tie().at(), in.inverter().at()) - Math.max(openSince, deniedSince);
  }

  /**
   * Whether the utility's side, while we form, has ever lived otherwise than exactly as we do. Our
   * own voltage there never does; a utility that has returned may pass by our angle and frequency,
   * but does not stay.
   */
  private void followForeignVoltage() {
    TieTelemetry t = in.tie();
    if (deniedSince != Long.MAX_VALUE || t.utilityVoltagePu() <= DEAD_PU) {
      foreignSeen = false;
    } else if (Math.abs(t.angleDeg()) >= SUSPECT_DEG
        || Math.abs(t.utilityFrequencyHz() - t.islandFrequencyHz()) >= SUSPECT_HZ) {
      foreignSeen = true;
    }
  }

  /**
   * The tie itself has said, of a time at which it should long have been open and with no order
   * unanswered, that it is still closed; or it has said nothing of that time for so long that its
   * link must be lost. A report from before that a slow link brings later tells nothing.
   */
  boolean openTimedOut() {
    return toldInVain(Wait.OPEN, timeouts.openS(), Wait.OPEN_WORD);
  }

  /** The tie says, of a time at which it should long have been open, that it is closed. */
  boolean openOverdue() {
    return phase == Phase.OPEN_TIE
        && timedOut(Wait.OPEN)
        && closed()
        && saidSinceTold(timeouts.openS());
  }

  private boolean toldInVain(Wait step, double seconds, Wait word) {
    return timedOut(step) && (answeredFor(seconds) || timedOut(word));
  }

  /** The switch was reached, and has reported since. */
  private boolean answeredFor(double seconds) {
    return saidSinceTold(seconds) && longSince(tieUnheededAt, seconds);
  }

  /** The switch has reported of a time at which it should long have moved. */
  private boolean saidSinceTold(double seconds) {
    return in.tie().at() - enteredAt > GridQualification.micros(seconds) / 2;
  }

  boolean tieClosedAgain() {
    return closed();
  }

  boolean islandAlive() {
    return carriedInSilence() || (forming() && panelPu() >= ALIVE_PU);
  }

  boolean inverterTripped() {
    return fresh(in.inverterAt()) && in.inverter().state() == InverterState.FAULT;
  }

  private boolean inverterRuns() {
    InverterState state = in.inverter().state();
    return fresh(in.inverterAt()) && (state == InverterState.FOLLOWING || forming());
  }

  private boolean inverterAble() {
    return fresh(in.inverterAt()) && in.inverter().state() != InverterState.FAULT;
  }

  /**
   * Counts from when the order has come, which a bad link may delay by no more than its time-out.
   */
  boolean formTimedOut() {
    return timedOut(Wait.FORM)
        && (longSince(inverterUnheededAt, timeouts.formS()) || timedOut(Wait.FORM_WORD));
  }

  private boolean longSince(long instant, double seconds) {
    return now - instant > GridQualification.micros(seconds);
  }

  boolean notFormingForLong() {
    return timedOut(Wait.NOT_FORMING_IN_STEP)
        && counted(Wait.NOT_FORMING) > limit(Wait.NOT_FORMING);
  }

  boolean batteryEmpty() {
    return empty;
  }

  private boolean held() {
    return holds.any() || heldByTie();
  }

  /** There is a switch, and it has spoken lately. */
  boolean tieHeard() {
    return switched && fresh(in.tieAt());
  }

  /** The tie says that a padlock hangs, whoever placed it. */
  boolean heldByTie() {
    return switched && fresh(in.tieAt()) && in.tie().held();
  }

  boolean mayReconnect() {
    return !prefersBattery && mayReturn();
  }

  boolean mayReturnAtReserve() {
    return prefersBattery
        && battery.known()
        && battery.soc() <= schedule.reserveAt(now)
        && mayReturn();
  }

  private boolean mayReturn() {
    return switched
        && !byHand
        && grid.qualified()
        && !islandAsked
        && mayBegin()
        && !held()
        && retryOver()
        && open()
        && (forming() || !tied);
  }

  boolean mayNotReconnect() {
    return !grid.qualified() || islandAsked || held();
  }

  boolean inStep() {
    if (!tied) {
      return open();
    }
    return open() && in.inverter().state() == InverterState.SYNCHRONISING && reached(Wait.IN_STEP);
  }

  boolean synchroniseTimedOut() {
    return timedOut(Wait.SYNCHRONISE);
  }

  boolean connectedAgain() {
    return closed() && !sidesDiffer() && grid.present() && fresh(in.inverterAt()) && keptApart();
  }

  boolean lostWhileClosing() {
    return open() && mayNotReconnect();
  }

  boolean outOfStep() {
    return tied && open() && !differencesSmall();
  }

  /**
   * The inverter forms behind a closed tie, and says so of a time at which it had long been told by
   * its wired contact. What it said before the tie closed tells nothing, however late it comes.
   */
  boolean formsBehindClosedTie() {
    return reached(Wait.FORMS_BEHIND);
  }

  boolean closedButForming() {
    return formsBehindClosedTie() && closeOverdue();
  }

  /**
   * The utility carries the panel, and the inverter has said nothing of the time since: behind a
   * closed tie its wired interlock lets it follow. To open the tie again would prove nothing.
   */
  boolean closedUnheard() {
    return tied && closed() && !sidesDiffer() && grid.present() && closeOverdue();
  }

  private boolean closeOverdue() {
    return timedOut(Wait.CLOSE);
  }

  /**
   * As {@link #openTimedOut}, of a switch that was told to close; nor while somebody has seen later
   * than it spoke that the utility carries the panel, nor while others still tell of the time
   * before it said closed.
   */
  boolean closeTimedOut() {
    return toldInVain(Wait.CLOSE, timeouts.closeS(), Wait.CLOSE_WORD)
        && !servedLaterThanSaid(0)
        && (!closed() || timedOut(Wait.CLOSE_WORD));
  }

  private boolean panelDead() {
    InverterState state = in.inverter().state();
    boolean idle =
        fresh(in.inverterAt())
            ? state == InverterState.OFF || state == InverterState.FAULT
            : idleInSilence();
    return fresh(in.tieAt()) && in.tie().islandVoltagePu() < DEAD_PU && idle;
  }

  /**
   * The inverter is not heard, but the meter too sees the panel dead, and any order to form is over
   * that may still have been on its way when the last was OFF.
   */
  private boolean idleInSilence() {
    boolean orderedOff =
        phase == Phase.CLOSE_ON_DEAD_PANEL || (phase == Phase.UNSUPPLIED && timedOut(Wait.IDLE));
    return orderedOff && fresh(in.meterAt()) && in.meter().criticalVoltagePu() < DEAD_PU;
  }

  /**
   * The inverter says, later than the switch has said anything, that it does not form, and the
   * panel lives: then the utility carries it.
   */
  boolean servedBehindSilentSwitch() {
    return closeOverdue() && servedLaterThanSaid(OUTDATED_MICROS);
  }

  private boolean servedLaterThanSaid(long byMicros) {
    return switched
        && fresh(in.inverterAt())
        && !forming()
        && panelPu() >= ALIVE_PU
        && grid.present()
        && in.inverter().at() - in.tie().at() > byMicros;
  }

  boolean mayCloseOnDeadPanel() {
    return switched
        && !byHand
        && grid.qualified()
        && !islandAsked
        && mayBegin()
        && !held()
        && retryOver()
        && open()
        && panelDead();
  }

  boolean mayBlackStart() {
    return !empty
        && mayBegin()
        && battery.voices() > 0
        && provenOpen()
        && (!tied || liveSince == Long.MAX_VALUE) // nothing is started onto somebody else's voltage
        && inverterAble()
        && retryOver()
        && failedStarts < MOST_FAILED_STARTS;
  }

  boolean resetAsked() {
    return reset;
  }

  // Where a line of the table can apply at all.

  boolean byHand() {
    return byHand;
  }

  boolean movesByItself() {
    return switched && !byHand;
  }

  boolean returnsWhenQualified() {
    return movesByItself() && !prefersBattery;
  }

  boolean returnsAtReserve() {
    return movesByItself() && prefersBattery;
  }

  // What the table does on the way.

  void alarmContradiction() {
    alarms.raise(AlarmId.CONTRADICTION, out);
  }

  void alarmBlind() {
    alarms.raise(AlarmId.NO_BATTERY_VOLTAGE, out);
  }

  void alarmEmpty() {
    alarms.raise(AlarmId.BATTERY_LOW, out);
  }

  void alarmStranded() {
    alarms.raise(AlarmId.SWITCH_BY_HAND, out);
  }

  void alarmDoubtful() {
    alarms.raise(AlarmId.TIE_DOUBTFUL, out);
  }

  void alarmNotOpen() {
    alarms.raise(AlarmId.TIE_NOT_OPEN, out);
  }

  void alarmTripped() {
    if (in.inverter().trip() == InverterTrip.OVERLOAD) {
      overloads++;
    }
    alarms.raise(AlarmId.INVERTER_TRIPPED, out);
    failedStarts++;
    retryIn(RETRY_MICROS);
  }

  void alarmNotForming() {
    alarms.raise(AlarmId.INVERTER_NOT_FORMING, out);
    if (in.inverterUnheeded()) {
      // It was not the inverter that failed, and the link may soon be back.
      retryIn(nextWordMicros());
    } else {
      failedStarts++;
      retryIn(RETRY_MICROS);
    }
  }

  void alarmSync() {
    alarms.raise(AlarmId.SYNC_TIMEOUT, out);
    retryIn(RETRY_MICROS);
  }

  void alarmNotClosed() {
    alarms.raise(AlarmId.TIE_NOT_CLOSED, out);
    retryIn(in.tieUnheeded() ? nextWordMicros() : RETRY_MICROS);
  }

  private void retryIn(long micros) {
    retryFrom = now;
    retryAt = now + micros;
  }

  /** Every device is told anew what it shall do twice in every link time-out. */
  private long nextWordMicros() {
    return GridQualification.micros(site.supervision().linkTimeoutS() / 2);
  }

  void beginRamp() {
    rampFrom = now;
  }

  // What an operator asks.

  void askIsland(boolean stayAway) {
    islandAsked = stayAway;
    asked = manual && !stayAway;
  }

  /** Puts what is not urgent under a person's hand, or gives it back. */
  void takeOver(boolean byHand) {
    manual = byHand;
    asked = false;
  }

  /** Whether a person begins what is not urgent. */
  boolean manual() {
    return manual;
  }

  /** A return to the utility, a close onto a dead panel or a black start may begin. */
  private boolean mayBegin() {
    return !manual || asked;
  }

  void askReset() {
    failedStarts = 0;
    overloads = 0;
    standby.reset();
    reset = phase == Phase.WAIT_FOR_PERSON;
  }

  /**
   * What part of rated power may be fed yet, 0 to 1: it rises over the profile's ramp after a
   * return.
   */
  double rampShare() {
    double rampS = site.profile().enter().rampS();
    if (rampFrom == Inputs.NEVER || rampS <= 0) {
      return 1;
    }
    return Math.min(1, (now - rampFrom) / (rampS * 1e6));
  }

  /**
   * An island may be formed only behind a tie that is proven open; one that stands may be carried
   * on while the tie is silent, since it never closes by itself, but not once it says closed.
   */
  boolean mayForm() {
    if (!tied) {
      return !empty;
    }
    boolean saysClosed = fresh(in.tieAt()) && in.tie().closed();
    boolean stillOpen = open() && !servedLaterThanSaid(0);
    return (stillOpen || (forming() && !saysClosed)) && !doubtfulTie() && !empty;
  }

  /**
   * Neither tie nor inverter is heard, or the one's word is overtaken by the other's: then nothing
   * proves the tie open, but an order to stop would end an island that may stand well.
   */
  boolean islandUnknown() {
    return tied && ((!fresh(in.tieAt()) && !fresh(in.inverterAt())) || outdated());
  }

  /** The tie may be told to close now: qualified, no hold, and in step or onto a dead panel. */
  boolean mayClose() {
    return switched
        && !byHand
        && open()
        && grid.qualified()
        && !held()
        && (!tied || panelDead() || (differencesSmall() && forming()));
  }

  /**
   * Where the tie is by its contact; but when the inverter has said later that it forms, which its
   * wired interlock allows behind an open tie only, that is the newer news.
   */
  boolean tieClosedByContact() {
    return servedLaterThanSaid(0) || (switchClosed() && !(tied && forming() && saidLater(0)));
  }

  /** How often in a row the island has ended by overload. */
  int overloads() {
    return overloads;
  }

  /** Whether a tie joins both sources on one panel. */
  boolean tied() {
    return tied;
  }

  /** While the utility carries the panels the inverter has tripped and does not stand by again. */
  boolean standbyDown() {
    return standby.down();
  }

  /** The inverter stays off for now: it has tripped, and its next start waits. */
  boolean standbyRests() {
    return standby.rests();
  }

  /** Whether the inverter could carry the loads that stand on the utility now. */
  boolean mayStandBy() {
    return !empty && inverterAble();
  }
}
