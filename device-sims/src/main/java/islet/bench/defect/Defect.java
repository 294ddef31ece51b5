package islet.bench.defect;

import islet.bench.plug.WireHabit;
import islet.contract.Port;
import islet.control.SiteSupervisor;
import islet.control.Supervisor;
import islet.site.Site;
import java.util.function.Function;

/**
 * One small wrong change to Islet's own supervisor.
 *
 * @param id lower-case letters, digits and hyphens
 * @param title in a few words
 * @param wrong what is wrong, in a sentence as a reviewer would say it
 * @param part the part of the supervisor that it breaks
 * @param spoilt makes a supervisor that has it
 * @param way the way to the broker for such supervisors
 */
public record Defect(
    String id, String title, String wrong, Part part, Function<Site, Supervisor> spoilt, Way way)
    implements WireHabit {

  /** A defect that does not touch the wire. */
  public Defect(
      String id, String title, String wrong, Part part, Function<Site, Supervisor> spoilt) {
    this(id, title, wrong, part, spoilt, (honest, site) -> honest);
  }

  /** How a supervisor with a defect comes to the broker. */
  @FunctionalInterface
  public interface Way {
    /**
     * The way for the supervisors of one run.
     *
     * @param honest the broker as it is
     */
    Port.Broker over(Port.Broker honest, Site site);
  }

  /** Says things wrong on the wire; the logic behind is Islet's own. */
  static Defect saying(
      String id, String title, String wrong, Part part, Function<Site, Mouth> mouth) {
    return new Defect(
        id,
        title,
        wrong,
        part,
        SiteSupervisor::new,
        (honest, site) -> {
          Mouth spoilt = mouth.apply(site);
          return (client, will, listener) -> spoilt.over(honest.connect(client, will, listener));
        });
  }

  /** What stands before a defect's id where a supervisor is named. */
  public static final String PREFIX = "defect:";

  /** The parts of a supervisor. */
  public enum Part {
    /** What a measurement is worth. */
    SIGNAL_VALIDATION("signal validation"),
    /** What the utility is worth. */
    GRID_QUALIFICATION("grid qualification"),
    /** Which mode, and what leads from one to the next. */
    MODE_MACHINE("mode machine"),
    /** What holds in every mode. */
    INTERLOCKS("interlocks"),
    /** One charge stage, shared limits. */
    CHARGE_COORDINATION("charge coordination"),
    /** Windows, prices, reserve, shedding. */
    SCHEDULE_AND_DISPATCH("schedule and dispatch"),
    /** What a person is told, and what is remembered. */
    ALARMS_AND_JOURNAL("alarms and journal"),
    /** Who commands, and for how long an order is good. */
    AUTHORITY("authority");

    private final String text;

    Part(String text) {
      this.text = text;
    }

    /** In words. */
    public String text() {
      return text;
    }
  }

  /** As in {@code --supervisor defect:ID}. */
  @Override
  public String name() {
    return PREFIX + id;
  }

  @Override
  public Supervisor make(Site site) {
    return spoilt.apply(site);
  }

  @Override
  public Port.Broker over(Port.Broker honest, Site site) {
    return way.over(honest, site);
  }
}
