package islet.bench.check;

import static islet.bench.check.Severity.DOUBTFUL;
import static islet.bench.check.Severity.NOTE;
import static islet.bench.check.Severity.WRONG;

import java.util.List;

/** The inverter against its loads. */
final class InverterRules {

  private static final String ARITHMETIC = "arithmetic on the site's own figures";
  private static final double EDGE = 1e-9;

  private InverterRules() {}

  static final List<Rule> ALL =
      List.of(
          new Rule(
              "inverter-peak",
              WRONG,
              "an inverter rated for all critical circuits that can be on in one hour",
              "In the first outage at a busy hour it trips on overload, and the panel is dark.",
              ARITHMETIC,
              InverterRules::inverterPeak),
          new Rule(
              "motor-start",
              WRONG,
              "an inverter whose surge bears each motor's start with all else on",
              "The panel's voltage sags in the start, and the inverter trips when it lasts.",
              "the site's own figures; where a start is not stated, six times the running current"
                  + " for half a second, common practice, from memory",
              InverterRules::motorStart),
          new Rule(
              "motor-unstated",
              NOTE,
              "the start of each motor stated as inrush",
              "A compressor or pump may start at eight times its running current.",
              "common practice, from memory",
              InverterRules::motorUnstated),
          new Rule(
              "idle-share",
              DOUBTFUL,
              "idle draw of inverter and regulator: a quarter of the critical panel's energy at most",
              "The bank is emptied by what serves nobody.",
              "common practice",
              InverterRules::idleShare),
          new Rule(
              "efficiency-curve",
              WRONG,
              "efficiencies and idle draw of the inverter that make one loss curve",
              "A slip in one of the figures spoils every energy figure; no run can begin.",
              "losses of a converter are idle, proportional and quadratic, common practice",
              InverterRules::efficiencyCurve),
          new Rule(
              "export-rating",
              DOUBTFUL,
              "an export limit no higher than the inverter's rating",
              "A limit that nothing can reach limits nothing: it may be that of another site.",
              ARITHMETIC,
              InverterRules::exportRating));

  private static void inverterPeak(Subject s, Findings f) {
    if (s.critical().peakVa() > s.inverter().ratedW() + EDGE) {
      f.tell(
          WRONG,
          "inverter.ratedPower",
          Say.watts(s.inverter().ratedW())
              + "; the critical panel draws up to "
              + Say.voltAmps(s.critical().peakVa()),
          "A larger inverter, or fewer circuits on the emergency panel.");
    }
  }

  private static void motorStart(Subject s, Findings f) {
    for (PanelLoad.MotorStart start : s.critical().starts()) {
      double borneVa = s.borneVa(start.forS());
      if (start.panelVa() > borneVa + EDGE) {
        f.tell(
            start.stated() ? WRONG : DOUBTFUL,
            "circuits." + start.circuit(),
            "while it starts the panel draws "
                + Say.voltAmps(start.panelVa())
                + " for "
                + Say.seconds(start.forS())
                + (start.stated() ? "" : ", assumed")
                + "; the inverter bears "
                + Say.voltAmps(borneVa),
            "A soft starter, a larger inverter, or this motor not on the emergency panel.");
      }
    }
  }

  private static void motorUnstated(Subject s, Findings f) {
    for (PanelLoad.MotorStart start : s.critical().starts()) {
      if (!start.stated()) {
        f.tell(
            NOTE,
            "circuits." + start.circuit(),
            "a cycling load with the power factor of a motor, and no inrush",
            "Read the locked-rotor current off the motor's plate, or measure a start, and state"
                + " it.");
      }
    }
  }

  private static void idleShare(Subject s, Findings f) {
    double idleW = s.inverter().idleW() + s.site().regulator().idleW();
    double share = idleW / s.critical().meanW();
    if (share > 0.25) {
      f.tell(
          DOUBTFUL,
          "inverter.idle",
          Say.watts(idleW)
              + " with the regulator's; the critical panel's mean is "
              + Say.watts(s.critical().meanW()),
          "A smaller inverter, one that sleeps, or DC loads on the bus.");
    }
  }

  private static void efficiencyCurve(Subject s, Findings f) {
    if (!s.lossesWrong().isEmpty()) {
      f.tell(
          WRONG,
          "inverter.efficiency",
          Say.share(s.inverter().efficiency().at10())
              + ", "
              + Say.share(s.inverter().efficiency().at50())
              + " and "
              + Say.share(s.inverter().efficiency().at100())
              + " at 10, 50 and 100 %, with an idle draw of "
              + Say.watts(s.inverter().idleW()),
          "Read the curve anew; at 10 % the loss holds at least the idle draw.");
    }
  }

  private static void exportRating(Subject s, Findings f) {
    double limitW = s.site().utility().exportLimitW();
    if (s.site().arrangement().mayFeed() && limitW > s.inverter().ratedW() + EDGE) {
      f.tell(
          DOUBTFUL,
          "utility.exportLimit",
          Say.watts(limitW) + "; the inverter gives " + Say.watts(s.inverter().ratedW()),
          "Compare it with the connection agreement.");
    }
  }
}
