package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;

import islet.LongTest;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A short kill trial, judged as {@link KillTrial} says, save that a build server may be too busy
 * for its two seconds; those are the long trial's.
 */
@Tag("apart")
class KillTrialTest {

  private static final double BOUND_S = 15;
  private static final int KILLS = 8;

  @TempDir private Path folder = Path.of("");

  @Test
  @LongTest
  void aControllerThatIsKilledAgainAndAgainForgetsNothingThatWasAcknowledged() throws Exception {
    try (KillTrial trial = new KillTrial(62443, folder, BOUND_S)) {
      KillTrial.Result result = trial.run(KILLS);
      assertEquals(KILLS, result.kills());
      assertEquals(List.of(), result.findings());
    }
  }
}
