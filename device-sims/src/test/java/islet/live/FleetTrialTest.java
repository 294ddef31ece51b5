package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import java.nio.file.Path;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/**
 * Two sites in one process for two seconds, judged by the demo site's cycle: ten scans a second
 * each, done or counted as missed. How many may be missed is judged by the long trial, on a machine
 * that has time for it.
 */
@Execution(ExecutionMode.CONCURRENT)
@Tag("apart")
class FleetTrialTest {

  @TempDir private Path folder = Path.of("");

  @Test
  @LongTest
  void controllersOfSeveralSitesShareAProcessAndEachKeepsItsCycle() throws Exception {
    Mosquitto.insistOnInstalled();
    try (Mosquitto broker = new Mosquitto(folder.resolve("mosquitto"), false)) {
      FleetTrial.Result result = FleetTrial.run(2, 2, folder, broker.url());
      assertEquals(2, result.sites());
      assertTrue(
          result.findings().stream().allMatch(f -> f.contains("cycles went without a scan")),
          String.valueOf(result.findings()));
      assertTrue(result.scans() + result.missed() >= 36, result.text());
    }
  }
}
