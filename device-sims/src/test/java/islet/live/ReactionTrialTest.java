package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/**
 * Judged by the sites' own cycle, half a second here so that a busy build server does not matter:
 * an order that waited for its turn would take half of it on average. The ratios to an echo are the
 * long trial's, which needs a machine that has time for it.
 */
@Execution(ExecutionMode.CONCURRENT)
@Tag("apart")
class ReactionTrialTest {

  private static final int EDGES = 7;
  private static final long QUARTER_CYCLE_NANOS = 125_000_000;

  @TempDir private Path folder = Path.of("");

  @Test
  @LongTest
  void theOrderToLeaveADeadUtilityDoesNotWaitForTheNextScan() throws Exception {
    Mosquitto.insistOnInstalled();
    try (Mosquitto broker = new Mosquitto(folder.resolve("mosquitto"), false);
        ReactionTrial trial = new ReactionTrial(62443, folder, broker.url(), "500 ms")) {
      ReactionTrial.Result result = trial.run(EDGES);
      assertEquals(List.of(), result.findings());
      assertEquals(EDGES, result.reactions().length);
      assertTrue(
          ReactionTrial.Result.at(result.reactions(), 0.5) < QUARTER_CYCLE_NANOS,
          result.text("mosquitto"));
    }
  }
}
