package landing;

import islet.contract.ChargeStage;
import islet.contract.GridState;
import islet.contract.InverterOrder;
import islet.contract.InverterState;
import islet.contract.MeterTelemetry;
import islet.contract.Mode;
import islet.contract.TieOrder;
import islet.contract.TieTelemetry;
import islet.control.Inputs;
import islet.control.Outputs;
import islet.control.Supervisor;
import islet.site.GridProfile;
import islet.site.Site;

/**
 * Follows the tie: while it is closed the inverter works on the utility, while it is open the
 * inverter makes the emergency panel's voltage. The sun alone charges the battery, at one voltage.
 * It obeys no operator, sheds no load and rings no alarm: an example to begin from, for the bench
 * and not for a site.
 */
final class TieFollower implements Supervisor {

  /** Devices report about once a second; two reports may be missed. */
  private static final long FRESH_MICROS = 2_500_000;

  private final Site site;
  private final GridProfile.EnterService enter;
  private Mode mode = Mode.STARTING;

  /** Since when the utility has been good without a break; NEVER while it is not. */
  private long goodSince = Inputs.NEVER;

  TieFollower(Site site) {
    this.site = site;
    enter = site.profile().enter();
  }

  @Override
  public void scan(Inputs in, long now, Outputs out) {
    out.begin();
    boolean qualified = qualified(in, now);
    Mode next = heard(in, now) ? next(in, qualified) : silent();
    if (next != mode) {
      out.event("mode", mode.name(), next.name(), reason(next));
      mode = next;
    }
    order(in, out);
    charge(in, out);
    tell(in, now, qualified, out);
  }

  private static boolean heard(Inputs in, long now) {
    return now - in.tieAt() <= FRESH_MICROS
        && now - in.inverterAt() <= FRESH_MICROS
        && now - in.meterAt() <= FRESH_MICROS
        && now - in.regulatorAt() <= FRESH_MICROS;
  }

  /** Good for the profile's whole delay, by every report since the last scan. */
  private boolean qualified(Inputs in, long now) {
    boolean good =
        now - in.tieAt() <= FRESH_MICROS
            && in.lowestPu() >= enter.minimumPu()
            && in.highestPu() <= enter.maximumPu()
            && in.lowestHz() >= enter.minimumHz()
            && in.highestHz() <= enter.maximumHz();
    if (!good) {
      goodSince = Inputs.NEVER;
    } else if (goodSince == Inputs.NEVER) {
      goodSince = now;
    }
    return good && now - goodSince >= enter.delayS() * 1e6;
  }

  private Mode silent() {
    return mode == Mode.STARTING ? Mode.STARTING : Mode.HELD;
  }

  private Mode next(Inputs in, boolean qualified) {
    TieTelemetry tie = in.tie();
    InverterState inverter = in.inverter().state();
    boolean forms = inverter == InverterState.FORMING || inverter == InverterState.SYNCHRONISING;
    double batteryV = in.meter().batteryVoltageV();
    Site.Limits limits = site.battery().limits();
    if (tie.closed()) {
      // The tie opens by its own protection; should it not, it is told to.
      return tie.utilityVoltagePu() > 0.5 ? Mode.GRID_PRESENT : Mode.ISLANDING;
    }
    boolean empty =
        mode == Mode.DARK ? batteryV < limits.reconnectV() : batteryV <= limits.disconnectV();
    if (empty) {
      return qualified ? Mode.RECONNECTING : Mode.DARK;
    }
    if (!forms) {
      return Mode.ISLANDING;
    }
    return qualified ? Mode.RECONNECTING : Mode.ISLANDED;
  }

  private static String reason(Mode next) {
    return switch (next) {
      case STARTING -> "nothing is known";
      case GRID_PRESENT -> "the tie is closed on a live utility";
      case ISLANDING -> "the tie is open or must open, and no island stands yet";
      case ISLANDED -> "the tie is open and the inverter forms";
      case RECONNECTING -> "the utility has been good for the profile's delay";
      case DARK -> "the tie is open and the battery is empty";
      case HELD -> "a device is silent";
    };
  }

  private void order(Inputs in, Outputs out) {
    boolean closed = in.tie().closed();
    out.islandPermit = mode == Mode.GRID_PRESENT || mode == Mode.ISLANDING || mode == Mode.ISLANDED;
    switch (mode) {
      // Whoever knows nothing orders nothing: each device falls back on its own protection.
      case STARTING, HELD -> {}
      case GRID_PRESENT -> inverter(InverterOrder.FOLLOW, out);
      case ISLANDING -> {
        tie(TieOrder.OPEN, out);
        inverter(closed ? InverterOrder.FOLLOW : InverterOrder.FORM, out);
      }
      case ISLANDED -> {
        tie(TieOrder.OPEN, out);
        inverter(InverterOrder.FORM, out);
      }
      case RECONNECTING -> {
        boolean dead = in.inverter().state() == InverterState.OFF;
        out.islandPermit = !dead;
        inverter(dead ? InverterOrder.OFF : InverterOrder.SYNCHRONISE, out);
        if (dead ? in.tie().islandVoltagePu() < 0.1 : inStep(in.tie())) {
          tie(TieOrder.CLOSE, out);
        }
      }
      case DARK -> {
        tie(TieOrder.OPEN, out);
        inverter(InverterOrder.OFF, out);
      }
    }
  }

  private boolean inStep(TieTelemetry tie) {
    GridProfile.SyncLimits sync = site.profile().sync();
    return Math.abs(tie.utilityVoltagePu() - tie.islandVoltagePu()) < sync.voltagePu()
        && Math.abs(tie.utilityFrequencyHz() - tie.islandFrequencyHz()) < sync.frequencyHz()
        && Math.abs(tie.angleDeg()) < sync.angleDeg();
  }

  private static void tie(TieOrder order, Outputs out) {
    out.tie = order;
    out.tieOrdered = true;
  }

  private static void inverter(InverterOrder order, Outputs out) {
    out.inverter = order;
    out.inverterOrdered = true;
  }

  /** Float voltage for the battery's temperature: never fully charged, never overcharged. */
  private void charge(Inputs in, Outputs out) {
    MeterTelemetry meter = in.meter();
    Site.Limits limits = site.battery().limits();
    double warmerK = meter.batteryTemperatureC() - 25;
    double setV =
        site.battery().charge().floatV() + site.battery().charge().compensationVPerK() * warmerK;
    boolean cold = meter.batteryTemperatureC() < limits.minimumChargeC();
    boolean hot = meter.batteryTemperatureC() > limits.maximumChargeC();
    out.chargingOrdered = mode != Mode.STARTING;
    out.setPointsOrdered = true;
    out.stage = cold || hot ? ChargeStage.OFF : ChargeStage.FLOAT;
    out.regulatorEnabled = !cold && !hot;
    out.regulatorVoltageV = Math.min(setV, limits.maximumV());
    out.regulatorLimitA = Math.min(site.regulator().ratedA(), limits.maximumChargeA());
    out.chargeVoltageV = out.regulatorVoltageV;
    out.chargeLimitA = 0;
    out.feedVoltageV = out.regulatorVoltageV;
    out.feedLimitW = 0;
    out.shedCount = 0;
  }

  private void tell(Inputs in, long now, boolean qualified, Outputs out) {
    out.mode = mode;
    out.tieClosed = in.tie().closed();
    out.batteryVoltageV = in.meter().batteryVoltageV();
    // It reckons no state of charge, and says so with a figure that no one takes for one.
    out.soc = 0;
    out.reserveSoc = 0;
    boolean good = goodSince != Inputs.NEVER;
    out.grid =
        qualified ? GridState.QUALIFIED : good ? GridState.RETURNING : GridState.GONE;
    out.qualifiedInS =
        qualified || !good ? 0 : Math.max(0, enter.delayS() - (now - goodSince) * 1e-6);
  }
}
