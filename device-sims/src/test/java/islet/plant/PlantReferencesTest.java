package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Judged by the published values named in each row. */
class PlantReferencesTest {
  static List<Row> rows() {
    return PlantReferences.rows();
  }

  @ParameterizedTest
  @MethodSource("rows")
  void thePublishedValueIsMet(Row row) {
    assertEquals(row.expected(), row.computed(), row.tolerance(), row.toString());
    assertTrue(row.pass());
  }

  @Test
  void everyNumberedCheckOfThePlantHasARow() {
    Set<String> ids = new TreeSet<>();
    for (Row row : rows()) {
      ids.add(row.id());
    }
    assertTrue(
        ids.containsAll(
            List.of(
                "R7", "R8", "R9", "R10", "R11", "R12", "R13", "R14", "R15", "R16", "R20", "R21")),
        ids.toString());
  }
}
