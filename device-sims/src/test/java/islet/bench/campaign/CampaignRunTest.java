package islet.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.bench.Event;
import islet.bench.Scenario;
import islet.bench.campaign.CaseRow.Verdict;
import islet.bench.defect.Defects;
import islet.bench.plug.Supervisors;
import islet.control.SupervisorMaker;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Judged by the rows themselves: what one thread without a break writes is what all must write. */
class CampaignRunTest {

  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");
  private static final CampaignRun.Progress QUIET = (done, here, of, failed) -> {};

  private static final String PRODUCT =
      """
      mishaps:
        - { utility: { outage: [PT0.2S, PT20S] } }
        - { fault: { kind: device-link-lost, device: [tie, meter] }, for: PT10S }
      product: { instants: 2 }
      """;

  private final Path disk;

  CampaignRunTest(@TempDir Path disk) {
    this.disk = disk;
  }

  private Campaign read(String rest) throws IOException {
    Path file = disk.resolve("campaign.yaml");
    Files.writeString(
        file,
        "title: A test\nseed: 3\ncourses:\n  - { scenario: "
            + CONFIG.resolve("campaigns/courses/out-and-home.yaml")
            + " }\n"
            + rest);
    return CampaignReader.read(file);
  }

  private static CampaignRun run(Campaign campaign, SupervisorMaker maker, long limit) {
    return new CampaignRun(campaign, maker, name -> Supervisors.OWN, "test", limit);
  }

  private ResultStore store(CampaignRun run, String name) throws CampaignException {
    return ResultStore.open(disk.resolve(name), run.about());
  }

  private static List<CaseRow> rows(ResultStore store) {
    List<CaseRow> rows = new ArrayList<>();
    store.each(rows::add);
    return rows;
  }

  private List<CaseRow> rows(String rest, SupervisorMaker maker, int jobs, String name)
      throws Exception {
    CampaignRun run = run(read(rest), maker, 0);
    try (ResultStore store = store(run, name)) {
      assertTrue(run.run(store, jobs, QUIET, () -> false));
      return rows(store);
    }
  }

  @Test
  @LongTest
  void oneThreadAndTwoWriteTheSameRows() throws Exception {
    List<CaseRow> one = rows(PRODUCT, Supervisors.OWN, 1, "one");
    // The course, and 4 mishaps at 2 instants in 5 modes, but for outages within the course's own.
    assertTrue(one.size() > 30 && one.size() <= 41, one.size() + " rows");
    assertEquals(one, rows(PRODUCT, Supervisors.OWN, 2, "two"));
  }

  @Test
  @LongTest
  void whatWasStoppedGoesOnWithoutLosingOrRepeatingACase() throws Exception {
    Campaign campaign = read(PRODUCT);
    CampaignRun whole = run(campaign, Supervisors.OWN, 0);
    List<CaseRow> straight = rows(PRODUCT, Supervisors.OWN, 1, "whole");
    for (int after = 1; after < straight.size(); after += 13) {
      String name = "stopped" + after;
      AtomicInteger over = new AtomicInteger();
      try (ResultStore store = store(whole, name)) {
        int most = after;
        assertFalse(
            whole.run(
                store,
                2,
                (done, here, of, failed) -> over.set((int) done),
                () -> over.get() >= most));
      }
      AtomicInteger again = new AtomicInteger();
      try (ResultStore store = store(whole, name)) {
        int before = rows(store).size();
        assertTrue(before >= after && before < straight.size(), before + " rows");
        assertTrue(
            whole.run(store, 2, (done, here, of, failed) -> again.set((int) here), () -> false));
        assertEquals(straight.size() - before, again.get());
        assertEquals(straight, rows(store));
      }
    }
  }

  @Test
  void aLimitTakesCasesFromAllOver() throws Exception {
    CampaignRun run = run(read(PRODUCT), Supervisors.OWN, 7);
    try (ResultStore store = store(run, "limit")) {
      assertTrue(run.run(store, 1, QUIET, () -> false));
      List<CaseRow> rows = rows(store);
      assertEquals(7, rows.size());
      assertEquals(0, rows.get(0).id());
      assertTrue(rows.get(6).id() >= run.count() * 6 / 7 - 1, "last " + rows.get(6).id());
    }
  }

  @Test
  void resultsOfAnotherCampaignAreNotGoneOnWith() throws Exception {
    store(run(read(PRODUCT), Supervisors.OWN, 0), "results").close();
    CampaignRun other = run(read(PRODUCT.replace("PT20S", "PT21S")), Supervisors.OWN, 0);
    String said =
        String.valueOf(
            assertThrows(CampaignException.class, () -> store(other, "results")).getMessage());
    assertTrue(said.contains("found results whose campaign is"), said);
    Files.writeString(
        disk.resolve("text"), "no database at all, but long enough to be one ".repeat(40));
    String text =
        String.valueOf(
            assertThrows(CampaignException.class, () -> store(other, "text")).getMessage());
    assertTrue(text.contains("can't be used as a campaign's results"), text);
  }

  @Test
  @LongTest
  void drawnCasesAreTheSameEachTimeAndKeepToTheirRanges() throws Exception {
    String drawn =
        """
        mishaps:
          - { utility: { sag: { from: 0.1, to: 0.9 }, for: { from: PT0.01S, to: PT2S } } }
          - { fault: { kind: supervisor-pause }, for: PT2S }
        random: { cases: 24, together: 2 }
        """;
    List<CaseRow> rows = rows(drawn, Supervisors.OWN, 2, "a");
    assertEquals(rows, rows(drawn, Supervisors.OWN, 1, "b"));
    assertEquals(25, rows.size());
    assertTrue(rows.stream().map(CaseRow::mishap).distinct().count() > 2);
    CampaignRun run = run(read(drawn), Supervisors.OWN, 0);
    try (ResultStore store = store(run, "a")) {
      for (CaseRow row : rows.subList(1, rows.size())) {
        for (Event event : run.scenario(row, store).orElseThrow().events()) {
          if (event instanceof Event.Sag sag) {
            assertTrue(sag.pu() >= 0.1 && sag.pu() < 0.9 && sag.forMicros() >= 10_000);
          }
        }
      }
    }
  }

  @Test
  void aFailureShrinksToTheEventsThatItNeeds() throws Exception {
    String drawn =
        """
        mishaps:
          - { utility: { sag: 0.95, for: PT1S } }
          - { fault: { kind: device-link-lost, device: meter }, for: PT5S }
          - { operator: acknowledge }
        random: { cases: 6, together: 3 }
        """;
    Campaign campaign = read(drawn);
    SupervisorMaker hasty = Defects.named("defect:enter-delay-in-minutes");
    CampaignRun run = run(campaign, hasty, 0);
    try (ResultStore store = store(run, "hasty")) {
      assertTrue(run.run(store, 2, QUIET, () -> false));
      CaseRow failed =
          rows(store).stream()
              .filter(r -> r.verdict() == Verdict.FAIL && r.id() > 0)
              .findFirst()
              .orElseThrow();
      assertEquals("early-return", failed.hazard());
      Scenario whole = run.scenario(failed, store).orElseThrow();
      assertTrue(whole.events().size() >= 5, whole.events().size() + " events");
      Scenario least = new Shrinker(run, hasty).shrink(whole, failed.hazard()).orElseThrow();
      // An outage, and its end, is all that a return without its delay takes.
      assertEquals(1, least.events().size(), least.events().toString());
      assertTrue(least.durationMicros() < whole.durationMicros());
      assertEquals(least, new Shrinker(run, hasty).shrink(least, "early-return").orElseThrow());
      assertTrue(new Shrinker(run, Supervisors.OWN).shrink(least, "early-return").isEmpty());
    }
  }
}
