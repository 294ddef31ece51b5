package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * A short hunt through random cases: no hazard, no exception, nothing stuck, no alarm without a
 * fault. Judged by the plant's truth and the wire. The long one is {@link Hunt#main}.
 */
class HuntTest {

  private static final int CASES = LongTest.ASKED_FOR ? 300 : 30;

  /** For each of the other sites. */
  private static final int OTHER_CASES = LongTest.ASKED_FOR ? 60 : 3;

  @Test
  void nothingIsFound() {
    List<String> findings = new ArrayList<>();
    int islands = 0;
    int returns = 0;
    for (long seed = 1; seed <= CASES; seed++) {
      Hunt.Outcomes outcomes = Hunt.run(seed);
      for (String finding : outcomes.findings()) {
        findings.add("seed " + outcomes.seed() + ": " + finding);
      }
      islands += outcomes.modes().stream().anyMatch(m -> m.to().equals("ISLANDED")) ? 1 : 0;
      returns += outcomes.modes().stream().anyMatch(m -> m.from().equals("RECONNECTING")) ? 1 : 0;
    }
    assertEquals(List.of(), findings);
    assertTrue(islands > CASES / 2, "only " + islands + " cases formed an island");
    assertTrue(returns > CASES / 3, "only " + returns + " cases came back");
  }

  @Test
  void nothingIsFoundInTheOtherArrangements() {
    List<String> findings = new ArrayList<>();
    for (int site = 1; site < Hunt.sites(); site++) {
      for (long seed = 1; seed <= OTHER_CASES; seed++) {
        Hunt.Outcomes outcomes = Hunt.run(site * Hunt.SITE_SEEDS + seed);
        for (String finding : outcomes.findings()) {
          findings.add("seed " + outcomes.seed() + ": " + finding);
        }
      }
    }
    assertEquals(List.of(), findings);
  }
}
