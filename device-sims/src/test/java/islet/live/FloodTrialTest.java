package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.Mode;
import java.nio.file.Path;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/**
 * A short flood of each kind. Judged by the wall clock: the scans that were due are done, save for
 * what a busy build server costs, and never two seconds pass without one, after which the watchdog
 * would end the controller.
 */
@Execution(ExecutionMode.CONCURRENT)
@Tag("apart")
class FloodTrialTest {

  private static final double SECONDS = 1;
  private static final double WATCHDOG_MS = 2_000;

  @TempDir private Path folder = Path.of("");

  @Test
  void aFloodFromOneClientDoesNotStopTheScan() throws Exception {
    try (FloodTrial trial = new FloodTrial(folder)) {
      assertEquals(Mode.GRID_PRESENT, trial.mode());
      for (FloodTrial.Flood flood : FloodTrial.Flood.values()) {
        FloodTrial.Result result = trial.flood(flood, SECONDS);
        System.out.println(result);
        assertTrue(result.longestMs() < WATCHDOG_MS, result.toString());
        assertTrue(result.done() * 2 >= result.due(), result.toString());
        assertEquals(Mode.GRID_PRESENT, result.mode(), result.toString());
        // A line of the journal has some 150 bytes, and each scan takes one order and turns down
        // 16.
        assertTrue(result.journalBytes() < (result.due() + 20) * 17 * 300, result.toString());
        if (flood != FloodTrial.Flood.NONE) {
          assertTrue(result.dropped() > result.sent() * 0.9, "counted: " + result);
          assertTrue(result.dropped() <= result.sent(), "counted once: " + result);
        }
      }
    }
  }
}
