package islet.metrics;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.SelectionKey;
import java.nio.channels.SocketChannel;
import java.nio.charset.StandardCharsets;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * One client at the end point: its request is read as it comes, answered once, and then only
 * listened to until the client hangs up, so that the answer is not lost in a reset (RFC 9112,
 * section 9.6). Never blocks.
 */
final class Visit {

  private static final Logger LOG = LoggerFactory.getLogger(Visit.class);

  /** The longest request that is read, in bytes; a scraper sends some hundred. */
  static final int REQUEST_LIMIT = 4096;

  /** Makes the page at an instant of the steady clock, ns. */
  @FunctionalInterface
  interface Page {
    byte[] at(long now);
  }

  private enum Phase {
    READING,
    WRITING,
    DRAINING,
    OVER
  }

  private final SocketChannel channel;
  private final SelectionKey key;
  private final long deadline;
  private final Page page;
  private final ByteBuffer request = ByteBuffer.allocate(REQUEST_LIMIT);
  private ByteBuffer head = ByteBuffer.allocate(0);
  private ByteBuffer body = ByteBuffer.allocate(0);
  private Phase phase = Phase.READING;

  Visit(SocketChannel channel, SelectionKey key, long deadline, Page page) {
    this.channel = channel;
    this.key = key;
    this.deadline = deadline;
    this.page = page;
  }

  /** Does what can be done now. A client that breaks off ends the visit. */
  void goOn(long now) {
    try {
      switch (phase) {
        case READING -> read(now);
        case WRITING -> write();
        case DRAINING -> drain();
        case OVER -> {}
      }
    } catch (IOException e) {
      LOG.debug("A client of the metrics broke off.", e);
      close();
    }
  }

  private void read(long now) throws IOException {
    if (channel.read(request) < 0) {
      close();
    } else if (ended()) {
      answer(now);
    } else if (!request.hasRemaining()) {
      answer("431 Request Header Fields Too Large", "", "The request is longer than 4 KiB.\n");
    }
  }

  /** Whether the empty line after the header has come. */
  private boolean ended() {
    int length = request.position();
    for (int i = 3; i < length; i++) {
      if (request.get(i - 3) == '\r'
          && request.get(i - 2) == '\n'
          && request.get(i - 1) == '\r'
          && request.get(i) == '\n') {
        return true;
      }
    }
    return false;
  }

  private void answer(long now) throws IOException {
    String text = new String(request.array(), 0, request.position(), StandardCharsets.ISO_8859_1);
    String[] words = text.substring(0, text.indexOf('\r')).split(" ", -1);
    if (words.length != 3 || !words[2].startsWith("HTTP/1.")) {
      answer("400 Bad Request", "", "Ask with GET /metrics HTTP/1.1.\n");
      return;
    }
    boolean headOnly = words[0].equals("HEAD");
    if (!headOnly && !words[0].equals("GET")) {
      answer("405 Method Not Allowed", "Allow: GET, HEAD\r\n", "Only GET and HEAD are answered.\n");
    } else if (!words[1].equals("/metrics") && !words[1].startsWith("/metrics?")) {
      answer("404 Not Found", "", "The metrics are at /metrics.\n");
    } else {
      give(now, headOnly);
    }
  }

  private void give(long now, boolean headOnly) throws IOException {
    byte[] content;
    try {
      content = page.at(now);
    } catch (RuntimeException e) {
      LOG.warn("The page of metrics could not be made.", e);
      answer("500 Internal Server Error", "", "The page could not be made.\n");
      return;
    }
    tell("200 OK", OpenMetrics.CONTENT_TYPE, "", content, headOnly);
  }

  private void answer(String status, String header, String sentence) throws IOException {
    byte[] text = sentence.getBytes(StandardCharsets.US_ASCII);
    tell(status, "text/plain; charset=utf-8", header, text, false);
  }

  private void tell(String status, String type, String header, byte[] content, boolean headOnly)
      throws IOException {
    String fields =
        "HTTP/1.1 "
            + status
            + "\r\nContent-Type: "
            + type
            + "\r\nContent-Length: "
            + content.length
            + "\r\nCache-Control: no-store\r\nConnection: close\r\n"
            + header
            + "\r\n";
    head = ByteBuffer.wrap(fields.getBytes(StandardCharsets.US_ASCII));
    body = ByteBuffer.wrap(headOnly ? new byte[0] : content);
    phase = Phase.WRITING;
    key.interestOps(SelectionKey.OP_WRITE);
    write();
  }

  private void write() throws IOException {
    channel.write(new ByteBuffer[] {head, body});
    if (!head.hasRemaining() && !body.hasRemaining()) {
      channel.shutdownOutput();
      phase = Phase.DRAINING;
      key.interestOps(SelectionKey.OP_READ);
    }
  }

  private void drain() throws IOException {
    request.clear();
    if (channel.read(request) < 0) {
      close();
    }
  }

  /** Whether it has ended. */
  boolean over() {
    return phase == Phase.OVER;
  }

  /** Whether its time is over. */
  boolean lateAt(long now) {
    return leftNanos(now) <= 0;
  }

  /** How much of its time is left, ns. */
  long leftNanos(long now) {
    return deadline - now;
  }

  /** Hangs up. */
  void close() {
    phase = Phase.OVER;
    try {
      channel.close();
    } catch (IOException e) {
      LOG.debug("A client of the metrics could not be hung up on.", e);
    }
  }
}
