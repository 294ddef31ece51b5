package islet.live.page;

import islet.bench.WireTap;
import islet.contract.Message;
import java.util.ArrayList;
import java.util.List;
import java.util.TreeMap;

/** The newest word of each device on the wire of a run, for a page that is shown an instant. */
public final class LatestWire implements WireTap {

  /** What has not been heard for so long no longer counts (docs/mqtt.md). */
  private static final long STALE_MICROS = 3_000_000;

  private static final String TELEMETRY = "/telemetry";
  private static final String ONLINE = "/online";

  private record Told(long micros, Message message) {}

  /**
   * One message.
   *
   * @param topic below the site's own
   * @param text as it was sent, which need not be JSON
   */
  public record Heard(String topic, String text) {}

  private final String prefix;
  private final TreeMap<String, Told> newest = new TreeMap<>();

  /**
   * Listens for one site.
   *
   * @param prefix what the site's topics begin with
   */
  public LatestWire(String prefix) {
    this.prefix = prefix;
  }

  @Override
  public void published(long micros, String from, Message message) {
    String topic = message.topic();
    if (topic.startsWith(prefix) && (topic.endsWith(TELEMETRY) || topic.endsWith(ONLINE))) {
      newest.put(topic, new Told(micros, message));
    }
  }

  @Override
  public void delivered(long micros, String to, Message message) {
    // What was sent is enough for a picture.
  }

  /**
   * What counts at an instant: telemetry while it is fresh, and who is online.
   *
   * @param micros since 1970
   */
  public List<Heard> at(long micros) {
    List<Heard> heard = new ArrayList<>();
    newest.forEach(
        (topic, told) -> {
          if (topic.endsWith(ONLINE) || micros - told.micros() <= STALE_MICROS) {
            heard.add(new Heard(topic.substring(prefix.length()), told.message().text()));
          }
        });
    return heard;
  }
}
