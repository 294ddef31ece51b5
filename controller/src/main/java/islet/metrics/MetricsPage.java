package islet.metrics;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.function.LongSupplier;
import java.util.function.Supplier;

/** The page of metrics: who the controller is, its scans, its vital signs, and what it dropped. */
public final class MetricsPage implements Supplier<byte[]> {

  private final Map<String, String> identity;
  private final ScanTimes times;
  private final Vitals vitals;
  private final LongSupplier overruns;
  private final Map<String, LongSupplier> drops = new LinkedHashMap<>();

  /**
   * A page.
   *
   * @param identity names and values of what does not change, such as version and site
   * @param overruns cycles without a scan since the start; asked from any thread
   */
  public MetricsPage(
      Map<String, String> identity, ScanTimes times, Vitals vitals, LongSupplier overruns) {
    this.identity = new LinkedHashMap<>(identity);
    this.times = times;
    this.vitals = vitals;
    this.overruns = overruns;
  }

  /**
   * Adds a reason for which messages are dropped.
   *
   * @param count messages dropped for it since the start; asked from any thread
   */
  public MetricsPage drops(String reason, LongSupplier count) {
    drops.put(reason, count);
    return this;
  }

  @Override
  public byte[] get() {
    OpenMetrics page = new OpenMetrics();
    page.family("islet_controller", "info", "", "Which controller this is.");
    page.sample("islet_controller_info", 1, pairs());
    times.write(page);
    page.family("islet_overruns", "counter", "", "Cycles that went without a scan.");
    page.sample("islet_overruns_total", overruns.getAsLong());
    vitals.write(page);
    page.family("islet_dropped_messages", "counter", "", "Messages dropped, by reason.");
    page.sample("islet_dropped_messages_total", vitals.malformed(), "reason", "malformed");
    for (Map.Entry<String, LongSupplier> drop : drops.entrySet()) {
      page.sample(
          "islet_dropped_messages_total", drop.getValue().getAsLong(), "reason", drop.getKey());
    }
    return page.end();
  }

  private String[] pairs() {
    String[] pairs = new String[identity.size() * 2];
    int at = 0;
    for (Map.Entry<String, String> entry : identity.entrySet()) {
      pairs[at++] = entry.getKey();
      pairs[at++] = entry.getValue();
    }
    return pairs;
  }
}
