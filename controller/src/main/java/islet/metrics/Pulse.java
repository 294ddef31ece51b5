package islet.metrics;

import java.io.IOException;
import java.io.InputStream;
import java.net.HttpURLConnection;
import java.net.InetSocketAddress;
import java.net.Proxy;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.util.Optional;

/**
 * What the page of metrics says about life: whether the link stands, and a count that goes on while
 * work does.
 *
 * @param linked whether the link to the broker stands
 * @param beats scans of a controller, or seconds that simulated devices have played
 */
public record Pulse(boolean linked, double beats) {

  /** The controller's count of scans. */
  public static final String SCANS = "islet_scans_total";

  /** The simulated devices' count of seconds played. */
  public static final String SECONDS = "islet_site_seconds_total";

  /** 1 while the link stands. */
  public static final String LINK = "islet_link_up";

  private static final int TIME_OUT_MILLIS = 2_000;

  /**
   * Asks for the page.
   *
   * @throws IOException when nobody answers in time, or what answers is no such page
   */
  public static Pulse ask(InetSocketAddress address) throws IOException {
    String host = address.getAddress().getHostAddress();
    String at = host.contains(":") ? "[" + host + "]" : host;
    URI page = URI.create("http://" + at + ":" + address.getPort() + "/metrics");
    HttpURLConnection visit = (HttpURLConnection) page.toURL().openConnection(Proxy.NO_PROXY);
    visit.setConnectTimeout(TIME_OUT_MILLIS);
    visit.setReadTimeout(TIME_OUT_MILLIS);
    try (InputStream body = visit.getInputStream()) {
      return of(new String(body.readAllBytes(), StandardCharsets.UTF_8));
    } finally {
      visit.disconnect();
    }
  }

  /**
   * Reads a page.
   *
   * @throws IOException when one of the two is not on it
   */
  static Pulse of(String page) throws IOException {
    double link =
        sample(page, LINK)
            .orElseThrow(() -> new IOException("The page of metrics does not tell of a link."));
    double beats =
        sample(page, SCANS)
            .or(() -> sample(page, SECONDS))
            .orElseThrow(() -> new IOException("The page of metrics tells of no work."));
    return new Pulse(link == 1, beats);
  }

  private static Optional<Double> sample(String page, String name) {
    return page.lines()
        .filter(line -> line.startsWith(name + " "))
        .map(line -> Double.valueOf(line.substring(name.length() + 1)))
        .findFirst();
  }
}
