package islet.site;

import java.util.List;

/** Reads how the supervisor runs the site. */
final class SupervisionReader {

  private SupervisionReader() {}

  static Site.Supervision supervision(Section s, Site.Arrangement arrangement) {
    double scan = s.quantity("scan", Dimension.TIME, 0.01, 10, "");
    double heartbeat = s.quantity("heartbeat", Dimension.TIME, 0.1, 60, "");
    double linkTimeout =
        s.quantity("linkTimeout", Dimension.TIME, 0.2, 600, "A few heartbeats long.");
    double lifetime =
        s.quantity("commandLifetime", Dimension.TIME, 1, 60, "MQTT counts whole seconds.");
    Site.Coordination coordination =
        s.has("coordination")
            ? s.choice("coordination", Site.Coordination.class, "")
            : Site.Coordination.SHARED;
    // Only a tie can choose; a changeover switch always leaves, and without one nothing can.
    Site.OnSag onSag =
        arrangement.hasTie() ? s.choice("onSag", Site.OnSag.class, "") : Site.OnSag.SEPARATE;
    if (!arrangement.hasTie() && s.has("onSag")) {
      s.wrong("onSag", "no such field without a tie", "Take it out.");
    }
    double reserve =
        s.quantity("reserve", Dimension.RATIO, 0, 1, "State of charge kept for an outage.");
    List<Site.ChargeWindow> windows =
        arrangement.hasUtility()
            ? s.sections("chargeWindows", "Write [] for none.", SupervisionReader::window)
            : List.of();
    if (!arrangement.hasUtility() && s.has("chargeWindows")) {
      s.wrong("chargeWindows", "no such field without a utility", "Take it out.");
    }
    List<String> shedding = s.texts("shedding", "names of critical circuits", "Write [] for none.");
    double shed = s.quantity("shedBelow", Dimension.RATIO, 0, 1, "");
    double restore = s.quantity("restoreAbove", Dimension.RATIO, 0, 1, "");
    Site.Timeouts timeouts = s.section("timeouts", "", t -> timeouts(t, arrangement));
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
        coordination,
        onSag,
        reserve,
        windows,
        shedding,
        shed,
        restore,
        timeouts,
        s.has("reserveWindows")
            ? s.sections("reserveWindows", "", SupervisionReader::reserveWindow)
            : List.of(),
        s.has("dispatch")
            ? s.section("dispatch", "", d -> dispatch(d, arrangement))
            : Dispatch.USUAL);
  }

  private static Dispatch dispatch(Section s, Site.Arrangement arrangement) {
    Dispatch usual = Dispatch.USUAL;
    Dispatch.Trade trade =
        s.has("trade") ? s.choice("trade", Dispatch.Trade.class, "") : usual.trade();
    Dispatch.Plan plan = s.has("plan") ? s.choice("plan", Dispatch.Plan.class, "") : usual.plan();
    if (!arrangement.mayFeed()) {
      String why = "no such field where the inverter does not feed while connected";
      for (String field : List.of("trade", "plan", "exportWindows")) {
        if (s.has(field)) {
          s.wrong(field, why, "Take it out.");
        }
      }
    }
    return new Dispatch(
        plan,
        trade,
        s.has("roundTrip")
            ? s.quantity("roundTrip", Dimension.RATIO, 0.2, 1, "Until it has been measured.")
            : usual.roundTrip(),
        s.has("exportWindows")
            ? s.sections("exportWindows", "", SupervisionReader::exportWindow)
            : usual.exportWindows(),
        s.has("waitConfidence")
            ? s.quantity("waitConfidence", Dimension.RATIO, 0, 1, "0 % waits always.")
            : usual.waitConfidence(),
        s.has("warning") ? s.section("warning", "", SupervisionReader::warning) : usual.warning());
  }

  private static Dispatch.ExportWindow exportWindow(Section s) {
    return new Dispatch.ExportWindow(s.span("between", ""), DaySetReader.days(s));
  }

  private static Dispatch.Warning warning(Section s) {
    Dispatch.Warning usual = Dispatch.USUAL.warning();
    return new Dispatch.Warning(
        s.has("reserve")
            ? s.quantity("reserve", Dimension.RATIO, 0, 1, "State of charge kept meanwhile.")
            : usual.reserveSoc(),
        s.has("confidence")
            ? s.quantity("confidence", Dimension.RATIO, 0, 1, "How far the utility is trusted.")
            : usual.confidence());
  }

  private static Site.ChargeWindow window(Section s) {
    return new Site.ChargeWindow(
        s.span("between", ""),
        s.quantity("untilSoc", Dimension.RATIO, 0, 1, ""),
        s.quantity("maximumCurrent", Dimension.CURRENT, 0, 5000, ""),
        DaySetReader.days(s));
  }

  private static Site.ReserveWindow reserveWindow(Section s) {
    return new Site.ReserveWindow(
        s.span("between", ""),
        s.quantity("reserve", Dimension.RATIO, 0, 1, "State of charge kept for an outage."),
        DaySetReader.days(s));
  }

  private static Site.Timeouts timeouts(Section s, Site.Arrangement arrangement) {
    double start = s.quantity("start", Dimension.TIME, 1, 3600, "");
    double open = step(s, "open", 0.01, 60, arrangement.hasSwitch());
    double form = s.quantity("form", Dimension.TIME, 0.1, 300, "");
    double synchronise = step(s, "synchronise", 1, 3600, arrangement.hasTie());
    double close = step(s, "close", 0.01, 60, arrangement.hasSwitch());
    double unload =
        s.has("unload")
            ? step(s, "unload", 1, 600, arrangement.mayFeed())
            : Site.Timeouts.USUAL_UNLOAD_S;
    return new Site.Timeouts(start, open, form, synchronise, close, unload);
  }

  /** The longest that a step may take which not every arrangement has. */
  private static double step(
      Section s, String name, double minimum, double maximum, boolean there) {
    if (there) {
      return s.quantity(name, Dimension.TIME, minimum, maximum, "");
    }
    if (s.has(name)) {
      s.wrong(name, "no such step in this arrangement", "Take it out.");
    }
    return 0;
  }
}
