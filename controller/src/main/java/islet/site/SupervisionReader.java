package islet.site;

import java.util.List;

/** Reads how the supervisor runs the site. */
final class SupervisionReader {

  private SupervisionReader() {}

  static Site.Supervision supervision(Section s) {
    double scan = s.quantity("scan", Dimension.TIME, 0.01, 10, "");
    double heartbeat = s.quantity("heartbeat", Dimension.TIME, 0.1, 60, "");
    double linkTimeout =
        s.quantity("linkTimeout", Dimension.TIME, 0.2, 600, "A few heartbeats long.");
    double lifetime =
        s.quantity("commandLifetime", Dimension.TIME, 1, 60, "MQTT counts whole seconds.");
    Site.OnSag onSag = s.choice("onSag", Site.OnSag.class, "");
    double reserve =
        s.quantity("reserve", Dimension.RATIO, 0, 1, "State of charge kept for an outage.");
    List<Site.ChargeWindow> windows =
        s.sections("chargeWindows", "Write [] for none.", SupervisionReader::window);
    List<String> shedding = s.texts("shedding", "names of critical circuits", "Write [] for none.");
    double shed = s.quantity("shedBelow", Dimension.RATIO, 0, 1, "");
    double restore = s.quantity("restoreAbove", Dimension.RATIO, 0, 1, "");
    Site.Timeouts timeouts = s.section("timeouts", "", SupervisionReader::timeouts);
    if (linkTimeout <= heartbeat) {
      s.wrong("linkTimeout", "more than heartbeat", "Else every heartbeat comes too late.");
    }
    if (lifetime <= scan) {
      s.wrong("commandLifetime", "more than scan", "Else a command dies before the next one.");
    }
    if (shed >= restore) {
      s.wrong("shedBelow", "less than restoreAbove", "Circuits would come and go without end.");
    }
    return new Site.Supervision(
        scan,
        heartbeat,
        linkTimeout,
        lifetime,
        onSag,
        reserve,
        windows,
        shedding,
        shed,
        restore,
        timeouts);
  }

  private static Site.ChargeWindow window(Section s) {
    return new Site.ChargeWindow(
        s.span("between", ""),
        s.quantity("untilSoc", Dimension.RATIO, 0, 1, ""),
        s.quantity("maximumCurrent", Dimension.CURRENT, 0, 5000, ""));
  }

  private static Site.Timeouts timeouts(Section s) {
    return new Site.Timeouts(
        s.quantity("start", Dimension.TIME, 1, 3600, ""),
        s.quantity("open", Dimension.TIME, 0.01, 60, ""),
        s.quantity("form", Dimension.TIME, 0.1, 300, ""),
        s.quantity("synchronise", Dimension.TIME, 1, 3600, ""),
        s.quantity("close", Dimension.TIME, 0.01, 60, ""));
  }
}
