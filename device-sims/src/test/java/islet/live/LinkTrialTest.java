package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;

import islet.LongTest;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/** A short link trial, judged as {@link LinkTrial} says. */
@Execution(ExecutionMode.CONCURRENT)
@Tag("apart")
class LinkTrialTest {

  @TempDir private Path folder = Path.of("");

  @Test
  @LongTest
  void aRunWhoseBrokerIsKilledComesBackByItselfAndForgetsNothingThatWasAcknowledged()
      throws Exception {
    Mosquitto.insistOnInstalled();
    try (LinkTrial trial = new LinkTrial(62443, folder, true)) {
      LinkTrial.Result result = trial.run(2, List.of(LinkTrial.Incident.BROKER_KILLED), 0.2);
      assertEquals(List.of(), result.findings());
      assertEquals(2, result.incidents());
    }
  }
}
