package islet.metrics;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.LongSupplier;
import java.util.function.Supplier;

/**
 * A site's metrics: who its controller is, its scans, its vital signs, and what it dropped. The
 * page of a process with one site.
 */
public final class MetricsPage implements Supplier<byte[]> {

  private record Counter(String family, String help, LongSupplier count) {}

  private final Map<String, String> identity;
  private final ScanTimes times;
  private final Vitals vitals;
  private final List<Counter> counters = new ArrayList<>();
  private final Map<String, LongSupplier> drops = new LinkedHashMap<>();

  /**
   * A page.
   *
   * @param identity names and values of what does not change, such as version and site
   */
  public MetricsPage(Map<String, String> identity, ScanTimes times, Vitals vitals) {
    this.identity = new LinkedHashMap<>(identity);
    this.times = times;
    this.vitals = vitals;
  }

  /**
   * Adds a counter.
   *
   * @param family its name without {@code _total}
   * @param help for people
   * @param count since the start; asked from any thread
   */
  public MetricsPage counter(String family, String help, LongSupplier count) {
    counters.add(new Counter(family, help, count));
    return this;
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
    write(page);
    return page.end();
  }

  /** The page of a process with several sites: of each sample says which site it is of. */
  public static byte[] ofSeveral(Map<String, MetricsPage> byId) {
    OpenMetrics page = new OpenMetrics();
    byId.forEach(
        (id, site) -> {
          page.of(id);
          site.write(page);
        });
    return page.end();
  }

  private void write(OpenMetrics page) {
    page.family("islet_controller", "info", "", "Which controller this is.");
    page.sample("islet_controller_info", 1, pairs());
    times.write(page);
    for (Counter counter : counters) {
      page.family(counter.family(), "counter", "", counter.help());
      page.sample(counter.family() + "_total", counter.count().getAsLong());
    }
    vitals.write(page);
    page.family("islet_dropped_messages", "counter", "", "Messages dropped, by reason.");
    page.sample("islet_dropped_messages_total", vitals.malformed(), "reason", "malformed");
    for (Map.Entry<String, LongSupplier> drop : drops.entrySet()) {
      page.sample(
          "islet_dropped_messages_total", drop.getValue().getAsLong(), "reason", drop.getKey());
    }
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
