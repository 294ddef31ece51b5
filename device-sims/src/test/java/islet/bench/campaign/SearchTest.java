package islet.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.bench.Event;
import islet.bench.Scenario;
import islet.bench.campaign.CaseRow.Verdict;
import islet.bench.defect.Defects;
import islet.bench.plug.Supervisors;
import islet.control.SupervisorMaker;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A defect that shows only when a dip begins in one window of 50 ms (docs/defects.md), judged by
 * running the case that the search found once more, with the defect and without.
 */
class SearchTest {

  private static final Path CAMPAIGN =
      Path.of(System.getProperty("islet.root"), "config/campaigns/timing-search.yaml");
  private static final SupervisorMaker DEFECT = Defects.named("defect:timer-wins-over-dip");
  private static final String HAZARD = "early-return";

  private static boolean ofThisHazard(CaseRow row) {
    return row.failed() && row.hazard().equals(HAZARD);
  }

  @Test
  @LongTest
  void findsWhatAGridOfSecondsMisses(@TempDir Path disk) throws Exception {
    Campaign campaign = CampaignReader.read(CAMPAIGN);
    CampaignRun run = new CampaignRun(campaign, DEFECT, name -> DEFECT, "test", 0);
    List<CaseRow> failed = new ArrayList<>();
    try (ResultStore store = ResultStore.open(disk.resolve("results"), run.about())) {
      assertTrue(run.run(store, 2, (done, here, of, bad) -> {}, () -> false));
      store.each(row -> failed.addAll(ofThisHazard(row) ? List.of(row) : List.of()));
      assertFalse(failed.isEmpty());
      Scenario found = run.scenario(failed.get(0), store).orElseThrow();
      Scenario least = new Shrinker(run, DEFECT).shrink(found, HAZARD).orElseThrow();
      assertTrue(least.events().size() <= 3, least.events().toString());
      assertTrue(new Shrinker(run, Supervisors.OWN).shrink(found, HAZARD).isEmpty());

      Event.Sag dip =
          (Event.Sag)
              found.events().stream().filter(e -> e instanceof Event.Sag).findFirst().orElseThrow();
      CaseRunner runner = run.runner();
      Course course = campaign.courses().get(0);
      Healthy healthy = runner.healthy(course, DEFECT);
      for (long second = 1; second < 300; second++) {
        Event same = new Event.Sag(second * 1_000_000, dip.pu(), dip.forMicros());
        CampaignCase one =
            new CampaignCase(second, course, "", "sag", List.of("sag"), List.of(same));
        assertEquals(Verdict.PASS, runner.run(one, DEFECT, healthy).verdict(), second + " s");
      }
    }
  }
}
