package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.contract.Mode;
import java.nio.file.Path;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Isolated;

/**
 * A short flood of each kind. Judged by what this machine does when it is left in peace: at least
 * half as many scans a second; and never two seconds pass without one, after which the watchdog
 * would end the controller. Nothing else runs beside it: the flood would be theirs too.
 */
@Isolated
@Tag("apart")
class FloodTrialTest {

  private static final double SECONDS = 1;
  private static final double WATCHDOG_MS = 2_000;
  private static final int ANSWERS_PER_SCAN = 17;

  @TempDir private Path folder = Path.of("");

  @Test
  @LongTest
  void aFloodFromOneClientDoesNotStopTheScan() throws Exception {
    try (FloodTrial trial = new FloodTrial(folder)) {
      assertEquals(Mode.GRID_PRESENT, trial.mode());
      double inPeace = 0;
      for (FloodTrial.Flood flood : FloodTrial.Flood.values()) {
        FloodTrial.Result result = trial.flood(flood, SECONDS);
        System.out.println(result);
        assertTrue(result.longestMs() < WATCHDOG_MS, result.toString());
        double pace = result.done() / result.seconds();
        assertTrue(pace > inPeace / 2, result + ", in peace " + inPeace + " scans a second");
        assertEquals(Mode.GRID_PRESENT, result.mode(), result.toString());
        // Each scan takes one order and answers 16 more with a refusal; a line of the journal has
        // some 150 bytes.
        long answered = flood == FloodTrial.Flood.ORDERS ? result.all() * ANSWERS_PER_SCAN : 0;
        assertTrue(result.journalBytes() < (answered + 400) * 300, result.toString());
        if (flood == FloodTrial.Flood.NONE) {
          inPeace = pace;
        } else {
          assertTrue(result.dropped() >= result.sent() - answered, "counted: " + result);
          assertTrue(result.dropped() <= result.sent(), "counted once: " + result);
        }
      }
    }
  }
}
