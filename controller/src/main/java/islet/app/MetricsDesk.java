package islet.app;

import islet.executive.Duty;
import islet.executive.Turn;
import islet.executive.journal.Journal;
import islet.executive.wall.FixedCycle;
import islet.executive.wall.WallClock;
import islet.metrics.MetricsAddress;
import islet.metrics.MetricsPage;
import islet.metrics.MetricsServer;
import islet.metrics.MetricsUnavailableException;
import islet.metrics.ScanTimes;
import islet.metrics.Vitals;
import islet.mqtt.PahoBroker;
import islet.site.Site;
import java.net.InetSocketAddress;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentSkipListMap;
import java.util.function.LongSupplier;

/** Offers the controller's metrics, when somebody wants them. */
final class MetricsDesk implements AutoCloseable {

  private final Optional<MetricsServer> server;
  private final boolean several;

  /** By the site's id. Sites come up each on a thread of its own. */
  private final Map<String, MetricsPage> pages = new ConcurrentSkipListMap<>();

  private MetricsDesk(Optional<MetricsServer> server, boolean several) {
    this.server = server;
    this.several = several;
  }

  /**
   * Reads the option.
   *
   * @param option where, as given on the command line; empty for nowhere
   * @throws IllegalArgumentException with a sentence when it is no address
   */
  static Optional<InetSocketAddress> address(String option) {
    return option.isEmpty() ? Optional.empty() : Optional.of(MetricsAddress.parse(option));
  }

  /**
   * Takes the port.
   *
   * @param address where; empty for nowhere
   * @param several whether there is more than one site, so that samples must say of which they are
   */
  static MetricsDesk open(Optional<InetSocketAddress> address, boolean several)
      throws MetricsUnavailableException {
    if (address.isEmpty()) {
      return new MetricsDesk(Optional.empty(), several);
    }
    MetricsServer server = new MetricsServer(address.get(), WallClock.steady());
    MetricsDesk desk = new MetricsDesk(Optional.of(server), several);
    if (several) {
      server.start(() -> MetricsPage.ofSeveral(desk.pages));
    }
    return desk;
  }

  /** Where the metrics are, in a sentence; empty for nowhere. */
  String sentence() {
    return server.map(s -> "Metrics at " + s.url() + ".").orElse("");
  }

  /**
   * Measures a site from now on, and answers.
   *
   * @param turn one cycle's work
   * @param nowMicros the scan's clock, asked on its thread
   * @return that work and its measuring, to be done in its place
   */
  Turn measure(
      Turn turn,
      LongSupplier nowMicros,
      Site site,
      Duty duty,
      Journal journal,
      FixedCycle cycle,
      PahoBroker broker,
      Map<String, String> identity) {
    if (server.isEmpty()) {
      return turn;
    }
    ScanTimes times = new ScanTimes(WallClock.steady());
    Vitals vitals = new Vitals(site, duty, journal);
    MetricsPage page =
        new MetricsPage(identity, times, vitals)
            .counter("islet_overruns", "Cycles that went without a scan.", cycle::overruns)
            .counter("islet_early_scans", "Scans ahead of their time.", cycle::early)
            .drops("scan-behind", cycle::dropped)
            .drops("unsent", () -> broker.counts().unsent())
            .drops("unacknowledged", () -> broker.counts().unacknowledged())
            .drops("oversized", () -> broker.counts().oversized())
            .drops("overflow", () -> broker.counts().overflow())
            .drops("failed", () -> broker.counts().failed())
            .drops("refused", () -> broker.counts().refused())
            .drops("strange", () -> broker.counts().strange());
    if (several) {
      pages.put(site.id(), page);
    } else {
      server.get().start(page);
    }
    return times.measured(turn).andThen(() -> vitals.look(nowMicros.getAsLong()));
  }

  @Override
  public void close() {
    server.ifPresent(MetricsServer::close);
  }
}
