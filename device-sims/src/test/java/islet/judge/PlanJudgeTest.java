package islet.judge;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import java.io.IOException;
import org.junit.jupiter.api.Test;

/**
 * Fifty random days judged by a solver of another make, in another formulation (reference R23). The
 * tolerance is the reference's.
 */
class PlanJudgeTest {

  @Test
  @LongTest
  void thePlanIsAsCheapAsTheIndependentOptimum() throws IOException {
    PlanJudge.Verdict verdict = Judges.required(() -> PlanJudge.compare(2030, 50));
    assertEquals(0, verdict.worst(), 1e-6, verdict.toString());
    assertEquals(0, verdict.unplanned(), verdict.toString());
    assertTrue(verdict.dearest() > 10, "days without any cost prove nothing: " + verdict);
  }
}
