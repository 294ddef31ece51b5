package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import islet.LongTest;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * The jar that ships, as {@link FieldTrial} runs it, for a few seconds. Judged by what the JVM says
 * of its heap and of the classes that it has loaded, which is what a start spends its time on and
 * no busy build server stretches; the second that a start may take is the long trial's.
 */
@Timeout(120)
@Tag("apart")
class FieldTrialTest {

  /** A fifth more than the 2,556 that it loads beside the archive of the JDK, measured on 17. */
  private static final double CLASSES = 3_000;

  private static final double RUN_S = 2;

  @TempDir private Path folder = Path.of("");

  @Test
  @LongTest
  void whatShipsLoadsLittleAndRunsInASmallHeap() throws Exception {
    boolean built = Files.isRegularFile(FieldTrial.jar());
    assertFalse(!built && "true".equals(System.getenv("CI")), "no jar was built");
    assumeTrue(built, "the controller's jar is made by mvn package");
    try (FieldTrial trial = new FieldTrial(folder)) {
      FieldTrial.Need need = trial.run(RUN_S);
      assertTrue(need.classes() > 0 && need.classes() < CLASSES, need.toString());
      assertTrue(need.collections() > 0, "no full collection was logged");
      assertTrue(need.mostMb() < FieldTrial.HEAP_MB / 2, need.toString());
      assertEquals(1, need.sample("islet_role{islet_role=\"COMMANDING\"}"));
      assertTrue(need.sample("islet_scans_total") > RUN_S * 5, need.metrics());
    }
  }
}
