package islet.metrics;

import java.io.Closeable;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.nio.channels.SelectionKey;
import java.nio.channels.Selector;
import java.nio.channels.ServerSocketChannel;
import java.nio.channels.SocketChannel;
import java.util.ArrayDeque;
import java.util.Iterator;
import java.util.function.LongSupplier;
import java.util.function.Supplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Answers {@code GET /metrics} over HTTP/1.1 (RFC 9112) on one thread of its own that waits for
 * nobody: at most {@value #MOST_VISITS} clients at a time, each with {@value Visit#REQUEST_LIMIT}
 * bytes for its request and two seconds for all of its visit, and at most {@value #VISITS_A_SECOND}
 * new ones a second. The page is made at most four times a second. So a client that is slow, silent
 * or hostile costs a bounded share of memory and processor, and the scan nothing else.
 *
 * <p>It tells whoever can reach the port; there is no TLS and no check of who asks. It changes
 * nothing.
 */
public final class MetricsServer implements Closeable {

  private static final Logger LOG = LoggerFactory.getLogger(MetricsServer.class);

  static final int MOST_VISITS = 16;
  static final int VISITS_A_SECOND = 50;

  private static final long SECOND_NANOS = 1_000_000_000;
  private static final long VISIT_NANOS = 2 * SECOND_NANOS;
  private static final long PAGE_NANOS = SECOND_NANOS / 4;
  private static final long LONGEST_WAIT_MILLIS = 1_000;

  /** Connections that the system may keep waiting until they are accepted. */
  private static final int BACKLOG = 16;

  private Supplier<byte[]> page = () -> new byte[0];
  private final LongSupplier steadyNanos;
  private final ServerSocketChannel door;
  private final Selector selector;
  private final SelectionKey doorKey;
  private final Thread thread = new Thread(this::work, "islet-metrics");

  /** In the order of coming, so that the first is the next whose time is over. */
  private final ArrayDeque<Visit> visits = new ArrayDeque<>();

  private volatile boolean closing;
  private long secondBegan;
  private int comeThisSecond;
  private byte[] made = {};
  private long madeAt;

  /**
   * Takes its port; nobody is answered before {@link #start}.
   *
   * @param address where; port 0 for any free one
   * @param steadyNanos a clock that never goes back, ns; asked on the server's thread
   * @throws MetricsUnavailableException when the address cannot be had
   */
  public MetricsServer(InetSocketAddress address, LongSupplier steadyNanos)
      throws MetricsUnavailableException {
    this.steadyNanos = steadyNanos;
    long now = steadyNanos.getAsLong();
    secondBegan = now;
    madeAt = now - PAGE_NANOS;
    thread.setDaemon(true);
    try {
      selector = Selector.open();
      door = ServerSocketChannel.open();
      door.bind(address, BACKLOG);
      door.configureBlocking(false);
      doorKey = door.register(selector, SelectionKey.OP_ACCEPT);
    } catch (IOException e) {
      throw new MetricsUnavailableException(address, e);
    }
  }

  /**
   * Answers from now on.
   *
   * @param content makes the page, on the server's thread
   */
  public void start(Supplier<byte[]> content) {
    page = content;
    thread.start();
  }

  /** The port that it listens at. */
  public int port() {
    return door.socket().getLocalPort();
  }

  /** Where the page is. */
  public String url() {
    InetSocketAddress at = (InetSocketAddress) door.socket().getLocalSocketAddress();
    String host = at.getAddress().getHostAddress();
    return "http://" + (host.contains(":") ? "[" + host + "]" : host) + ":" + port() + "/metrics";
  }

  private void work() {
    try (selector;
        door) {
      while (!closing) {
        turn();
      }
    } catch (IOException e) {
      LOG.warn("The metrics are not offered any more; the controller goes on.", e);
    } finally {
      visits.forEach(Visit::close);
    }
  }

  private void turn() throws IOException {
    selector.select(waitMillis(steadyNanos.getAsLong()));
    long now = steadyNanos.getAsLong();
    if (now - secondBegan >= SECOND_NANOS) {
      secondBegan = now;
      comeThisSecond = 0;
    }
    for (Iterator<SelectionKey> keys = selector.selectedKeys().iterator(); keys.hasNext(); ) {
      SelectionKey key = keys.next();
      keys.remove();
      if (key.equals(doorKey)) {
        welcome(now);
      } else if (key.isValid()) {
        ((Visit) key.attachment()).goOn(now);
      }
    }
    while (!visits.isEmpty() && (visits.element().over() || visits.element().lateAt(now))) {
      visits.remove().close();
    }
    visits.removeIf(Visit::over);
    doorKey.interestOps(comeThisSecond < VISITS_A_SECOND ? SelectionKey.OP_ACCEPT : 0);
  }

  /** Until the first visit's time is over, or the door opens again; in any case a second. */
  private long waitMillis(long now) {
    long nanos = LONGEST_WAIT_MILLIS * 1_000_000;
    if (!visits.isEmpty()) {
      nanos = Math.min(nanos, visits.element().leftNanos(now));
    }
    if (comeThisSecond >= VISITS_A_SECOND) {
      nanos = Math.min(nanos, secondBegan + SECOND_NANOS - now);
    }
    return Math.max(1, nanos / 1_000_000);
  }

  private void welcome(long now) {
    try {
      while (comeThisSecond < VISITS_A_SECOND) {
        SocketChannel channel = door.accept();
        if (channel == null) {
          return;
        }
        comeThisSecond++;
        takeIn(channel, now);
      }
    } catch (IOException e) {
      // It hung up at the door, or the process has no room for one more; the next may find it open.
      comeThisSecond++;
      LOG.debug("A client of the metrics did not get in.", e);
    }
  }

  private void takeIn(SocketChannel channel, long now) throws IOException {
    if (visits.size() >= MOST_VISITS) {
      // Who has been here longest has had the best chance.
      visits.remove().close();
    }
    channel.configureBlocking(false);
    SelectionKey key = channel.register(selector, SelectionKey.OP_READ);
    Visit visit = new Visit(channel, key, now + VISIT_NANOS, this::freshPage);
    key.attach(visit);
    visits.add(visit);
  }

  private byte[] freshPage(long now) {
    if (now - madeAt >= PAGE_NANOS) {
      made = page.get();
      madeAt = now;
    }
    return made;
  }

  /** Ends; whoever is being answered is cut off. */
  @Override
  public void close() {
    closing = true;
    selector.wakeup();
    if (!thread.isAlive()) {
      try {
        door.close();
        selector.close();
      } catch (IOException e) {
        LOG.debug("The door of the metrics could not be closed.", e);
      }
    }
  }
}
