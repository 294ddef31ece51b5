package islet.bench.check;

import static islet.bench.check.Severity.DOUBTFUL;
import static islet.bench.check.Severity.WRONG;

import islet.site.Site;
import java.util.List;

/** Scan, link and time-outs. */
final class TimingRules {

  private static final double EDGE = 1e-9;

  /** The way of an order and of its report over a slow link, s. */
  private static final double LINK_S = 0.5;

  private TimingRules() {}

  static final List<Rule> ALL =
      List.of(
          new Rule(
              "link-timeout",
              DOUBTFUL,
              "silence of three heartbeats or more before devices fall back, and of 60 s at most",
              "Too short, one lost message drops the site to its own settings; too long, devices obey"
                  + " a supervisor that has died.",
              "common practice",
              TimingRules::linkTimeout),
          new Rule(
              "command-lifetime",
              WRONG,
              "commands that die before devices fall back",
              "A device that has fallen back would obey an order of the supervisor it has given up.",
              "common practice",
              TimingRules::commandLifetime),
          new Rule(
              "heartbeat",
              DOUBTFUL,
              "a heartbeat of two scans or more",
              "A heartbeat between two scans says nothing of the scan.",
              "common practice",
              TimingRules::heartbeat),
          new Rule(
              "scan",
              DOUBTFUL,
              "a scan of 1 s at most",
              "Each step of a transition takes a scan or two, and the panel waits.",
              "common practice",
              TimingRules::scan),
          new Rule(
              "timeout-switch",
              DOUBTFUL,
              "half a second above the switch's travel for opening and closing",
              "Order and report travel over the link too: a slow message counts as a failed switch.",
              "common practice",
              TimingRules::timeoutSwitch),
          new Rule(
              "timeout-start",
              DOUBTFUL,
              "twice the inverter's start time or more",
              "A start that takes a little longer counts as failed.",
              "common practice",
              TimingRules::timeoutStart),
          new Rule(
              "timeout-form",
              DOUBTFUL,
              "time to form an island longer than the inverter's start from cold",
              "An inverter that stood still is given up before it can live.",
              "common practice",
              TimingRules::timeoutForm),
          new Rule(
              "timeout-synchronise",
              DOUBTFUL,
              "60 s or more to synchronise",
              "At a slip of 0.02 Hz the two sides meet every 50 s.",
              "arithmetic; common practice",
              TimingRules::timeoutSynchronise));

  private static void linkTimeout(Subject s, Findings f) {
    Site.Supervision v = s.supervision();
    if (v.linkTimeoutS() < 3 * v.heartbeatS() - EDGE || v.linkTimeoutS() > 60 + EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.linkTimeout",
          Say.seconds(v.linkTimeoutS())
              + "; the heartbeat comes every "
              + Say.seconds(v.heartbeatS()),
          "Set three to ten heartbeats, and 60 s at most.");
    }
  }

  private static void commandLifetime(Subject s, Findings f) {
    Site.Supervision v = s.supervision();
    if (v.commandLifetimeS() > v.linkTimeoutS() + EDGE) {
      f.tell(
          WRONG,
          "supervision.commandLifetime",
          Say.seconds(v.commandLifetimeS())
              + "; devices fall back after "
              + Say.seconds(v.linkTimeoutS()),
          "Set it below linkTimeout.");
    }
  }

  private static void heartbeat(Subject s, Findings f) {
    Site.Supervision v = s.supervision();
    if (v.heartbeatS() < 2 * v.scanS() - EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.heartbeat",
          Say.seconds(v.heartbeatS()) + "; a scan takes place every " + Say.seconds(v.scanS()),
          "Set ten scans or more.");
    }
  }

  private static void scan(Subject s, Findings f) {
    if (s.supervision().scanS() > 1 + EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.scan",
          Say.seconds(s.supervision().scanS()) + "; asked is 1 s at most",
          "Set 100 ms.");
    }
  }

  private static void timeoutSwitch(Subject s, Findings f) {
    if (!s.site().arrangement().hasSwitch()) {
      return;
    }
    double leastS = s.site().switchTravelS() + LINK_S;
    Site.Timeouts t = s.supervision().timeouts();
    if (Math.min(t.openS(), t.closeS()) < leastS - EDGE) {
      f.tell(
          DOUBTFUL,
          t.openS() <= t.closeS() ? "supervision.timeouts.open" : "supervision.timeouts.close",
          Say.seconds(Math.min(t.openS(), t.closeS())) + "; asked is " + Say.seconds(leastS),
          "Set 1 s or more.");
    }
  }

  private static void timeoutStart(Subject s, Findings f) {
    double startS = s.supervision().timeouts().startS();
    if (startS < 2 * s.inverter().startS() - EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.timeouts.start",
          Say.seconds(startS) + "; the inverter takes " + Say.seconds(s.inverter().startS()),
          "Set twice the start time or more.");
    }
  }

  private static void timeoutForm(Subject s, Findings f) {
    double formS = s.supervision().timeouts().formS();
    if (formS < s.inverter().startS() - EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.timeouts.form",
          Say.seconds(formS)
              + "; the inverter takes "
              + Say.seconds(s.inverter().startS())
              + " from cold",
          "Set it above the start time.");
    }
  }

  private static void timeoutSynchronise(Subject s, Findings f) {
    double syncS = s.supervision().timeouts().synchroniseS();
    if (s.site().arrangement().hasTie() && syncS < 60 - EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.timeouts.synchronise",
          Say.seconds(syncS) + "; asked is 60 s or more",
          "Set 120 s.");
    }
  }
}
