package islet.cli.reference;

import islet.plant.Row;
import islet.site.GridProfile;
import islet.site.GridProfile.Quantity;
import islet.site.GridProfile.Trip;
import islet.site.ProfileReader;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * Checks R1 to R5: the grid code's figures against the profiles that ship, and against what a site
 * under them does. All expected values are the defaults of IEEE Std 1547-2018, written down from
 * memory.
 */
final class GridCodeRows {

  private static final String STANDARD = "IEEE Std 1547-2018, ";

  /** Figures are copied, not computed, so they must be equal but for the last bits of a unit. */
  private static final double SAME = 1e-9;

  /** Contacts part on the millisecond. */
  private static final double MILLISECOND = 1e-3;

  /** The supervisor sees the end of the delay at its next scan, and tells of it one scan later. */
  private static final double TWO_SCANS_S = 0.2;

  private record Limit(String name, Quantity quantity, double limit, double clearingS) {}

  private record Category(String name, String table, List<Limit> limits) {}

  private static final Limit OV2 = new Limit("OV2", Quantity.OVER_VOLTAGE, 1.20, 0.16);

  private static final List<Category> VOLTAGE =
      List.of(
          new Category(
              "i",
              "Table 11",
              List.of(
                  OV2,
                  new Limit("OV1", Quantity.OVER_VOLTAGE, 1.10, 2.0),
                  new Limit("UV1", Quantity.UNDER_VOLTAGE, 0.70, 2.0),
                  new Limit("UV2", Quantity.UNDER_VOLTAGE, 0.45, 0.16))),
          new Category(
              "ii",
              "Table 12",
              List.of(
                  OV2,
                  new Limit("OV1", Quantity.OVER_VOLTAGE, 1.10, 2.0),
                  new Limit("UV1", Quantity.UNDER_VOLTAGE, 0.70, 10.0),
                  new Limit("UV2", Quantity.UNDER_VOLTAGE, 0.45, 0.16))),
          new Category(
              "iii",
              "Table 13",
              List.of(
                  OV2,
                  new Limit("OV1", Quantity.OVER_VOLTAGE, 1.10, 13.0),
                  new Limit("UV1", Quantity.UNDER_VOLTAGE, 0.88, 21.0),
                  new Limit("UV2", Quantity.UNDER_VOLTAGE, 0.50, 2.0))));

  private static final List<Limit> FREQUENCY =
      List.of(
          new Limit("OF2", Quantity.OVER_FREQUENCY, 62.0, 0.16),
          new Limit("OF1", Quantity.OVER_FREQUENCY, 61.2, 300),
          new Limit("UF1", Quantity.UNDER_FREQUENCY, 58.5, 300),
          new Limit("UF2", Quantity.UNDER_FREQUENCY, 56.5, 0.16));

  private final Path config;
  private final List<Row> rows = new ArrayList<>();

  private GridCodeRows(Path config) {
    this.config = config;
  }

  static List<Row> rows(Path config) {
    GridCodeRows all = new GridCodeRows(config);
    for (Category category : VOLTAGE) {
      all.profile(category);
    }
    all.returning();
    all.island();
    return all.rows;
  }

  private void profile(Category category) {
    String file = "ieee1547-2018-category-" + category.name() + ".yaml";
    GridProfile profile = ProfileReader.read(config.resolve("profiles").resolve(file));
    String under = "category " + category.name().toUpperCase(Locale.ROOT) + ", ";
    TripTest test = new TripTest(config, file);
    trips("R1", under, STANDARD + category.table(), category.limits(), profile, test);
    trips("R2", under, STANDARD + "Table 18", FREQUENCY, profile, test);
    GridProfile.EnterService enter = profile.enter();
    String enterSource = STANDARD + "Table 4";
    figure("R3", under + "enter service from", enterSource, 0.917, enter.minimumPu(), "pu");
    figure("R3", under + "enter service to", enterSource, 1.05, enter.maximumPu(), "pu");
    figure("R3", under + "enter service from", enterSource, 59.5, enter.minimumHz(), "Hz");
    figure("R3", under + "enter service to", enterSource, 60.1, enter.maximumHz(), "Hz");
    figure("R3", under + "enter-service delay", enterSource, 300, enter.delayS(), "s");
    figure("R3", under + "enter-service ramp", enterSource, 300, enter.rampS(), "s");
    GridProfile.SyncLimits sync = profile.sync();
    String syncSource = STANDARD + "Table 5, to 500 kVA";
    figure("R4", under + "sync, frequency", syncSource, 0.3, sync.frequencyHz(), "Hz");
    figure("R4", under + "sync, voltage", syncSource, 0.10, sync.voltagePu(), "pu");
    figure("R4", under + "sync, angle", syncSource, 20, sync.angleDeg(), "°");
    figure(
        "R5",
        under + "unintentional island ends within",
        STANDARD + "8.1",
        2,
        profile.islandDetectionS(),
        "s");
  }

  private void trips(
      String id,
      String under,
      String source,
      List<Limit> limits,
      GridProfile profile,
      TripTest test) {
    for (Limit limit : limits) {
      boolean voltage =
          switch (limit.quantity()) {
            case OVER_VOLTAGE, UNDER_VOLTAGE -> true;
            case OVER_FREQUENCY, UNDER_FREQUENCY -> false;
          };
      String unit = voltage ? "pu" : "Hz";
      figure(id, under + limit.name(), source, limit.limit(), limitOf(profile, limit), unit);
      rows.add(
          new Row(
              id,
              under + limit.name() + ", beyond it to contacts parted, measured",
              source,
              true,
              limit.clearingS(),
              test.clearingS(limit.quantity(), limit.limit(), limit.clearingS()),
              MILLISECOND,
              "s"));
    }
  }

  /** The profile's limit of this name; not a number when it has none. */
  private static double limitOf(GridProfile profile, Limit limit) {
    return profile.trips().stream()
        .filter(t -> t.name().equals(limit.name()) && t.quantity() == limit.quantity())
        .mapToDouble(Trip::limit)
        .findFirst()
        .orElse(Double.NaN);
  }

  private void figure(
      String id, String check, String source, double expected, double computed, String unit) {
    rows.add(new Row(id, check, source, true, expected, computed, SAME, unit));
  }

  private void returning() {
    ReturnTest test = ReturnTest.of(config);
    String source = STANDARD + "Table 4";
    rows.add(
        new Row(
            "R3",
            "utility back to the begin of the reconnection, measured",
            source,
            true,
            300,
            test.beginS(),
            TWO_SCANS_S,
            "s"));
    rows.add(
        new Row(
            "R3",
            "by how much the tie closed before the delay had run, measured",
            source,
            true,
            0,
            Math.max(0, 300 - test.closedS()),
            0,
            "s"));
  }

  private void island() {
    rows.add(
        new Row(
            "R5",
            "time beyond 2 s that a dead line was fed, tie welded, RLC load matched, measured",
            STANDARD + "8.1",
            true,
            0,
            Math.max(0, IslandTest.fedS(config) - 2),
            0,
            "s"));
  }
}
