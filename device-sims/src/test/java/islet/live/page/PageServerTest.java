package islet.live.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.live.SurroundingsException;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.NetworkInterface;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The page's server, asked by Java's own HTTP client and, where that is too polite, by a bare
 * socket. Judged by RFC 9110 (status codes, HEAD, entity tags), Content Security Policy Level 3 and
 * the Fetch standard, all from memory.
 */
@Tag("apart")
@Timeout(30)
class PageServerTest {

  private static final URI BROKER = URI.create("ws://127.0.0.1:9001/mqtt");
  private static final String MADE = "{\"made\":true}";

  private static PageServer server;

  private final HttpClient client = HttpClient.newHttpClient();

  @BeforeAll
  static void start() throws SurroundingsException {
    server =
        PageServer.start(
            0, BROKER, Map.of("/made.json", () -> MADE.getBytes(StandardCharsets.UTF_8)));
  }

  @AfterAll
  static void stop() {
    server.close();
  }

  private HttpResponse<String> ask(String method, String path, String... headers)
      throws IOException, InterruptedException {
    HttpRequest.Builder request =
        HttpRequest.newBuilder(URI.create(server.url()).resolve(path))
            .method(method, HttpRequest.BodyPublishers.noBody());
    if (headers.length > 0) {
      request.headers(headers);
    }
    return client.send(request.build(), BodyHandlers.ofString());
  }

  /** A request as it stands, which no client would send; the answer's first line. */
  private static String raw(String head) throws IOException {
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), server.port())) {
      socket.getOutputStream().write(head.getBytes(StandardCharsets.ISO_8859_1));
      String answer =
          new String(socket.getInputStream().readAllBytes(), StandardCharsets.ISO_8859_1);
      int end = answer.indexOf("\r\n");
      return end < 0 ? answer : answer.substring(0, end);
    }
  }

  private static String own() {
    return "127.0.0.1:" + server.port();
  }

  @ParameterizedTest
  @CsvSource({
    "/mqtt5.js, text/javascript; charset=utf-8",
    "/lib/uplot/uPlot.esm.js, text/javascript; charset=utf-8",
    "/lib/uplot/uPlot.min.css, text/css; charset=utf-8",
    "/lib/uplot/LICENSE, text/plain; charset=utf-8",
    "/made.json, application/json; charset=utf-8"
  })
  void eachFileComesWithItsType(String path, String type) throws Exception {
    HttpResponse<String> answer = ask("GET", path);
    assertEquals(200, answer.statusCode());
    assertEquals(Optional.of(type), answer.headers().firstValue("Content-Type"));
    assertFalse(answer.body().isBlank());
  }

  @ParameterizedTest
  @ValueSource(strings = {"/mqtt5.js", "/made.json", "/nowhere.html"})
  void everyAnswerKeepsThePageToItself(String path) throws Exception {
    Map<String, List<String>> headers = ask("GET", path).headers().map();
    assertEquals(
        List.of(
            "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:;"
                + " connect-src 'self' ws://127.0.0.1:9001; base-uri 'none'; form-action 'none';"
                + " frame-ancestors 'none'"),
        headers.get("content-security-policy"));
    assertEquals(List.of("nosniff"), headers.get("x-content-type-options"));
    assertEquals(List.of("no-referrer"), headers.get("referrer-policy"));
    assertEquals(List.of("same-origin"), headers.get("cross-origin-resource-policy"));
    assertTrue(headers.containsKey("permissions-policy"));
    assertFalse(headers.containsKey("access-control-allow-origin"));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "/../page/index.html",
        "/..%2fcli/version.properties",
        "/%2e%2e/cli/version.properties",
        "/./index.html",
        "//index.html",
        "/index.html/",
        "/sub/../index.html",
        "/..\\cli\\version.properties",
        "/.hidden.js",
        "/index",
        "/PageServer.class",
        "/lib/uplot/package.json",
        "/lib/uplot/../uplot/LICENSE",
        "/a/b/c/d/e.js",
        "/index.html%00.js"
      })
  void nothingBesideItsFilesIsReached(String path) throws Exception {
    String first =
        raw("GET " + path + " HTTP/1.1\r\nHost: " + own() + "\r\nConnection: close\r\n\r\n");
    assertTrue(first.startsWith("HTTP/1.1 404") || first.startsWith("HTTP/1.1 400"), first);
  }

  @ParameterizedTest
  @ValueSource(strings = {"evil.example", "evil.example:80", "127.0.0.1", "[::1]", "localhost"})
  void whoCallsItByAnotherNameIsRefused(String host) throws Exception {
    String answer =
        raw("GET /made.json HTTP/1.1\r\nHost: " + host + "\r\nConnection: close\r\n\r\n");
    assertEquals("HTTP/1.1 421", answer.strip());
  }

  @Test
  void whoNamesNoHostOrTwoIsRefused() throws Exception {
    assertTrue(raw("GET /made.json HTTP/1.0\r\nConnection: close\r\n\r\n").contains(" 421 "));
    String two = "Host: " + own() + "\r\nHost: evil.example\r\n";
    String answer = raw("GET /made.json HTTP/1.1\r\n" + two + "Connection: close\r\n\r\n");
    assertFalse(answer.contains(" 200 "), answer);
  }

  @Test
  void itAnswersToBothOfItsNames() throws Exception {
    for (String host : List.of(own(), "localhost:" + server.port())) {
      String head = "GET /made.json HTTP/1.1\r\nHost: " + host + "\r\nConnection: close\r\n\r\n";
      assertEquals("HTTP/1.1 200 OK", raw(head).strip());
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"POST", "PUT", "DELETE", "OPTIONS", "PATCH"})
  void itOnlyTells(String method) throws Exception {
    HttpResponse<String> answer = ask(method, "/");
    assertEquals(405, answer.statusCode());
    assertEquals(Optional.of("GET, HEAD"), answer.headers().firstValue("Allow"));
  }

  @Test
  void aHeadGivesTheHeadersOfAGetAndNoBody() throws Exception {
    HttpResponse<String> get = ask("GET", "/mqtt5.js");
    HttpResponse<String> head = ask("HEAD", "/mqtt5.js");
    assertEquals(200, head.statusCode());
    assertEquals("", head.body());
    assertEquals(
        get.headers().firstValue("Content-Length"), head.headers().firstValue("Content-Length"));
    assertEquals(get.headers().firstValue("ETag"), head.headers().firstValue("ETag"));
  }

  @Test
  void whatABrowserHasAlreadyIsNotSentAgain() throws Exception {
    String tag = ask("GET", "/mqtt5.js").headers().firstValue("ETag").orElseThrow();
    HttpResponse<String> again = ask("GET", "/mqtt5.js", "If-None-Match", tag);
    assertEquals(304, again.statusCode());
    assertEquals("", again.body());
    assertEquals(200, ask("GET", "/mqtt5.js", "If-None-Match", "\"other\"").statusCode());
  }

  @Test
  void whatIsMadeIsNeverKeptAndNeverGivenToAnotherPage() throws Exception {
    assertEquals(
        Optional.of("no-store"), ask("GET", "/made.json").headers().firstValue("Cache-Control"));
    for (String site : List.of("cross-site", "same-site")) {
      HttpResponse<String> answer = ask("GET", "/made.json", "Sec-Fetch-Site", site);
      assertEquals(403, answer.statusCode());
      assertFalse(answer.body().contains("made"));
    }
    assertEquals(200, ask("GET", "/made.json", "Sec-Fetch-Site", "same-origin").statusCode());
  }

  @Test
  void otherMachinesDoNotReachIt() throws Exception {
    for (NetworkInterface card : NetworkInterface.networkInterfaces().toList()) {
      for (InetAddress address : card.inetAddresses().toList()) {
        if (address.equals(InetAddress.getLoopbackAddress())) {
          continue;
        }
        try (Socket socket = new Socket()) {
          assertThrows(
              IOException.class,
              () -> socket.connect(new InetSocketAddress(address, server.port()), 1_000),
              () -> "it answers at " + address);
        }
      }
    }
  }

  @Test
  void aTakenPortIsToldInASentence() {
    SurroundingsException told =
        assertThrows(
            SurroundingsException.class, () -> PageServer.start(server.port(), BROKER, Map.of()));
    assertTrue(String.valueOf(told.getMessage()).contains("choose another with --page"));
  }

  @Test
  void aSilentVisitorKeepsNobodyOut() throws Exception {
    try (Socket silent = new Socket(InetAddress.getLoopbackAddress(), server.port())) {
      silent.getOutputStream().write("GET / HT".getBytes(StandardCharsets.ISO_8859_1));
      assertEquals(200, ask("GET", "/mqtt5.js").statusCode());
    }
  }
}
