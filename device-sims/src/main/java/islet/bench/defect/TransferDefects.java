package islet.bench.defect;

import static islet.bench.defect.Defect.Part.INTERLOCKS;
import static islet.bench.defect.Defect.Part.MODE_MACHINE;
import static islet.bench.defect.SpoiltSupervisor.ordering;
import static islet.bench.defect.SpoiltSupervisor.seeing;

import islet.contract.GridState;
import islet.contract.InverterOrder;
import islet.contract.Mode;
import islet.contract.TieOrder;
import islet.contract.TieTelemetry;
import islet.control.Inputs;
import islet.control.Outputs;
import java.util.List;

/** What can go wrong between the utility and the island. */
final class TransferDefects {

  /** A panel below this is dead, per unit, as the supervisor has it. */
  private static final double DEAD_PU = 0.1;

  static final List<Defect> ALL =
      List.of(
          new Defect(
              "no-island-permit",
              "No permit to form an island",
              "The inverter is never allowed to take over by itself, so the emergency panel waits"
                  + " for a scan and an order whenever the utility goes.",
              MODE_MACHINE,
              ordering(site -> (in, now, out) -> out.islandPermit = false)),
          new Defect(
              "coil-for-contact",
              "Coil taken for contact",
              "The tie is held to be open as soon as its coil is told so; nobody looks at the"
                  + " auxiliary contact, so the proof of open is missing.",
              INTERLOCKS,
              seeing(CoilForContact::new)),
          new Defect(
              "own-voltage-not-suspected",
              "Own voltage taken for the utility's",
              "A voltage behind the open tie counts as the utility's even when it is of our very"
                  + " frequency, so a contact that lies is never found out.",
              INTERLOCKS,
              seeing(OwnVoltageForUtility::new)),
          new Defect(
              "held-leaves-inverter-running",
              "HELD does not stop the inverter",
              "On the way to HELD the order OFF is left out, so the inverter goes on with the last"
                  + " one that it had.",
              MODE_MACHINE,
              ordering(site -> TransferDefects::leaveRunning)),
          new Defect(
              "dead-panel-by-one-meter",
              "Panel held to be dead by one voltmeter",
              "The tie may close on a panel that the tie's own voltmeter calls dead, though the"
                  + " inverter says that it forms it.",
              INTERLOCKS,
              ordering(site -> TransferDefects::closeOnDeadReading)),
          new Defect(
              "no-sync-check",
              "No sync check",
              "The tie is told to close as soon as the utility has qualified; voltage, frequency"
                  + " and angle are left to the tie to check.",
              INTERLOCKS,
              ordering(site -> TransferDefects::closeWithoutCheck)));

  private TransferDefects() {}

  private static final class CoilForContact extends Eyes {
    @Override
    TieTelemetry tie(TieTelemetry t) {
      return t.orderedClosed() ? t : Readings.contact(t, false);
    }
  }

  /** What stands there is shown a little off our frequency, as a utility's own would be. */
  private static final class OwnVoltageForUtility extends Eyes {
    private static final double OFF_HZ = 0.05;

    @Override
    TieTelemetry tie(TieTelemetry t) {
      boolean ours =
          !t.closed()
              && t.utilityVoltagePu() > DEAD_PU
              && Math.abs(t.utilityFrequencyHz() - t.islandFrequencyHz()) < OFF_HZ / 2;
      return ours ? Readings.utility(t, t.utilityVoltagePu(), t.islandFrequencyHz() - OFF_HZ) : t;
    }
  }

  private static void leaveRunning(Inputs in, long now, Outputs out) {
    if (out.mode == Mode.HELD && out.inverter == InverterOrder.OFF) {
      out.inverterOrdered = false;
    }
  }

  private static void closeOnDeadReading(Inputs in, long now, Outputs out) {
    TieTelemetry t = in.tie();
    if ((out.mode == Mode.ISLANDED || out.mode == Mode.RECONNECTING)
        && out.grid == GridState.QUALIFIED
        && !t.closed()
        && t.islandVoltagePu() < DEAD_PU) {
      close(out);
    }
  }

  private static void closeWithoutCheck(Inputs in, long now, Outputs out) {
    if (out.mode == Mode.RECONNECTING && !in.tie().closed()) {
      close(out);
    }
  }

  private static void close(Outputs out) {
    out.tie = TieOrder.CLOSE;
    out.tieOrdered = true;
  }
}
