package islet.bench.guided;

import islet.bench.Sight;
import java.util.List;

/**
 * What a person said at a stop.
 *
 * @param step the stop's number, from 1
 * @param sight what the site showed at that instant
 * @param measured what the person measured, one text for each reading; empty where nothing was
 * @param remark the reason, where the step was failed or skipped; may be empty where it passed
 * @param who answered
 * @param when it was answered, ISO 8601 with offset
 */
public record Answer(
    int step,
    Sight sight,
    Verdict verdict,
    List<String> measured,
    String remark,
    String who,
    String when) {

  public Answer {
    measured = List.copyOf(measured);
  }
}
