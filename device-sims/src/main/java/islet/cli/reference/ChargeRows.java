package islet.cli.reference;

import islet.plant.Row;
import islet.site.Site;
import islet.site.SiteReader;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;

/**
 * Check R17: charge set points of the lead-acid sites. The expected value is the middle of the
 * trade's band, the tolerance its half.
 */
final class ChargeRows {

  private static final String SOURCE =
      "common practice; IEC 62509 asks for compensation by temperature";

  private ChargeRows() {}

  static List<Row> rows(Path config) {
    List<Row> rows = new ArrayList<>();
    for (Path file : sites(config.resolve("sites"))) {
      Site site = SiteReader.read(file);
      switch (site.battery().chemistry()) {
        case LEAD_ACID -> add(rows, site);
        case LFP -> {}
      }
    }
    return rows;
  }

  private static void add(List<Row> rows, Site site) {
    Site.Charge charge = site.battery().charge();
    double cells = site.battery().cells();
    band(rows, "absorption of " + site.id(), 2.37, 2.45, charge.absorptionV() / cells, "V");
    band(rows, "float of " + site.id(), 2.20, 2.27, charge.floatV() / cells, "V");
    band(
        rows,
        "compensation of " + site.id(),
        -5,
        -3,
        1000 * charge.compensationVPerK() / cells,
        "mV/K");
  }

  private static void band(
      List<Row> rows, String what, double low, double high, double perCell, String unit) {
    double half = 0.5 * (high - low) + 1e-9;
    rows.add(
        new Row("R17", what + ", per cell", SOURCE, true, 0.5 * (low + high), perCell, half, unit));
  }

  private static List<Path> sites(Path folder) {
    try (Stream<Path> files = Files.list(folder)) {
      return files.filter(f -> f.toString().endsWith(".yaml")).sorted().toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
