package islet.live.page;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.BrowserContext;
import com.microsoft.playwright.BrowserType;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.Playwright;
import com.microsoft.playwright.options.ColorScheme;
import com.microsoft.playwright.options.ReducedMotion;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CopyOnWriteArrayList;

/**
 * The machine's own Chromium without a window, and what every page in it is held to: no breach of
 * the content security policy, no request beyond this machine, no error in a script.
 */
final class Chromium implements AutoCloseable {

  private static final List<Path> PLACES =
      List.of(Path.of("/usr/bin/chromium"), Path.of("/usr/bin/chromium-browser"));

  /** What a page that is well behaved says while its server is away. */
  private static final List<String> WHILE_AWAY =
      List.of("ERR_CONNECTION_REFUSED", "Failed to load resource", "WebSocket connection to");

  private final Playwright playwright;
  private final Browser browser;
  private final List<String> breaches = new CopyOnWriteArrayList<>();

  Chromium() {
    playwright =
        Playwright.create(
            new Playwright.CreateOptions().setEnv(Map.of("PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD", "1")));
    browser =
        playwright
            .chromium()
            .launch(
                new BrowserType.LaunchOptions()
                    .setExecutablePath(installed())
                    .setArgs(
                        List.of(
                            "--no-sandbox",
                            "--disable-gpu",
                            "--disable-background-networking",
                            "--disable-component-update",
                            "--disable-sync",
                            "--no-first-run")));
  }

  /** Skips a test where there is none, except on a build server. */
  static void insistOnInstalled() {
    boolean missing = PLACES.stream().noneMatch(Files::isExecutable);
    assertFalse(
        missing && "true".equals(System.getenv("CI")),
        PLACES + " are missing, and on a build server this test must not be left out.");
    assumeTrue(!missing, "Chromium is not installed; install the package chromium.");
  }

  private static Path installed() {
    return PLACES.stream().filter(Files::isExecutable).findFirst().orElseThrow();
  }

  /** A page in a profile of its own. */
  Page open(String url, int width, int height, ColorScheme colours) {
    return open(url, width, height, colours, "");
  }

  /**
   * The same.
   *
   * @param first a script that runs before the page's own
   */
  Page open(String url, int width, int height, ColorScheme colours, String first) {
    BrowserContext context =
        browser.newContext(
            new Browser.NewContextOptions()
                .setViewportSize(width, height)
                .setColorScheme(colours)
                .setReducedMotion(ReducedMotion.REDUCE));
    context.setDefaultTimeout(10_000);
    context.addInitScript(
        "addEventListener('securitypolicyviolation',"
            + " e => console.error('POLICY ' + e.violatedDirective + ' ' + e.blockedURI))");
    if (!first.isEmpty()) {
      context.addInitScript(first);
    }
    Page page = context.newPage();
    page.onRequest(
        request -> {
          String host = String.valueOf(URI.create(request.url()).getHost());
          if (!request.url().startsWith("data:") && !"127.0.0.1".equals(host)) {
            breaches.add("a request to " + request.url());
          }
        });
    page.onWebSocket(
        socket -> {
          if (!socket.url().startsWith("ws://127.0.0.1:")) {
            breaches.add("a WebSocket to " + socket.url());
          }
        });
    page.onPageError(error -> breaches.add("an error: " + error));
    page.onConsoleMessage(
        message -> {
          boolean bad = "error".equals(message.type()) || message.text().startsWith("POLICY");
          if (bad && WHILE_AWAY.stream().noneMatch(message.text()::contains)) {
            breaches.add("on the console: " + message.text());
          }
        });
    page.navigate(url);
    return page;
  }

  /** What pages have done since the last call that they must not do. */
  List<String> breaches() {
    List<String> found = List.copyOf(breaches);
    breaches.clear();
    return found;
  }

  @Override
  public void close() {
    browser.close();
    playwright.close();
  }
}
