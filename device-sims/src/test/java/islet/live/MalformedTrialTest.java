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

/** A short trial of bad payloads, judged by docs/mqtt.md as {@link MalformedTrial} says. */
@Execution(ExecutionMode.CONCURRENT)
@Tag("apart")
class MalformedTrialTest {

  @TempDir private Path folder = Path.of("");

  @Test
  @LongTest
  void everyBadPayloadIsCountedAndNoneStopsTheSiteFromLeavingADeadUtilityAndReturning()
      throws Exception {
    MalformedTrial.Result result = MalformedTrial.virtual(62443, folder, 20_000, 20, false);
    assertEquals(List.of(), result.findings());
    assertEquals(result.expected(), result.counted());
    assertTrue(result.expected() > 10_000, "more than half of the topics have a reader");
  }
}
