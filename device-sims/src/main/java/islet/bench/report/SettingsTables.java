package islet.bench.report;

import islet.plant.Efficiency;
import islet.plant.LossCurve;
import islet.plant.WeightedEfficiency;
import islet.site.DaySet;
import islet.site.Dispatch;
import islet.site.GridProfile;
import islet.site.Section;
import islet.site.Site;
import islet.site.Tariff;
import islet.site.Timed;
import java.util.stream.Collectors;

/** The site's settings as the run had them. */
final class SettingsTables {

  private final Html html;

  private SettingsTables(Html html) {
    this.html = html;
  }

  /** Writes a table for each part of the site. */
  static void write(Html html, Site site) {
    html.raw("<div class=\"pairs\">\n");
    SettingsTables tables = new SettingsTables(html);
    tables.battery(site.battery());
    tables.supervision(site);
    if (site.arrangement().hasUtility()) {
      tables.grid(site.profile());
    }
    site.tie().ifPresent(tables::tie);
    site.changeover().ifPresent(tables::changeover);
    tables.converters(site);
    if (site.arrangement().hasUtility()) {
      tables.tariff(site.tariff());
    }
    html.raw("</div>\n");
  }

  private void battery(Site.Battery battery) {
    Site.Limits limits = battery.limits();
    Site.Charge charge = battery.charge();
    begin("Battery");
    row("Absorption at 25 °C", charge.absorptionV(), "V");
    row("Float at 25 °C", charge.floatV(), "V");
    row("Temperature compensation", charge.compensationVPerK() * 1000, "mV/K");
    row("Absorption, at most", Num.duration(charge.absorptionS()));
    row("Tail current", charge.tailA(), "A");
    row("New charge below", charge.rebulkV(), "V");
    row("Voltage, at most", limits.maximumV(), "V");
    row("Charge current, at most", limits.maximumChargeA(), "A");
    row("Charged from", limits.minimumChargeC(), "°C");
    row("Charged to", limits.maximumChargeC(), "°C");
    percent("Floor", limits.floorSoc());
    percent("Recovery", limits.recoverySoc());
    row("Disconnect", limits.disconnectV(), "V");
    row("Reconnect", limits.reconnectV(), "V");
    row("Tolerance", Num.duration(limits.toleranceS()));
    battery.management().ifPresent(this::management);
    end();
  }

  private void management(Site.Management unit) {
    row("Own protection, cell above", unit.overV(), "V");
    row("Own protection, cell below", unit.underV(), "V");
    row("Own protection, charge above", unit.chargeA(), "A");
    row("Own protection, discharge above", unit.dischargeA(), "A");
    row("Own protection, above", unit.overC(), "°C");
  }

  private void supervision(Site site) {
    Site.Supervision run = site.supervision();
    begin("Supervision");
    row("Scan", Num.duration(run.scanS()));
    row("Heartbeat", Num.duration(run.heartbeatS()));
    row("Link time-out", Num.duration(run.linkTimeoutS()));
    row("Command lifetime", Num.duration(run.commandLifetimeS()));
    row(
        "Charge stage",
        run.coordination() == Site.Coordination.SHARED
            ? "one for all chargers"
            : "each charger by itself");
    if (site.arrangement().hasTie()) {
      row("In a sag", Words.of(run.onSag()));
    }
    percent("Reserve", run.reserveSoc());
    for (Site.ReserveWindow window : run.reserveWindows()) {
      percent("Reserve " + when(window), window.reserveSoc());
    }
    for (Site.ChargeWindow window : run.chargeWindows()) {
      row(
          "Charge window",
          span(window.span())
              + ", to "
              + Num.significant(window.untilSoc() * 100)
              + " %, at most "
              + Num.significant(window.maximumA())
              + " A"
              + on(window));
    }
    dispatch(run.dispatch());
    if (!run.shedding().isEmpty()) {
      row("Shed in this order", String.join(", ", run.shedding()));
      percent("Shed below", run.shedBelowSoc());
      percent("Restore above", run.restoreAboveSoc());
    }
    Site.Timeouts waits = run.timeouts();
    row("Waits: start", Num.duration(waits.startS()));
    if (site.arrangement().hasSwitch()) {
      row("Waits: switch opens", Num.duration(waits.openS()));
    }
    row("Waits: island forms", Num.duration(waits.formS()));
    if (site.arrangement().hasTie()) {
      row("Waits: in step", Num.duration(waits.synchroniseS()));
    }
    if (site.arrangement().hasSwitch()) {
      row("Waits: switch closes", Num.duration(waits.closeS()));
    }
    end();
  }

  /** Only what is not as usual: most sites trade nothing. */
  private void dispatch(Dispatch dispatch) {
    if (dispatch.plan() == Dispatch.Plan.OPTIMAL) {
      row("Plan", "a linear program, solved anew each hour");
    }
    if (dispatch.trade() != Dispatch.Trade.NONE) {
      row(
          "While energy is dear the battery",
          dispatch.trade() == Dispatch.Trade.LOADS ? "carries the loads" : "is exported too");
      percent("Round trip, until measured", dispatch.roundTrip());
    }
    for (Dispatch.ExportWindow window : dispatch.exportWindows()) {
      row("Export window", when(window));
    }
    if (dispatch.waitConfidence() > 0) {
      percent("Waits for a window if so sure of the utility", dispatch.waitConfidence());
    }
    if (!dispatch.warning().equals(Dispatch.USUAL.warning())) {
      percent("Reserve while warned", dispatch.warning().reserveSoc());
      percent("Trust in the utility while warned", dispatch.warning().confidence());
    }
  }

  private void grid(GridProfile profile) {
    begin("Grid code: " + profile.name());
    for (GridProfile.Trip trip : profile.trips()) {
      String unit =
          switch (trip.quantity()) {
            case OVER_VOLTAGE, UNDER_VOLTAGE -> " pu";
            case OVER_FREQUENCY, UNDER_FREQUENCY -> " Hz";
          };
      row(
          trip.name(),
          Num.significant(trip.limit()) + unit + " for " + Num.duration(trip.clearingS()));
    }
    GridProfile.EnterService enter = profile.enter();
    row(
        "Enter service",
        Num.significant(enter.minimumPu())
            + " to "
            + Num.significant(enter.maximumPu())
            + " pu, "
            + Num.significant(enter.minimumHz())
            + " to "
            + Num.significant(enter.maximumHz())
            + " Hz for "
            + Num.duration(enter.delayS()));
    GridProfile.SyncLimits sync = profile.sync();
    row(
        "Sync limits",
        Num.significant(sync.voltagePu())
            + " pu, "
            + Num.significant(sync.frequencyHz())
            + " Hz, "
            + Num.significant(sync.angleDeg())
            + "°");
    row("Island ends within", Num.duration(profile.islandDetectionS()));
    row("Ceases to feed below", profile.cessationBelowPu(), "pu");
    row("Source", profile.source());
    end();
  }

  private void tie(Site.Tie tie) {
    begin("Tie switch");
    row("Operates in", Num.duration(tie.operateS()));
    row(
        "Utility lost below",
        Num.significant(tie.lossBelowPu()) + " pu for " + Num.duration(tie.lossS()));
    row(
        "Leaves a sag below",
        Num.significant(tie.separateBelowPu()) + " pu for " + Num.duration(tie.separateS()));
    end();
  }

  private void changeover(Site.Changeover changeover) {
    begin("Changeover switch");
    row("Moved", changeover.manual() ? "by hand" : "by itself and on orders");
    row("Leaves its side in", Num.duration(changeover.operateS()));
    row("Between its sides for", Num.duration(changeover.deadS()));
    if (!changeover.manual()) {
      row(
          "Utility lost below",
          Num.significant(changeover.lossBelowPu())
              + " pu for "
              + Num.duration(changeover.lossS()));
      row("Loads are rather on", Words.of(changeover.prefer()));
    }
    end();
  }

  private void converters(Site site) {
    begin("Converters");
    row("Regulator", site.regulator().ratedA(), "A");
    if (site.regulator().kind() == Site.RegulatorKind.PWM) {
      row("Regulator's drop (PWM)", site.regulator().dropV(), "V");
    }
    row("Inverter", site.inverter().ratedW(), "W");
    row(
        "Surge",
        Num.significant(site.inverter().surgeW())
            + " W for "
            + Num.duration(site.inverter().surgeS()));
    for (Site.SurgePoint point : site.inverter().surge()) {
      row("Surge", Num.significant(point.powerW()) + " W for " + Num.duration(point.forS()));
    }
    weighted(site.inverter());
    if (site.arrangement().hasUtility()) {
      row("Charger", site.utilityChargeA(), "A");
    }
    row("DC from", site.inverter().dcMinimumV(), "V");
    row("DC to", site.inverter().dcMaximumV(), "V");
    if (site.arrangement().mayFeed()) {
      row("Export limit", site.utility().exportLimitW(), "W");
    }
    end();
  }

  private void weighted(Site.Inverter inverter) {
    Site.Efficiency e = inverter.efficiency();
    LossCurve losses =
        LossCurve.through(
            inverter.ratedW(), new Efficiency(e.at10(), e.at50(), e.at100()), inverter.idleW());
    percent("European efficiency", WeightedEfficiency.european(losses, inverter.ratedW()));
    percent("CEC efficiency", WeightedEfficiency.californian(losses, inverter.ratedW()));
  }

  private void tariff(Tariff tariff) {
    begin("Tariff");
    for (Tariff.Season season : tariff.seasons()) {
      for (Tariff.DayBands day : season.days()) {
        bands(tariff, season, day);
      }
    }
    row("Standing", Num.fixed(tariff.standingPerDay(), 2), tariff.currency() + " a day");
    for (Tariff.DemandCharge charge : tariff.demand()) {
      row(
          "Demand, " + charge.name(),
          Num.fixed(charge.perKW(), 2),
          tariff.currency() + "/kW a month");
    }
    row("Meter's interval", tariff.intervalMinutes(), "min");
    end();
  }

  private void bands(Tariff tariff, Tariff.Season season, Tariff.DayBands day) {
    String when = season.name().isEmpty() ? "" : Words.of(season.name()) + ", ";
    if (day.on().size() < Tariff.DayClass.values().length) {
      when += day.on().stream().map(Section::word).collect(Collectors.joining(", ")) + ": ";
    }
    for (Tariff.Band band : day.bands()) {
      // The last band may have no span of its own: it holds when no other does.
      int length = Math.abs(band.span().to() - band.span().from());
      boolean otherwise = length % (24 * 60) == 0;
      String name = when.isEmpty() ? Words.of(band.name()) : when + band.name();
      row(
          name + (otherwise ? ", else" : ", " + span(band.span())),
          Num.fixed(band.importPerKWh(), 4) + ", export " + Num.fixed(band.exportPerKWh(), 4),
          tariff.currency() + "/kWh");
    }
  }

  private static String when(Timed window) {
    return span(window.span()) + on(window);
  }

  private static String on(Timed window) {
    return window.days().equals(DaySet.EVERY) ? "" : ", " + window.days().inWords();
  }

  private static String span(Site.MinuteSpan span) {
    return CivilTime.ofDay(span.from()) + "–" + CivilTime.ofDay(span.to());
  }

  private void begin(String name) {
    html.raw("<div>").element("h3", name).raw("\n<table><tbody>\n");
  }

  private void end() {
    html.raw("</tbody></table></div>\n");
  }

  private void percent(String name, double share) {
    row(name, share * 100, "%");
  }

  private void row(String name, double value, String unit) {
    row(name, Num.significant(value), unit);
  }

  private void row(String name, String value, String unit) {
    row(name, value + "\u00a0" + unit);
  }

  private void row(String name, String value) {
    html.raw("<tr>").element("td", name).element("td", value).raw("</tr>\n");
  }
}
