package islet.bench.guided;

import islet.contract.Decimal;
import islet.site.GridProfile;
import islet.site.Section;
import islet.site.Site;
import java.util.ArrayList;
import java.util.List;

/**
 * Settings as found: what a technician writes down before the first test, so that it can be told
 * afterwards with which settings a site was tested.
 */
public final class AsFound {

  /** Settings that belong together. */
  public record Group(String title, List<Row> rows) {
    public Group {
      rows = List.copyOf(rows);
    }
  }

  /** One setting; the value carries its unit. */
  public record Row(String name, String value) {}

  private final List<Group> groups = new ArrayList<>();
  private List<Row> rows = new ArrayList<>();

  private AsFound() {}

  /** The settings of a site: itself, its grid profile, its battery's limits, its switch. */
  public static List<Group> of(Site site) {
    AsFound found = new AsFound();
    found.site(site);
    if (site.arrangement().hasUtility()) {
      found.enterService(site.profile());
      found.trips(site.profile());
    }
    found.battery(site.battery());
    site.tie().ifPresent(found::tie);
    found.supervision(site);
    return List.copyOf(found.groups);
  }

  private void site(Site site) {
    row("Name", site.name());
    row("Id on the wire", site.id());
    row("Arrangement", Section.word(site.arrangement()));
    if (site.arrangement().hasUtility()) {
      row("Nominal voltage", site.utility().nominalV(), "V");
      row("Nominal frequency", site.utility().nominalHz(), "Hz");
      row("Export, at most", site.utility().exportLimitW(), "W");
    }
    group("Site");
  }

  private void enterService(GridProfile profile) {
    GridProfile.EnterService enter = profile.enter();
    row("Voltage", text(enter.minimumPu()) + " to " + text(enter.maximumPu()) + " pu");
    row("Frequency", text(enter.minimumHz()) + " to " + text(enter.maximumHz()) + " Hz");
    row("Delay", enter.delayS(), "s");
    GridProfile.SyncLimits sync = profile.sync();
    row("Sync: voltage differs by at most", sync.voltagePu(), "pu");
    row("Sync: frequency differs by at most", sync.frequencyHz(), "Hz");
    row("Sync: angle differs by at most", sync.angleDeg(), "°");
    row("Source", profile.source());
    group("Grid profile " + profile.name() + ": enter service");
  }

  private void trips(GridProfile profile) {
    for (GridProfile.Trip trip : profile.trips()) {
      String unit =
          switch (trip.quantity()) {
            case OVER_VOLTAGE, UNDER_VOLTAGE -> " pu";
            case OVER_FREQUENCY, UNDER_FREQUENCY -> " Hz";
          };
      row(trip.name(), text(trip.limit()) + unit + ", cleared in " + text(trip.clearingS()) + " s");
    }
    row("Island ends within", profile.islandDetectionS(), "s");
    row("Ceases to feed below", profile.cessationBelowPu(), "pu");
    group("Grid profile " + profile.name() + ": trips");
  }

  private void battery(Site.Battery battery) {
    Site.Limits limits = battery.limits();
    Site.Charge charge = battery.charge();
    row("Voltage, at most", limits.maximumV(), "V");
    row("Charge current, at most", limits.maximumChargeA(), "A");
    row(
        "Charged between",
        text(limits.minimumChargeC()) + " and " + text(limits.maximumChargeC()) + " °C");
    row("Floor", 100 * limits.floorSoc(), "%");
    row("Recovery", 100 * limits.recoverySoc(), "%");
    row("Disconnect", limits.disconnectV(), "V");
    row("Reconnect", limits.reconnectV(), "V");
    row("Tolerance", limits.toleranceS(), "s");
    row("Absorption at 25 °C", charge.absorptionV(), "V");
    row("Float at 25 °C", charge.floatV(), "V");
    row("Temperature compensation", charge.compensationVPerK() * 1000, "mV/K");
    group("Battery limits and charge");
  }

  private void tie(Site.Tie tie) {
    row("Operates in", tie.operateS() * 1000, "ms");
    row(
        "Utility lost below",
        text(tie.lossBelowPu()) + " pu for " + text(tie.lossS() * 1000) + " ms");
    row(
        "Leaves a sag below",
        text(tie.separateBelowPu()) + " pu for " + text(tie.separateS() * 1000) + " ms");
    group("Tie");
  }

  private void supervision(Site site) {
    Site.Supervision run = site.supervision();
    row("Link time-out", run.linkTimeoutS(), "s");
    row("Heartbeat", run.heartbeatS(), "s");
    row("Command lifetime", run.commandLifetimeS(), "s");
    row("In a sag", Section.word(run.onSag()));
    row("Reserve", 100 * run.reserveSoc(), "%");
    row("Shed in this order", run.shedding().isEmpty() ? "–" : String.join(", ", run.shedding()));
    group("Supervision");
  }

  private void row(String name, double value, String unit) {
    row(name, text(value) + " " + unit);
  }

  private void row(String name, String value) {
    rows.add(new Row(name, value));
  }

  private void group(String title) {
    groups.add(new Group(title, rows));
    rows = new ArrayList<>();
  }

  private static String text(double value) {
    return Decimal.text(value, 4);
  }
}
