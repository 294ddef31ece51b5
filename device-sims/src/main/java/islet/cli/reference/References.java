package islet.cli.reference;

import islet.plant.PlantReferences;
import islet.plant.Row;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** Every published check value with what Islet makes of it now. */
public final class References {

  private References() {}

  /**
   * All rows, also those for which an outside program is the judge.
   *
   * @param config the folder with the sites, profiles and weather that ship
   * @throws islet.site.InputException when a file in it is missing or wrong
   * @throws IOException when a judge fails
   */
  public static List<Row> all(Path config) throws IOException {
    List<Row> rows = new ArrayList<>(rows(config));
    rows.addAll(JudgedRows.rows(config));
    rows.sort(Comparator.comparingInt(References::number));
    return List.copyOf(rows);
  }

  /**
   * The rows that need nothing outside, by their numbers, worked out now.
   *
   * @param config the folder with the sites and profiles that ship
   * @throws islet.site.InputException when a file in it is missing or wrong
   */
  public static List<Row> rows(Path config) {
    List<Row> rows = new ArrayList<>();
    rows.addAll(GridCodeRows.rows(config));
    rows.addAll(EnvelopeRows.rows());
    rows.addAll(PlantReferences.rows());
    rows.addAll(ChargeRows.rows(config));
    rows.addAll(BankRows.rows(config));
    rows.addAll(PerformanceRows.rows());
    rows.addAll(InverterRows.rows(config));
    // Stable, so that rows of one number keep their order.
    rows.sort(Comparator.comparingInt(References::number));
    return List.copyOf(rows);
  }

  private static int number(Row row) {
    return Integer.parseInt(row.id().substring(1));
  }
}
