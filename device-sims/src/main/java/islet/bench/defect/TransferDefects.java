package islet.bench.defect;

import static islet.bench.defect.Defect.Part.INTERLOCKS;
import static islet.bench.defect.Defect.Part.MODE_MACHINE;
import static islet.bench.defect.SpoiltSupervisor.misreading;
import static islet.bench.defect.SpoiltSupervisor.ordering;
import static islet.bench.defect.SpoiltSupervisor.seeing;

import islet.contract.GridState;
import islet.contract.InverterOrder;
import islet.contract.Mode;
import islet.contract.TieOrder;
import islet.contract.TieTelemetry;
import islet.control.Inputs;
import islet.control.Outputs;
import islet.site.Site;
import islet.site.Site.Timeouts;
import java.util.List;

/** What can go wrong between the utility and the island. */
final class TransferDefects {

  /** A panel below this is dead, per unit, as the supervisor has it. */
  private static final double DEAD_PU = 0.1;

  /** As long as the supervisor believes what it was told. */
  private static final long SILENT_MICROS = 3_000_000;

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
              ordering(site -> TransferDefects::closeWithoutCheck)),
          new Defect(
              "no-black-start",
              "No black start",
              "On the way out of DARK the inverter keeps its order OFF: the black start steps through"
                  + " its phases and starts nothing.",
              MODE_MACHINE,
              ordering(site -> new NoBlackStart())),
          new Defect(
              "form-timeout-in-milliseconds",
              "Time-out in the wrong unit",
              "The time-out of forming an island is taken as milliseconds: an inverter that has to"
                  + " start first never gets the time for it.",
              MODE_MACHINE,
              misreading(TransferDefects::hastyForming)),
          new Defect(
              "silent-tie-ends-island",
              "An island ends when the tie falls silent",
              "A tie that is not heard counts as closed everywhere, so that the inverter is switched"
                  + " off although its own interlock holds and the loads live by it.",
              MODE_MACHINE,
              ordering(site -> TransferDefects::endWithTie)),
          new Defect(
              "dark-leaves-inverter-running",
              "DARK does not stop the inverter",
              "At the floor the mode changes and the alarm rings, but the order OFF is not among the"
                  + " actions, so the inverter goes on.",
              MODE_MACHINE,
              ordering(site -> new LeaveRunningInTheDark())));

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

  private static final class NoBlackStart implements Hands {
    private boolean dark;

    @Override
    public void carryOut(Inputs in, long now, Outputs out) {
      dark = out.mode == Mode.DARK || (dark && out.mode != Mode.GRID_PRESENT);
      if (dark && out.inverter == InverterOrder.FORM) {
        out.inverter = InverterOrder.OFF;
      }
    }
  }

  private static Site hastyForming(Site site) {
    Timeouts t = site.supervision().timeouts();
    return SiteSlips.timeouts(
        site,
        new Timeouts(
            t.startS(), t.openS(), t.formS() / 1000, t.synchroniseS(), t.closeS(), t.unloadS()));
  }

  private static void endWithTie(Inputs in, long now, Outputs out) {
    boolean silent = now - in.tieAt() > SILENT_MICROS;
    if (silent && out.mode == Mode.ISLANDED) {
      out.inverter = InverterOrder.OFF;
      out.inverterOrdered = true;
      out.islandPermit = false;
    }
  }

  /** The inverter keeps the last order that it had before the dark. */
  private static final class LeaveRunningInTheDark implements Hands {
    private InverterOrder last = InverterOrder.OFF;

    @Override
    public void carryOut(Inputs in, long now, Outputs out) {
      if (out.mode == Mode.DARK) {
        out.inverter = last;
        out.islandPermit = true;
      } else if (out.inverterOrdered) {
        last = out.inverter;
      }
    }
  }

  private static void close(Outputs out) {
    out.tie = TieOrder.CLOSE;
    out.tieOrdered = true;
  }
}
