package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.RunResult.AlarmEntry;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Judged by the cautions that work on such sites always calls for (common practice). */
class CautionsTest {

  @Test
  void everyRunNamesTheUsualDangers() {
    String all = String.join(" ", Cautions.of(List.of(), List.of(), List.of()));
    for (String danger :
        List.of(
            "Backfeed",
            "Stored energy",
            "DC arcs",
            "Battery gas",
            "Lock out",
            "Local codes",
            "licensed",
            "certified device protection protects")) {
      assertTrue(all.contains(danger), danger);
    }
  }

  @Test
  void aRunThatBackfedSaysSoFirst() {
    List<String> cautions =
        Cautions.of(
            List.of(new HazardVerdict(Backfeed.ID, "t", Outcome.FAIL, -1, "s", 1, "d")),
            List.of(new AlarmEntry(1, "tie-not-open", "HIGH", "t", "c", "a")),
            List.of());
    assertTrue(cautions.get(0).startsWith("In this run the site fed"));
    assertTrue(cautions.get(1).contains("welded"));
    assertEquals(2 + Cautions.of(List.of(), List.of(), List.of()).size(), cautions.size());
  }
}
