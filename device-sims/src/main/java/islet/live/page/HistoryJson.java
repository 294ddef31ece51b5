package islet.live.page;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.live.LiveHistory;
import islet.live.LiveSession;
import java.util.List;

/** What has been since the present run's start, for a page that was opened later. */
public final class HistoryJson {

  private static final ObjectMapper JSON = new ObjectMapper();

  private HistoryJson() {}

  private record Told(
      long run,
      double stepS,
      List<String> columns,
      List<double[]> rows,
      List<LiveHistory.Line> events,
      long dropped) {}

  /** As JSON in UTF-8. From any thread. */
  public static byte[] of(LiveSession session) {
    long run = session.present().run();
    LiveHistory.Past past = session.past();
    try {
      return JSON.writeValueAsBytes(
          new Told(run, past.stepS(), past.columns(), past.rows(), past.events(), past.dropped()));
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("records of texts and numbers can be written", e);
    }
  }
}
