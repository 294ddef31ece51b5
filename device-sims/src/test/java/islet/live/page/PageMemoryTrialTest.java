package islet.live.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.live.page.PageMemoryTrial.Outcome;
import islet.live.page.PageMemoryTrial.Sample;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** The short form of the trial: it runs through, and it finds a page that keeps what it is told. */
@Tag("apart")
@Timeout(180)
class PageMemoryTrialTest {

  private static final double SPEED = 20;
  private static final double HOURS = 0.1;
  private static final int SAMPLES = 12;

  @BeforeAll
  static void insist() {
    Chromium.insistOnInstalled();
  }

  @Test
  @LongTest
  void thePageKeepsWithinItsBounds() throws Exception {
    Outcome outcome =
        new PageMemoryTrial(SPEED, HOURS, Optional.empty(), System.out).run(SAMPLES, List.of());
    Sample last = outcome.samples().get(outcome.samples().size() - 1);
    // Of the bench alone: four truths and thirteen margins a second of site time.
    assertTrue(last.delivered() > 3_600 * HOURS * 17 / 2, last.toString());
    assertTrue(last.cpu() > 0, "the browser's processes were not found");
    assertEquals(List.of(), outcome.grown());
  }

  @Test
  @LongTest
  void aPageThatKeepsWhatItIsToldIsFound() throws Exception {
    String leak =
        "() => { window.kept = []; setInterval(() => {"
            + " window.kept.push(Array.from({ length: 4000 }, Math.random)); }, 100); }";
    Outcome outcome =
        new PageMemoryTrial(SPEED, HOURS, Optional.of(leak), System.out).run(SAMPLES, List.of());
    assertTrue(
        outcome.grown().stream().anyMatch(line -> line.startsWith("GROWS  heap")),
        outcome.grown().toString());
  }
}
