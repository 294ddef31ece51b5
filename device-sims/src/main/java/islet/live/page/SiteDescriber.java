package islet.live.page;

import islet.contract.Decimal;
import islet.live.page.Description.BatteryView;
import islet.live.page.Description.CircuitView;
import islet.live.page.Description.InverterView;
import islet.live.page.Description.PvView;
import islet.live.page.Description.RegulatorView;
import islet.live.page.Description.SettingView;
import islet.live.page.Description.SiteView;
import islet.site.GridProfile;
import islet.site.Section;
import islet.site.Site;
import java.util.ArrayList;
import java.util.List;

/** A site's parts and set points for the page. */
final class SiteDescriber {

  private static final String VOLTS = "battery.voltage_V";
  private static final String SOC = "battery.soc";
  private static final String AMPERES = "battery.current_A";
  private static final String LINE_PU = "utility.voltage_pu";
  private static final String LINE_HZ = "utility.frequency_Hz";

  private final Site site;

  SiteDescriber(Site site) {
    this.site = site;
  }

  SiteView view() {
    Site.Arrangement arrangement = site.arrangement();
    Site.Pv pv = site.pv();
    Site.Battery battery = site.battery();
    return new SiteView(
        site.id(),
        site.name(),
        site.place().zone().getId(),
        Section.word(arrangement),
        arrangement.hasUtility(),
        arrangement.hasTie(),
        site.changeover().map(c -> Section.word(c.kind())).orElse(""),
        site.charger().isPresent(),
        arrangement.mayFeed(),
        panels(),
        site.utility().nominalV(),
        site.utility().nominalHz(),
        site.tariff().currency(),
        new PvView(
            pv.series(),
            pv.parallel(),
            pv.series() * pv.parallel() * pv.module().impA() * pv.module().vmpV(),
            pv.tiltDeg(),
            pv.azimuthDeg()),
        new RegulatorView(Section.word(site.regulator().kind()), site.regulator().ratedA()),
        new BatteryView(
            Section.word(battery.chemistry()),
            battery.nominalV(),
            battery.cells(),
            battery.capacity20hAh()),
        site.charger().map(Site.Charger::ratedA).orElse(0.0),
        new InverterView(
            site.inverter().ratedW(), site.inverter().surgeW(), site.inverter().ratedChargeA()),
        circuits());
  }

  private List<String> panels() {
    return List.of(Site.Panel.values()).stream()
        .filter(panel -> site.circuits().stream().anyMatch(c -> c.panel() == panel))
        .map(Section::word)
        .toList();
  }

  private List<CircuitView> circuits() {
    List<String> shedding = site.supervision().shedding();
    return site.circuits().stream()
        .map(
            c -> new CircuitView(c.name(), Section.word(c.panel()), shedding.indexOf(c.name()) + 1))
        .toList();
  }

  /** What the one-line diagram is drawn of. */
  List<String> parts() {
    Site.Arrangement arrangement = site.arrangement();
    List<String> parts = new ArrayList<>(List.of("pv", "regulator", "bus", "battery", "inverter"));
    add(parts, arrangement.hasUtility(), "utility");
    add(parts, arrangement.hasCharger(), "charger");
    add(parts, arrangement.hasTie(), "tie");
    add(parts, arrangement.hasChangeover(), "changeover");
    add(parts, panels().contains("critical"), "critical-panel");
    add(parts, panels().contains("noncritical"), "main-panel");
    return List.copyOf(parts);
  }

  private static void add(List<String> parts, boolean there, String part) {
    if (there) {
      parts.add(part);
    }
  }

  /** Set points, limits and the reserve, by the names of the site's file. */
  List<SettingView> settings() {
    List<SettingView> out = new ArrayList<>();
    Site.Charge charge = site.battery().charge();
    out.add(volts("battery.charge.absorption", "absorption", charge.absorptionV()));
    out.add(volts("battery.charge.float", "float", charge.floatV()));
    charge
        .equalise()
        .ifPresent(e -> out.add(volts("battery.charge.equalise", "equalise", e.voltageV())));
    charge.rest().ifPresent(r -> out.add(volts("battery.charge.rest", "rest", r.voltageV())));
    out.add(volts("battery.charge.rebulk", "recharge", charge.rebulkV()));
    Site.Limits limits = site.battery().limits();
    out.add(volts("battery.limits.maximumVoltage", "highest allowed", limits.maximumV()));
    out.add(volts("battery.limits.disconnect", "loads off below", limits.disconnectV()));
    out.add(volts("battery.limits.reconnect", "loads on again above", limits.reconnectV()));
    out.add(
        new SettingView(
            "battery.limits.maximumCharge",
            "charge current limit",
            limits.maximumChargeA(),
            "A",
            AMPERES));
    Site.Supervision supervision = site.supervision();
    out.add(share("supervision.reserve", "reserve", supervision.reserveSoc()));
    out.add(share("battery.limits.floor", "floor", limits.floorSoc()));
    out.add(share("battery.limits.recovery", "recovered above", limits.recoverySoc()));
    if (!supervision.shedding().isEmpty()) {
      out.add(share("supervision.shedBelow", "shedding below", supervision.shedBelowSoc()));
      out.add(share("supervision.restoreAbove", "restored above", supervision.restoreAboveSoc()));
    }
    out.add(
        new SettingView(
            "inverter.rated",
            "inverter's rating",
            site.inverter().ratedW(),
            "W",
            "inverter.power_W"));
    if (site.arrangement().hasUtility()) {
      utility(out);
    }
    return List.copyOf(out);
  }

  private void utility(List<SettingView> out) {
    if (site.arrangement().mayFeed()) {
      // Export is negative at the point of common coupling.
      out.add(
          new SettingView(
              "utility.exportLimit",
              "export limit",
              -site.utility().exportLimitW(),
              "W",
              "pcc.power_W"));
    }
    for (GridProfile.Trip trip : site.profile().trips()) {
      String title = trip.name() + ", clears in " + Decimal.text(trip.clearingS(), 2) + " s";
      switch (trip.quantity()) {
        case OVER_VOLTAGE, UNDER_VOLTAGE ->
            out.add(new SettingView("profile." + trip.name(), title, trip.limit(), "pu", LINE_PU));
        case OVER_FREQUENCY, UNDER_FREQUENCY ->
            out.add(new SettingView("profile." + trip.name(), title, trip.limit(), "Hz", LINE_HZ));
      }
    }
    GridProfile.EnterService enter = site.profile().enter();
    out.add(
        new SettingView(
            "profile.enterService.minimumVoltage",
            "enters service above",
            enter.minimumPu(),
            "pu",
            LINE_PU));
    out.add(
        new SettingView(
            "profile.enterService.maximumVoltage",
            "enters service below",
            enter.maximumPu(),
            "pu",
            LINE_PU));
    out.add(
        new SettingView(
            "profile.enterService.minimumFrequency",
            "enters service above",
            enter.minimumHz(),
            "Hz",
            LINE_HZ));
    out.add(
        new SettingView(
            "profile.enterService.maximumFrequency",
            "enters service below",
            enter.maximumHz(),
            "Hz",
            LINE_HZ));
    out.add(
        new SettingView(
            "profile.enterService.delay", "enters service after", enter.delayS(), "s", ""));
  }

  private static SettingView volts(String name, String title, double value) {
    return new SettingView(name, title, value, "V", VOLTS);
  }

  private static SettingView share(String name, String title, double value) {
    return new SettingView(name, title, value, "1", SOC);
  }
}
