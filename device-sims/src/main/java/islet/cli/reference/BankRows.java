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

/** Check R18: small sites have battery banks of 12, 24 or 48 V. */
final class BankRows {

  private static final String SOURCE = "common practice: 12, 24 or 48 V to a few kilowatts";
  private static final double[] SMALL_BANKS_V = {12, 24, 48};

  /** Up to here a site counts as small, W. */
  private static final double SMALL_W = 5000;

  private BankRows() {}

  static List<Row> rows(Path config) {
    List<Row> rows = new ArrayList<>();
    for (Path file : sites(config.resolve("sites"))) {
      Site site = SiteReader.read(file);
      if (site.inverter().ratedW() <= SMALL_W) {
        double nominal = site.battery().nominalV();
        String check = "nominal voltage of the bank of " + site.id();
        rows.add(new Row("R18", check, SOURCE, false, nearest(nominal), nominal, 0, "V"));
      }
    }
    return rows;
  }

  private static List<Path> sites(Path folder) {
    try (Stream<Path> files = Files.list(folder)) {
      return files.filter(f -> f.toString().endsWith(".yaml")).sorted().toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static double nearest(double nominal) {
    double nearest = SMALL_BANKS_V[0];
    for (double bank : SMALL_BANKS_V) {
      if (Math.abs(bank - nominal) < Math.abs(nearest - nominal)) {
        nearest = bank;
      }
    }
    return nearest;
  }
}
