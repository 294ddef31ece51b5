package islet.control;

import islet.contract.BatteryPath;
import islet.contract.ChargeStage;
import islet.contract.ChargerTelemetry;
import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import islet.contract.MeterTelemetry;
import islet.contract.OperatorOrder;
import islet.contract.RegulatorTelemetry;
import islet.contract.SupervisorCommand;
import islet.contract.TieOrder;
import islet.contract.TieTelemetry;
import islet.contract.TieTrip;
import islet.site.Site;
import java.util.function.BooleanSupplier;

/**
 * A site of four obedient devices around the real supervisor, one scan each 100 ms. A test spoils
 * what it likes: fields are open, and each device can be deaf or silent.
 */
class FakeSite {

  static final long SCAN = 100_000;
  static final long SECOND = 1_000_000;

  /** 2026-01-14 21:00 UTC. */
  static final long START = 1_768_424_400L * SECOND;

  final Site site;
  final SiteSupervisor supervisor;
  final Inputs in = new Inputs();
  final Outputs out = new Outputs();
  long now = START;

  double utilityPu = 1;
  double utilityHz = 60;
  boolean tieClosed = true;
  boolean tieOrderedClosed = true;
  boolean tieObeys = true;
  double angleDeg = 90;
  double islandHz = 60.047;
  InverterState inverter = InverterState.FOLLOWING;
  boolean inverterObeys = true;
  boolean auxiliaryLies;

  /** Whether the tie says that a padlock hangs. */
  boolean tieHeld;

  double batteryV = 49.6;
  double currentA;
  double temperatureC = 25;
  double sunA;
  double drawA;

  /** From the inverter into the panels, and what the emergency panel draws, W. */
  double acPowerW;

  double criticalW;

  InverterTrip inverterTrip = InverterTrip.NONE;
  BatteryPath batteryPath = BatteryPath.CLOSED;

  /** By how much the regulator's voltmeter is wrong, V. */
  double regulatorBiasV;

  double chargerA;
  boolean regulatorSilent;
  boolean inverterSilent;
  boolean tieSilent;
  boolean meterSilent;
  boolean chargerSilent;

  /** Inverter and utility can meet on one panel. */
  private final boolean tied;

  FakeSite(Site site) {
    this.site = site;
    supervisor = new SiteSupervisor(site);
    tied = site.arrangement().hasTie();
    if (!tied) {
      inverter = InverterState.FORMING;
    }
  }

  boolean forming() {
    return inverter == InverterState.FORMING || inverter == InverterState.SYNCHRONISING;
  }

  private double panelPu() {
    return tieClosed ? utilityPu : forming() ? 1 : 0;
  }

  private double panelHz() {
    return tieClosed ? utilityHz : forming() ? islandHz : 0;
  }

  /** One scan: telemetry, logic, and the devices do what they are told. */
  void scan() {
    now += SCAN;
    report();
    supervisor.scan(in, now, out);
    obey();
    in.scanned();
  }

  void report() {
    if (!regulatorSilent) {
      in.take(
          new RegulatorTelemetry(
              0,
              now,
              batteryV + regulatorBiasV,
              temperatureC,
              0,
              0,
              sunA,
              0,
              0,
              ChargeStage.BULK,
              true,
              false),
          now);
    }
    if (!inverterSilent) {
      in.take(
          new InverterTelemetry(
              0,
              now,
              batteryV,
              -drawA,
              acPowerW,
              tied ? panelPu() : forming() ? 1 : 0,
              tied ? panelHz() : forming() ? islandHz : 0,
              inverter,
              inverterTrip,
              false,
              false),
          now);
    }
    if (site.arrangement().hasCharger() && !chargerSilent) {
      in.take(
          new ChargerTelemetry(
              0, now, batteryV, temperatureC, 0, chargerA, 0, 0, ChargeStage.BULK, true, false),
          now);
    }
    if (!tieSilent && site.arrangement().hasSwitch()) {
      in.take(
          new TieTelemetry(
              0,
              now,
              tieClosed != auxiliaryLies,
              tieOrderedClosed,
              utilityPu,
              utilityPu > 0 ? utilityHz : 0,
              panelPu(),
              panelHz(),
              tieClosed ? 0 : angleDeg,
              TieTrip.NONE,
              tieHeld,
              false),
          now);
    }
    if (!meterSilent) {
      in.take(
          new MeterTelemetry(
              0,
              now,
              utilityPu,
              utilityPu > 0 ? utilityHz : 0,
              0,
              criticalW,
              0,
              panelPu(),
              batteryV,
              currentA,
              temperatureC,
              "",
              false,
              batteryPath),
          now);
    }
  }

  void obey() {
    if (tieObeys && out.tieOrdered) {
      tieOrderedClosed = out.tie == TieOrder.CLOSE;
      tieClosed = tieOrderedClosed;
    }
    if (inverterObeys && out.inverterOrdered) {
      inverter =
          switch (out.inverter) {
            case OFF -> InverterState.OFF;
            case FOLLOW -> tieClosed || !forming() ? InverterState.FOLLOWING : inverter;
            case FORM -> tieClosed && tied ? InverterState.FOLLOWING : InverterState.FORMING;
            case SYNCHRONISE -> tieClosed ? InverterState.FOLLOWING : InverterState.SYNCHRONISING;
          };
      if (inverter == InverterState.SYNCHRONISING) {
        angleDeg = 1;
        islandHz = utilityHz;
      } else if (inverter == InverterState.FORMING) {
        angleDeg = 90;
        islandHz = 60.047;
      }
    }
  }

  void ask(OperatorOrder order, String key) {
    ask(order, key, 0);
  }

  void ask(OperatorOrder order, String key, double forS) {
    in.ask(new SupervisorCommand(1, now, 10, order, key, forS));
  }

  void seconds(double seconds) {
    for (int i = 0; i < Math.round(seconds * SECOND / SCAN); i++) {
      scan();
    }
  }

  Phase phase() {
    return supervisor.phase();
  }

  /** Scans until the phase is reached; the last scan took the line that leads there. */
  void until(Phase phase, double seconds) {
    until(() -> phase() == phase, phase.name(), seconds);
  }

  void until(BooleanSupplier reached, String what, double seconds) {
    for (long end = now + Math.round(seconds * SECOND); now < end; ) {
      scan();
      if (reached.getAsBoolean()) {
        return;
      }
    }
    throw new AssertionError(what + " was not reached in " + seconds + " s, but " + phase());
  }

  // Well-trodden ways.

  FakeSite connected() {
    until(Phase.CONNECTED, 5);
    return this;
  }

  FakeSite islanded() {
    connected();
    utilityPu = 0;
    until(Phase.CARRY, 5);
    seconds(3); // past the time in which a returning voltage could be our own
    return this;
  }

  /** The utility is back; the next thing is to get in step. */
  FakeSite synchronising() {
    islanded();
    utilityPu = 1;
    until(Phase.SYNCHRONISE, 310);
    return this;
  }

  /** A person has asked to leave, and the inverter does not feed yet. */
  FakeSite unloading() {
    criticalW = 900;
    connected().ask(OperatorOrder.ISLAND, "");
    until(Phase.UNLOAD_TIE, 0.2);
    return this;
  }

  FakeSite closing() {
    synchronising();
    tieObeys = false;
    until(Phase.CLOSE_TIE, 5);
    return this;
  }

  /** The inverter has tripped and the panel is dead. */
  FakeSite dark() {
    islanded();
    inverterObeys = false;
    inverter = InverterState.FAULT;
    until(Phase.UNSUPPLIED, 1);
    return this;
  }

  FakeSite closingOnDeadPanel() {
    dark();
    utilityPu = 1;
    tieObeys = false;
    until(Phase.CLOSE_ON_DEAD_PANEL, 310);
    return this;
  }

  /** The battery has been at its disconnect voltage for half a minute. */
  void drain() {
    batteryV = 44;
  }
}
