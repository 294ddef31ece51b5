package islet.bench.defect;

import static islet.bench.defect.Defect.Part.ALARMS_AND_JOURNAL;
import static islet.bench.defect.Defect.Part.MODE_MACHINE;
import static islet.bench.defect.SpoiltSupervisor.misreading;
import static islet.bench.defect.SpoiltSupervisor.ordering;

import islet.contract.Alarm;
import islet.contract.AlarmPriority;
import islet.contract.InverterOrder;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Mode;
import islet.control.Inputs;
import islet.control.Keepsake;
import islet.control.Outputs;
import islet.control.SiteSupervisor;
import islet.control.Supervisor;
import islet.site.Site;
import java.util.List;
import java.util.function.Consumer;

/** What can go wrong with what a person is told. */
final class PictureDefects {

  private static final String ALARM = "/" + Kind.ALARM.segment();

  static final List<Defect> ALL =
      List.of(
          new Defect(
              "dark-told-as-islanded",
              "DARK told as ISLANDED",
              "Two rows of the table that turns a phase into the mode that is told are swapped: a"
                  + " panel without supply is told as an island.",
              ALARMS_AND_JOURNAL,
              ordering(site -> PictureDefects::tellIslanded)),
          new Defect(
              "islanded-told-with-the-order",
              "ISLANDED told with the order to form",
              "The mode that is told follows what was ordered and not what the field says: ISLANDED"
                  + " as soon as the inverter is told to form.",
              ALARMS_AND_JOURNAL,
              ordering(site -> PictureDefects::tellOrdered)),
          Defect.saying(
              "medium-alarms-swallowed",
              "Alarms of medium priority swallowed",
              "The filter that keeps a flood of alarms from the screen drops every alarm below"
                  + " HIGH, flood or not.",
              ALARMS_AND_JOURNAL,
              site -> PictureDefects::onlyHigh),
          new Defect(
              "link-timeout-in-milliseconds",
              "Link time-out taken as milliseconds",
              "The time after which a device counts as silent is read as milliseconds: between any"
                  + " two reports of a healthy device an alarm rings.",
              ALARMS_AND_JOURNAL,
              misreading(site -> SiteSlips.linkTimeout(site, linkTimeoutS(site) / 1000))),
          new Defect(
              "stands-still-behind-heartbeat",
              "Heartbeat of a scan that stands still",
              "The logic divides by the utility's frequency; on a dead line that fails, the failure"
                  + " is caught, and heartbeat and old orders go out as if the scan had been done.",
              MODE_MACHINE,
              site -> new StandsStill(new SiteSupervisor(site))));

  private PictureDefects() {}

  private static void tellIslanded(Inputs in, long now, Outputs out) {
    if (out.mode == Mode.DARK) {
      out.mode = Mode.ISLANDED;
    }
  }

  private static double linkTimeoutS(Site site) {
    return site.supervision().linkTimeoutS();
  }

  private static void onlyHigh(Message message, Consumer<Message> wire) {
    if (!message.topic().endsWith(ALARM) || isHigh(message)) {
      wire.accept(message);
    }
  }

  private static boolean isHigh(Message message) {
    try {
      return Alarm.LAYOUT.decode(message.payload()).priority() == AlarmPriority.HIGH;
    } catch (MalformedException e) {
      return true; // not ours to judge
    }
  }

  private static void tellOrdered(Inputs in, long now, Outputs out) {
    if (out.mode == Mode.ISLANDING && out.inverterOrdered && out.inverter == InverterOrder.FORM) {
      out.mode = Mode.ISLANDED;
    }
  }

  /** Decides nothing while the utility's line is dead. */
  private record StandsStill(Supervisor good) implements Supervisor {

    @Override
    public void scan(Inputs in, long nowMicros, Outputs out) {
      boolean fails = in.tieAt() != Inputs.NEVER && in.tie().utilityFrequencyHz() == 0;
      if (!fails) {
        good.scan(in, nowMicros, out);
      }
    }

    @Override
    public boolean wantsToThink() {
      return good.wantsToThink();
    }

    @Override
    public void think() {
      good.think();
    }

    @Override
    public void keep(Keepsake keepsake) {
      good.keep(keepsake);
    }
  }
}
