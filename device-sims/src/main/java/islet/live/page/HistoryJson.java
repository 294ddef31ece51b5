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

  /** Of one site. */
  private record Told(
      long run,
      double stepS,
      List<String> columns,
      List<double[]> rows,
      List<LiveHistory.Line> events,
      long dropped) {}

  /** Of two sites beside each other. */
  private record ToldBeside(long run, List<Told> sites) {}

  /** As JSON in UTF-8. From any thread. */
  public static byte[] of(LiveSession session) {
    LiveSession.Present present = session.present();
    List<Told> told = session.past().stream().map(past -> told(present.run(), past)).toList();
    try {
      return JSON.writeValueAsBytes(
          present.beside().isEmpty() ? told.get(0) : new ToldBeside(present.run(), told));
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("records of texts and numbers can be written", e);
    }
  }

  private static Told told(long run, LiveHistory.Past past) {
    return new Told(run, past.stepS(), past.columns(), past.rows(), past.events(), past.dropped());
  }
}
