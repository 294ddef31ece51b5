package islet.live.page;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.sun.net.httpserver.Headers;
import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import islet.live.SurroundingsException;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Gives the page to browsers of this machine, over HTTP on 127.0.0.1 only. The live page's changes
 * nothing: what that page commands goes to the broker. A guided rehearsal's takes answers at one
 * address, from its own page only, which shows a secret and says where it comes from.
 *
 * <p>A browser also shows strangers' pages, and those can send requests here. So whoever asks under
 * another name than this server's own is refused, which ends the trick of a foreign name that is
 * made to lead here (DNS rebinding); no answer lets another origin read it (RFC 6454; the Fetch
 * standard's cross-origin rules); and the page itself may load and reach nothing but this server
 * and the one broker (Content Security Policy Level 3). All from memory.
 */
public final class PageServer implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(PageServer.class);

  private static final String ADDRESS = "127.0.0.1";

  /** Enough for a few browsers, and a bound to what slow ones can hold up. */
  private static final int THREADS = 8;

  /** An answer is written in far less; somebody silent must not hold up the end. */
  private static final long LONGEST_FAREWELL_MS = 500;

  private static final int BACKLOG = 32;

  /** Registered for HTTP, which a browser leaves out of the host's name. */
  private static final int USUAL_PORT = 80;

  private static final int OK = 200;
  private static final int NOT_MODIFIED = 304;
  private static final int FORBIDDEN = 403;
  private static final int NOT_FOUND = 404;
  private static final int METHOD_NOT_ALLOWED = 405;
  private static final int TOO_LARGE = 413;
  private static final int UNSUPPORTED = 415;
  private static final int MISDIRECTED = 421;
  private static final int FAILED = 500;

  private static final int NO_BODY = -1;

  private static final String FEATURES =
      "accelerometer=(), autoplay=(), camera=(), display-capture=(), geolocation=(), gyroscope=(),"
          + " microphone=(), midi=(), payment=(), usb=()";

  /** A document that is one file has its style within; no script runs, and nothing is fetched. */
  private static final String PAPER_POLICY =
      "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action"
          + " 'none'; frame-ancestors 'none'";

  private static final ObjectMapper JSON = new ObjectMapper();

  static {
    // The JDK's server knows these by property only. A small answer must not wait for the
    // acknowledgement of the one before, and a request that never ends must not keep its thread.
    setUnlessSet("sun.net.httpserver.nodelay", "true");
    setUnlessSet("sun.net.httpserver.maxReqTime", "10");
    setUnlessSet("sun.net.httpserver.maxRspTime", "30");
  }

  private final HttpServer server;
  private final ExecutorService threads;
  private final PageOffer offer;
  private final String policy;
  private final Set<String> ownNames;

  private PageServer(HttpServer server, PageOffer offer) {
    this.server = server;
    this.offer = offer;
    policy =
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src"
            + " 'self'"
            + offer.broker().map(broker -> " " + origin(broker)).orElse("")
            + "; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
    ownNames = ownNames(port());
    threads =
        Executors.newFixedThreadPool(
            THREADS,
            work -> {
              Thread thread = new Thread(work, "islet-page");
              thread.setDaemon(true);
              return thread;
            });
  }

  private static void setUnlessSet(String property, String value) {
    if (System.getProperty(property) == null) {
      System.setProperty(property, value);
    }
  }

  /**
   * Takes its port and answers.
   *
   * @param port 1 to 65535; 0 for one that is free
   * @param broker the WebSocket that the page may open, such as {@code ws://127.0.0.1:9001/mqtt}
   * @param made what is made anew for each request: JSON by its path, such as {@code
   *     /description.json}; asked for on the server's threads
   * @throws SurroundingsException with a sentence when the port cannot be had
   */
  public static PageServer start(int port, URI broker, Map<String, Supplier<byte[]>> made)
      throws SurroundingsException {
    return start(port, PageOffer.live(broker, made));
  }

  /**
   * Takes its port and answers; the page may open no WebSocket.
   *
   * @param port as above
   * @param made as above
   * @throws SurroundingsException as above
   */
  public static PageServer start(int port, Map<String, Supplier<byte[]>> made)
      throws SurroundingsException {
    return start(port, PageOffer.recording(made));
  }

  /**
   * Takes its port and answers.
   *
   * @param port 1 to 65535; 0 for one that is free
   * @throws SurroundingsException with a sentence when the port cannot be had
   */
  public static PageServer start(int port, PageOffer offer) throws SurroundingsException {
    HttpServer server;
    try {
      InetAddress loopback = InetAddress.getByAddress(new byte[] {127, 0, 0, 1});
      server = HttpServer.create(new InetSocketAddress(loopback, port), BACKLOG);
    } catch (IOException e) {
      throw new SurroundingsException(
          "The page cannot be served on "
              + ADDRESS
              + ":"
              + port
              + " ("
              + e.getMessage()
              + "). End the program that has the port, or choose another with --page.",
          e);
    }
    PageServer page = new PageServer(server, offer);
    server.setExecutor(page.threads);
    server.createContext("/", page::answer);
    server.start();
    return page;
  }

  /** The port that it listens at. */
  public int port() {
    return server.getAddress().getPort();
  }

  /** Where the page is. */
  public String url() {
    return "http://" + ADDRESS + ":" + port() + "/";
  }

  private static String origin(URI broker) {
    int port = broker.getPort();
    return broker.getScheme() + "://" + broker.getHost() + (port < 0 ? "" : ":" + port);
  }

  private static Set<String> ownNames(int port) {
    String behind = port == USUAL_PORT ? "" : ":" + port;
    return Set.of(ADDRESS + behind, "localhost" + behind);
  }

  private void answer(HttpExchange exchange) throws IOException {
    try (exchange) {
      try {
        respond(exchange);
      } catch (RuntimeException e) {
        LOG.warn("The page's server failed at {}.", exchange.getRequestURI(), e);
        refuse(exchange, FAILED, "The answer could not be made.");
      }
    }
  }

  private void respond(HttpExchange exchange) throws IOException {
    guard(exchange.getResponseHeaders());
    String method = exchange.getRequestMethod();
    if (!calledByItsName(exchange.getRequestHeaders())) {
      refuse(
          exchange,
          MISDIRECTED,
          "This server answers to " + String.join(" and ", ownNames.stream().sorted().toList()));
    } else if (method.equals("POST") && isBox(exchange)) {
      take(exchange, offer.box().orElseThrow());
    } else if (!method.equals("GET") && !method.equals("HEAD")) {
      exchange.getResponseHeaders().set("Allow", "GET, HEAD");
      refuse(exchange, METHOD_NOT_ALLOWED, "Only GET and HEAD are answered.");
    } else {
      give(exchange, String.valueOf(exchange.getRequestURI().getRawPath()));
    }
  }

  private boolean isBox(HttpExchange exchange) {
    String path = String.valueOf(exchange.getRequestURI().getRawPath());
    return offer.box().map(box -> box.path().equals(path)).orElse(false);
  }

  /**
   * Takes what the own page sends. A form of a stranger's page can neither set the header nor this
   * media type; what could set them, a script, is stopped by the browser before it sends.
   */
  private void take(HttpExchange exchange, LetterBox box) throws IOException {
    Headers headers = exchange.getRequestHeaders();
    String shown = String.valueOf(headers.getFirst(LetterBox.TOKEN_HEADER));
    String type = String.valueOf(headers.getFirst("Content-Type"));
    if (comesFromElsewhere(headers)
        || hasForeignOrigin(headers)
        || !MessageDigest.isEqual(bytes(shown), bytes(box.token()))) {
      refuse(exchange, FORBIDDEN, "This is for the page of this server only.");
    } else if (!type.startsWith("application/json")) {
      refuse(exchange, UNSUPPORTED, "Only application/json is taken.");
    } else {
      byte[] body = exchange.getRequestBody().readNBytes(LetterBox.MOST_BYTES + 1);
      if (body.length > LetterBox.MOST_BYTES) {
        refuse(exchange, TOO_LARGE, "At most " + LetterBox.MOST_BYTES + " bytes are taken.");
        return;
      }
      Reply reply = box.take().apply(body);
      exchange.getResponseHeaders().set("Cache-Control", "no-store");
      send(exchange, reply.status(), new PageFile(json(reply), PageFile.JSON));
    }
  }

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }

  private static byte[] json(Reply reply) {
    try {
      return JSON.writeValueAsBytes(reply);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a record of texts and a number can be written", e);
    }
  }

  /** Whether a browser says that a page of another origin sends (the Fetch standard, 3.1). */
  private boolean hasForeignOrigin(Headers headers) {
    return headers.getOrDefault("Origin", List.of()).stream()
        .anyMatch(origin -> ownNames.stream().noneMatch(own -> origin.equals("http://" + own)));
  }

  private void give(HttpExchange exchange, String path) throws IOException {
    Supplier<byte[]> maker = offer.made().get(path);
    if (maker != null) {
      if (comesFromElsewhere(exchange.getRequestHeaders())) {
        refuse(exchange, FORBIDDEN, "This is for the page of this server only.");
        return;
      }
      exchange.getResponseHeaders().set("Cache-Control", "no-store");
      send(exchange, OK, new PageFile(maker.get(), PageFile.JSON));
      return;
    }
    if (offer.papers().containsKey(path)) {
      givePaper(exchange, path, offer.papers().get(path).get());
      return;
    }
    Optional<PageFile> file = file(path.equals("/") ? offer.first() : path);
    if (file.isEmpty()) {
      refuse(exchange, NOT_FOUND, "There is no such file.");
      return;
    }
    String tag = file.get().tag();
    exchange.getResponseHeaders().set("ETag", tag);
    exchange.getResponseHeaders().set("Cache-Control", "no-cache");
    if (tag.equals(exchange.getRequestHeaders().getFirst("If-None-Match"))) {
      exchange.sendResponseHeaders(NOT_MODIFIED, NO_BODY);
    } else {
      send(exchange, OK, file.get());
    }
  }

  private static void givePaper(HttpExchange exchange, String path, Optional<byte[]> paper)
      throws IOException {
    if (paper.isEmpty()) {
      refuse(exchange, NOT_FOUND, "There is no such file yet.");
      return;
    }
    exchange.getResponseHeaders().set("Content-Security-Policy", PAPER_POLICY);
    exchange.getResponseHeaders().set("Cache-Control", "no-store");
    String type = path.endsWith(".html") ? "text/html; charset=utf-8" : PageFile.JSON;
    send(exchange, OK, new PageFile(paper.get(), type));
  }

  private static Optional<PageFile> file(String path) {
    try {
      return path.startsWith("/") ? PageFiles.at(path) : Optional.empty();
    } catch (IOException e) {
      throw new IllegalStateException("A file of the page cannot be read.", e);
    }
  }

  /** What every answer carries, refusals too. */
  private void guard(Headers headers) {
    headers.set("Content-Security-Policy", policy);
    headers.set("X-Content-Type-Options", "nosniff");
    headers.set("X-Frame-Options", "DENY");
    headers.set("Referrer-Policy", "no-referrer");
    headers.set("Permissions-Policy", FEATURES);
    headers.set("Cross-Origin-Opener-Policy", "same-origin");
    headers.set("Cross-Origin-Resource-Policy", "same-origin");
  }

  private boolean calledByItsName(Headers headers) {
    List<String> hosts = headers.getOrDefault("Host", List.of());
    return hosts.size() == 1 && ownNames.contains(hosts.get(0));
  }

  /**
   * Whether a browser says that another page asks. It could not read the answer, but it need not
   * get one.
   */
  private static boolean comesFromElsewhere(Headers headers) {
    List<String> sites = headers.getOrDefault("Sec-Fetch-Site", List.of());
    return sites.stream().anyMatch(site -> !site.equals("same-origin") && !site.equals("none"));
  }

  private static void refuse(HttpExchange exchange, int status, String sentence)
      throws IOException {
    exchange.getResponseHeaders().set("Cache-Control", "no-store");
    byte[] text = (sentence + "\n").getBytes(StandardCharsets.UTF_8);
    send(exchange, status, new PageFile(text, "text/plain; charset=utf-8"));
  }

  private static void send(HttpExchange exchange, int status, PageFile file) throws IOException {
    exchange.getResponseHeaders().set("Content-Type", file.type());
    if (exchange.getRequestMethod().equals("HEAD")) {
      exchange.getResponseHeaders().set("Content-Length", Integer.toString(file.content().length));
      exchange.sendResponseHeaders(status, NO_BODY);
    } else {
      exchange.sendResponseHeaders(status, file.content().length);
      exchange.getResponseBody().write(file.content());
    }
  }

  /** Ends; whoever is being answered gets the answer, unless it takes long. */
  @Override
  public void close() {
    threads.shutdown();
    try {
      if (!threads.awaitTermination(LONGEST_FAREWELL_MS, TimeUnit.MILLISECONDS)) {
        LOG.debug("The page's server ends while somebody is still asking.");
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    server.stop(0);
    threads.shutdownNow();
  }
}
