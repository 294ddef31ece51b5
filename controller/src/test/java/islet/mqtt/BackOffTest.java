package islet.mqtt;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/**
 * Judged by plain arithmetic: doubling, a longest pause, and chance that takes off up to a half.
 */
class BackOffTest {

  @Test
  void pausesDoubleUpToTheLongestAndStartAgainAfterAGoodLink() {
    BackOff backOff = new BackOff(250, 1_500, () -> 1.0);
    assertEquals(List.of(250L, 500L, 1_000L, 1_500L, 1_500L), next(backOff, 5));
    backOff.reset();
    assertEquals(List.of(250L), next(backOff, 1));
  }

  @Test
  void chanceTakesOffUpToAHalf() {
    assertEquals(List.of(125L, 250L), next(new BackOff(250, 1_500, () -> 0.0), 2));
    assertEquals(List.of(188L), next(new BackOff(250, 1_500, () -> 0.5), 1));
  }

  private static List<Long> next(BackOff backOff, int number) {
    return Stream.generate(backOff::pauseMillis).limit(number).toList();
  }
}
