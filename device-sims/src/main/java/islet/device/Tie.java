package islet.device;

import islet.contract.AckResult;
import islet.contract.Device;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.TieCommand;
import islet.contract.TieTelemetry;
import islet.contract.TieTrip;
import islet.contract.Topics;
import islet.plant.Plant;
import java.util.TreeSet;

/**
 * The switch between main and emergency panel: a tie, or a changeover switch that puts the panel on
 * the utility (closed) or on the inverter (open), and on neither while it travels. Opens by itself
 * when the utility is gone, sags (if so set) or stays outside the limits for the clearing time;
 * never closes by itself. Closes on command when no hold hangs and its own sync check passes or the
 * emergency side is dead. A changeover switch needs no sync check, and leaves the utility by itself
 * only for a side that lives. One that is moved by hand heeds a person only.
 */
public final class Tie extends SimulatedDevice implements AuxiliaryContact {

  private static final double DEAD_PU = 0.1;

  /** A side counts as alive from here on (range B of ANSI C84.1, from memory, with some room). */
  private static final double ALIVE_PU = 0.85;

  private final Plant plant;
  private final TieSettings settings;
  private final long operateMicros;
  private final long deadMicros;
  private final LimitWatch limits;
  private long lossSince = NEVER;
  private long sagSince = NEVER;
  private final Sensor utilityVoltage = sensors().add("main.voltage_pu");
  private final Sensor islandVoltage = sensors().add("critical.voltage_pu");
  private final TreeSet<String> holds = new TreeSet<>();
  private boolean ordered;
  private long travelEnds = NEVER;
  private TieTrip trip = TieTrip.NONE;
  private boolean welded;
  private boolean blocked;
  private boolean auxiliaryLies;
  private double slowness = 1;
  private boolean isolated;
  private boolean contact;
  private boolean doneWanted;
  private long doneSeq;
  private String doneTopic = "";
  private byte[] doneCorrelation = {};
  private boolean readable = true;
  private double toldUtilityPu;
  private double toldUtilityHz;

  /**
   * Connects a tie to its plant and its broker.
   *
   * @param closed how its contacts stand at the start
   */
  public Tie(
      Plant plant,
      TieSettings settings,
      Topics topics,
      Port.Broker broker,
      Surroundings surroundings,
      double linkTimeoutS,
      boolean closed) {
    super(Device.TIE, topics, broker, surroundings, linkTimeoutS);
    this.plant = plant;
    this.settings = settings;
    operateMicros = micros(settings.operateS());
    deadMicros = micros(settings.deadS());
    // The clearing time ends when the contacts have parted, so the order goes out earlier by their
    // travel.
    limits = new LimitWatch(settings.limits(), operateMicros);
    ordered = closed;
    put(closed);
  }

  /** Moves the main contacts; behind an open disconnect they join nothing. */
  private void put(boolean closed) {
    contact = closed;
    plant.setTieClosed(closed && !isolated);
  }

  private double utilityPu() {
    return isolated ? 0 : plant.mainVoltagePu();
  }

  private double utilityHz() {
    return isolated ? 0 : plant.mainFrequencyHz();
  }

  @Override
  void command(Message message) throws MalformedException {
    TieCommand c = decode(TieCommand.LAYOUT, message);
    if (!good(c.seq(), c.at(), c.lifetimeS(), message)) {
      return;
    }
    boolean moves =
        switch (c.order()) {
          case OPEN, CLOSE -> true;
          case HOLD, RELEASE -> false;
        };
    if (moves && settings.byHand()) {
      answer(c.seq(), AckResult.REFUSED, "only a person moves this switch", message);
      return;
    }
    switch (c.order()) {
      case OPEN -> {
        answer(c.seq(), AckResult.ACCEPTED, "", message);
        await(c, message);
        order(false);
      }
      case CLOSE -> close(c, message);
      case HOLD -> {
        if (c.key().isEmpty()) {
          answer(c.seq(), AckResult.REFUSED, "a hold needs a key", message);
        } else {
          holds.add(c.key());
          answer(c.seq(), AckResult.DONE, "", message);
          surroundings().stir();
        }
      }
      case RELEASE -> {
        boolean hung = holds.remove(c.key());
        answer(
            c.seq(),
            hung ? AckResult.DONE : AckResult.REFUSED,
            hung ? "" : "no hold hangs under this key",
            message);
        surroundings().stir();
      }
    }
  }

  private void close(TieCommand c, Message message) {
    String refusal = refusal();
    if (!refusal.isEmpty()) {
      answer(c.seq(), AckResult.REFUSED, refusal, message);
      return;
    }
    trip = TieTrip.NONE;
    answer(c.seq(), AckResult.ACCEPTED, "", message);
    await(c, message);
    order(true);
  }

  private void await(TieCommand c, Message message) {
    doneWanted = true;
    doneSeq = c.seq();
    doneTopic = message.responseTopic();
    doneCorrelation = message.correlation();
  }

  /** Why it may not close now; empty when it may. */
  private String refusal() {
    if (contact) {
      return "";
    }
    if (!holds.isEmpty()) {
      return "a maintenance hold hangs";
    }
    double utility = utilityVoltage.read(utilityPu());
    double island = islandVoltage.read(plant.criticalVoltagePu());
    if (utility < settings.minimumPu() || utility > settings.maximumPu()) {
      return "utility voltage outside the band to close";
    }
    if (settings.changeover()) {
      return "";
    }
    if (island < DEAD_PU) {
      return "";
    }
    if (Math.abs(utility - island) > settings.syncVoltagePu()) {
      return "voltage difference too large";
    }
    if (Math.abs(utilityHz() - plant.criticalFrequencyHz()) > settings.syncFrequencyHz()) {
      return "frequency difference too large";
    }
    return Math.abs(plant.angleDeg()) > settings.syncAngleDeg() ? "angle too large" : "";
  }

  private void order(boolean close) {
    // Each order moves the coil, also one that repeats what came to nothing.
    boolean stuck = travelEnds == NEVER && contact != close && !plant.between();
    if (ordered != close || stuck) {
      ordered = close;
      travelEnds = surroundings().now() + travelMicros();
    }
    surroundings().stir();
  }

  private long travelMicros() {
    return Math.round((plant.between() ? deadMicros : operateMicros) * slowness);
  }

  @Override
  boolean act(long now) {
    protect(now);
    boolean changed = false;
    if (now >= travelEnds) {
      travelEnds = NEVER;
      boolean moves = ordered ? !blocked : !welded;
      if (plant.between()) {
        put(ordered);
        changed = true;
      } else if (contact != ordered && moves) {
        changed = true;
        if (settings.changeover()) {
          contact = false;
          plant.setBetween();
          travelEnds = now + deadMicros;
        } else {
          put(ordered);
        }
      }
    }
    if (doneWanted && travelEnds == NEVER && closed() == ordered) {
      doneWanted = false;
      answer(doneSeq, AckResult.DONE, "", doneTopic, doneCorrelation);
    }
    state(position(), detail());
    return changed;
  }

  private String position() {
    if (!settings.changeover()) {
      return closed() ? "CLOSED" : "OPEN";
    }
    return plant.between() ? "BETWEEN" : closed() ? "UTILITY" : "INVERTER";
  }

  /** A person moves a changeover switch, unless a padlock hangs on the utility's side. */
  public void moveByHand(boolean toUtility) {
    if (toUtility && !holds.isEmpty()) {
      surroundings().note(device().segment(), "refused", "", "", "a maintenance hold hangs");
      return;
    }
    trip = TieTrip.NONE;
    order(toUtility);
  }

  private void protect(long now) {
    if (!ordered || settings.byHand()) {
      return;
    }
    if (settings.changeover() && plant.inverterVoltagePu() < ALIVE_PU) {
      // Nothing to go to.
      lossSince = NEVER;
      return;
    }
    double v = utilityVoltage.read(utilityPu());
    double f = utilityHz();
    lossSince = v < settings.lossBelowPu() ? Math.min(lossSince, now) : NEVER;
    sagSince = v < settings.separateBelowPu() ? Math.min(sagSince, now) : NEVER;
    if (lossSince != NEVER && now - lossSince >= micros(settings.lossS())) {
      trip(TieTrip.LOSS);
    } else if (sagSince != NEVER && now - sagSince >= micros(settings.separateS())) {
      trip(TieTrip.SAG);
    }
    if (ordered && limits.passed(v, f, now)) {
      trip(limits.cause());
    }
  }

  private void trip(TieTrip cause) {
    trip = cause;
    order(false);
    lossSince = NEVER;
    sagSince = NEVER;
    limits.reset();
  }

  @Override
  long timer(long now) {
    long next = sooner(NEVER, travelEnds, now);
    if (ordered) {
      if (lossSince != NEVER) {
        next = sooner(next, lossSince + micros(settings.lossS()), now);
      }
      if (sagSince != NEVER) {
        next = sooner(next, sagSince + micros(settings.separateS()), now);
      }
      next = limits.sooner(next, now);
    }
    return next;
  }

  @Override
  boolean jumped() {
    // The utility's state decides about returning, so every change of it is told at once.
    return moved();
  }

  @Override
  boolean moved() {
    return Math.abs(utilityPu() - toldUtilityPu) > 0.005
        || Math.abs(utilityHz() - toldUtilityHz) > 0.02;
  }

  private String detail() {
    return trip == TieTrip.NONE ? "as ordered" : "own protection: " + trip;
  }

  @Override
  byte[] telemetry(long seq, long now) {
    toldUtilityPu = utilityPu();
    toldUtilityHz = utilityHz();
    byte[] payload =
        TieTelemetry.LAYOUT.encode(
            new TieTelemetry(
                seq,
                now,
                closed(),
                ordered,
                Math.max(0, utilityVoltage.tell(toldUtilityPu)),
                toldUtilityHz,
                Math.max(0, islandVoltage.tell(plant.criticalVoltagePu())),
                plant.criticalFrequencyHz(),
                plant.angleDeg(),
                trip,
                !holds.isEmpty(),
                local()));
    readable =
        (utilityVoltage.inItsUnit() && islandVoltage.inItsUnit())
            || (!sensors().anyNotFinite() && isReport(payload));
    return payload;
  }

  private static boolean isReport(byte[] payload) {
    try {
      TieTelemetry.LAYOUT.decode(payload);
      return true;
    } catch (MalformedException e) {
      return false;
    }
  }

  /** Whether its last report was one that a receiver can take for a report. */
  public boolean readable() {
    return readable;
  }

  /** What the auxiliary contact says: the opposite of the truth when it lies. */
  @Override
  public boolean closed() {
    return contact != auxiliaryLies;
  }

  /** Welds the main contacts: they don't open any more. */
  public void weld(boolean fast) {
    welded = fast;
  }

  /** Keeps the main contacts from closing. */
  public void block(boolean stopped) {
    blocked = stopped;
  }

  /**
   * Makes its mechanism sluggish.
   *
   * @param factor operating time over what it should be, 1 or more
   */
  public void slow(double factor) {
    slowness = factor;
  }

  /** Opens or closes the disconnect between it and the main panel. */
  public void isolate(boolean open) {
    isolated = open;
    if (!plant.between()) {
      put(contact);
    }
  }

  /** Whether the disconnect between it and the main panel is open. */
  public boolean isolated() {
    return isolated;
  }

  /** Lets the auxiliary contact say the opposite of the truth. */
  public void lie(boolean lies) {
    auxiliaryLies = lies;
  }

  /** Whether the main contacts do what the coil says and the auxiliary contact tells so. */
  public boolean sound() {
    return !welded && !blocked && !auxiliaryLies && !isolated && slowness == 1;
  }

  /** Whether it sees the utility as it is, and so sees it go. */
  public boolean sees() {
    return utilityVoltage.sound();
  }

  /** Whether a maintenance hold hangs. */
  public boolean held() {
    return !holds.isEmpty();
  }
}
