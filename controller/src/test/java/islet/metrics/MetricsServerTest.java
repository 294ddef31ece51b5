package islet.metrics;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Judged by HTTP's own rules (RFC 9110 and 9112) with the JDK's client, and by clients that break
 * them.
 */
@Timeout(30)
class MetricsServerTest {

  private static final byte[] PAGE = "# EOF\n".getBytes(StandardCharsets.UTF_8);

  private final AtomicInteger made = new AtomicInteger();
  private final List<Socket> sockets = new ArrayList<>();
  private final HttpClient client = HttpClient.newHttpClient();
  private MetricsServer server = open();

  private static MetricsServer open() {
    try {
      return new MetricsServer(
          new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), System::nanoTime);
    } catch (MetricsUnavailableException e) {
      throw new AssertionError(e);
    }
  }

  @BeforeEach
  void start() {
    server.start(
        () -> {
          made.incrementAndGet();
          return PAGE;
        });
  }

  @AfterEach
  void close() throws IOException {
    server.close();
    for (Socket socket : sockets) {
      socket.close();
    }
  }

  private Socket connect() throws IOException {
    Socket socket = new Socket(InetAddress.getLoopbackAddress(), server.port());
    socket.setSoTimeout(10_000);
    sockets.add(socket);
    return socket;
  }

  private HttpResponse<byte[]> ask(String method, String path)
      throws IOException, InterruptedException {
    return client.send(
        HttpRequest.newBuilder(URI.create(server.url()).resolve(path))
            .method(method, HttpRequest.BodyPublishers.noBody())
            .build(),
        HttpResponse.BodyHandlers.ofByteArray());
  }

  /** What comes back for these bytes until the server hangs up. */
  private String raw(String request) throws IOException {
    Socket socket = connect();
    socket.getOutputStream().write(request.getBytes(StandardCharsets.ISO_8859_1));
    return new String(socket.getInputStream().readAllBytes(), StandardCharsets.US_ASCII);
  }

  @Test
  void aScraperIsAnswered() throws IOException, InterruptedException {
    HttpResponse<byte[]> answer = ask("GET", "/metrics");
    assertEquals(200, answer.statusCode());
    assertArrayEquals(PAGE, answer.body());
    assertEquals(
        "application/openmetrics-text; version=1.0.0; charset=utf-8",
        answer.headers().firstValue("Content-Type").orElse(""));
    assertEquals(200, ask("GET", "/metrics?format=any").statusCode());
  }

  @Test
  void headTellsTheLengthAndNoContent() throws IOException {
    String answer = raw("HEAD /metrics HTTP/1.1\r\nHost: localhost\r\n\r\n");
    assertTrue(answer.startsWith("HTTP/1.1 200 "), answer);
    assertTrue(answer.contains("Content-Length: " + PAGE.length + "\r\n"), answer);
    assertTrue(answer.endsWith("\r\n\r\n"), answer);
  }

  @Test
  void nothingElseIsThereAndNothingCanBeChanged() throws IOException, InterruptedException {
    assertEquals(404, ask("GET", "/").statusCode());
    assertEquals(404, ask("GET", "/metricsx").statusCode());
    HttpResponse<byte[]> answer = ask("POST", "/metrics");
    assertEquals(405, answer.statusCode());
    assertEquals("GET, HEAD", answer.headers().firstValue("Allow").orElse(""));
    assertEquals(0, made.get());
  }

  @ParameterizedTest
  @ValueSource(strings = {"GARBAGE\r\n\r\n", "GET /metrics\r\n\r\n", "\r\n\r\n", " \r\n\r\n"})
  void whatIsNoRequestIsABadOne(String request) throws IOException {
    assertTrue(raw(request).startsWith("HTTP/1.1 400 "));
  }

  @Test
  void aRequestWithoutEndIsCutOff() throws IOException {
    String answer = raw("GET /metrics HTTP/1.1\r\nX: " + "x".repeat(Visit.REQUEST_LIMIT));
    assertTrue(answer.startsWith("HTTP/1.1 431 "), answer);
  }

  @Test
  void aRequestInCrumbsIsAnsweredOnceItIsWhole() throws IOException, InterruptedException {
    Socket socket = connect();
    socket.setTcpNoDelay(true);
    for (char c : "GET /metrics HTTP/1.1\r\n\r\n".toCharArray()) {
      socket.getOutputStream().write(c);
      Thread.sleep(5);
    }
    String answer = new String(socket.getInputStream().readAllBytes(), StandardCharsets.US_ASCII);
    assertTrue(answer.endsWith("\r\n\r\n# EOF\n"), answer);
  }

  @Test
  void silentClientsKeepNobodyFromHisAnswerAndAreHungUpOn()
      throws IOException, InterruptedException {
    for (int i = 0; i < 40; i++) {
      connect().getOutputStream().write('G');
    }
    assertEquals(200, ask("GET", "/metrics").statusCode());
    for (Socket socket : sockets) {
      try {
        assertEquals(-1, socket.getInputStream().read());
      } catch (java.net.SocketException e) {
        // A reset is a hang-up too.
        assertTrue(socket.isConnected());
      }
    }
  }

  /**
   * A second of connections as fast as they can be had, from two threads. The thread's own count of
   * processor time says what the flood costs; the bound is far below a whole processor.
   */
  @Test
  void aFloodOfClientsCostsLittle() throws InterruptedException {
    ThreadMXBean threads = ManagementFactory.getThreadMXBean();
    long id =
        Thread.getAllStackTraces().keySet().stream()
            .filter(t -> t.getName().equals("islet-metrics") && t.isAlive())
            .mapToLong(Thread::getId)
            .max()
            .orElseThrow();
    long before = threads.getThreadCpuTime(id);
    AtomicInteger answered = new AtomicInteger();
    List<Thread> flood = new ArrayList<>();
    long end = System.nanoTime() + 1_000_000_000L;
    for (int i = 0; i < 2; i++) {
      Thread thread =
          new Thread(
              () -> {
                while (System.nanoTime() < end) {
                  visit(answered);
                }
              });
      thread.start();
      flood.add(thread);
    }
    for (Thread thread : flood) {
      thread.join();
    }
    double seconds = (threads.getThreadCpuTime(id) - before) * 1e-9;
    assertTrue(seconds < 0.4, seconds + " s of processor time in a second of flood");
    assertTrue(
        answered.get() > 0 && answered.get() <= 4 * MetricsServer.VISITS_A_SECOND,
        answered + " answers");
    assertTrue(made.get() <= 12, made + " pages in a second");
  }

  private void visit(AtomicInteger answered) {
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), server.port())) {
      socket.setSoTimeout(500);
      socket
          .getOutputStream()
          .write("GET /metrics HTTP/1.1\r\n\r\n".getBytes(StandardCharsets.US_ASCII));
      if (socket.getInputStream().read() >= 0) {
        answered.incrementAndGet();
      }
    } catch (IOException e) {
      // Turned away, as it should be.
      Thread.onSpinWait();
    }
  }

  @Test
  void aPageThatFailsIsTold() throws IOException, InterruptedException {
    server.close();
    server = open();
    server.start(
        () -> {
          throw new IllegalStateException("planted");
        });
    assertEquals(500, ask("GET", "/metrics").statusCode());
    assertEquals(404, ask("GET", "/").statusCode());
  }

  @Test
  void aTakenPortIsSaidInASentence() {
    MetricsUnavailableException e =
        assertThrows(
            MetricsUnavailableException.class,
            () ->
                new MetricsServer(
                    new InetSocketAddress(InetAddress.getLoopbackAddress(), server.port()),
                    System::nanoTime));
    assertTrue(String.valueOf(e.getMessage()).contains("Name another port with --metrics."));
  }

  @ParameterizedTest
  @ValueSource(strings = {"x", "-1", "65536", ":9464", "127.0.0.1:", "999.0.0.1:80"})
  void whatIsNoAddressIsRefused(String text) {
    assertThrows(IllegalArgumentException.class, () -> MetricsAddress.parse(text));
  }

  @Test
  void aPortAloneIsOnThisMachineOnly() {
    assertTrue(MetricsAddress.parse("9464").getAddress().isLoopbackAddress());
    assertEquals(9464, MetricsAddress.parse("[::1]:9464").getPort());
  }
}
