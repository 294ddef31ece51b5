package islet.live.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import islet.LongTest;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * The page in a real browser at a broker of other make: of a live run, and of a site that runs
 * elsewhere. Judged by what the page shows of devices and supervisor that are processes of their
 * own, and by the broker's log of who has published.
 */
@LongTest
@Tag("apart")
@Timeout(400)
class PageAtBrokerTest {

  private static final Path SITES = PageRun.ROOT.resolve("config/sites");

  private static final int ATTEMPTS = 5;

  /** Three processes and a browser start at once, which takes its time on a busy machine. */
  private static final int PATIENCE_S = 90;

  private static Chromium chromium;

  @TempDir private Path disk = Path.of("");
  private final List<Process> processes = new ArrayList<>();

  @BeforeAll
  static void start() {
    Chromium.insistOnInstalled();
    OutsideBroker.insistOnInstalled();
    chromium = new Chromium();
  }

  @AfterAll
  static void stop() {
    if (chromium != null) {
      chromium.close();
    }
  }

  @AfterEach
  void nothingForbiddenWasDoneAndNothingIsLeft() {
    processes.forEach(Process::destroyForcibly);
    assertEquals(List.of(), chromium.breaches());
  }

  private static void until(Page page, String condition) {
    Browsing.until(page, condition, PATIENCE_S);
  }

  private static void untilMode(Page page, String mode) {
    until(page, "document.querySelector('#mode').dataset.mode === '" + mode + "'");
  }

  @Test
  void aLiveRunAtAnOutsideBrokerIsShownAndCommandedAndOutlivesTheBroker() throws Exception {
    try (OutsideBroker broker = new OutsideBroker(disk.resolve("broker"), List.of());
        PageRun run =
            PageRun.of(
                "live",
                PageRun.ROOT.resolve("config/scenarios/winter-day.yaml").toString(),
                "--broker",
                broker.url(),
                "--page-broker",
                broker.webSocket(),
                "--page",
                "0")) {
      Page page = chromium.open(run.url(), 1280, 720, ColorScheme.LIGHT);
      untilMode(page, "GRID_PRESENT");
      until(
          page,
          "document.querySelector('[data-hazard=overcharge] .left').getAttribute('width') > 0");
      page.click("[data-event=outage]");
      untilMode(page, "ISLANDED");
      until(page, "document.querySelector('#answers').textContent.includes('Outage: Done')");

      broker.kill();
      until(page, "document.querySelector('#link').textContent !== 'up'");
      until(page, "document.querySelector('#notice').textContent !== ''");
      broker.restart();
      until(page, "document.querySelector('#link').textContent === 'up'");
      until(page, "document.querySelector('#notice').textContent === ''");
      untilMode(page, "ISLANDED");
      // The run itself has a link to find again too; until then nobody answers, and that is told.
      String done = "document.querySelector('#answers').textContent.includes('Mend all: Done')";
      for (int attempt = 0; attempt < ATTEMPTS && !Browsing.holds(page, done); attempt++) {
        int answers = page.locator("#answers li").count();
        page.locator("button:has-text('Mend all')").click();
        until(page, "document.querySelectorAll('#answers li').length > " + answers);
      }
      assertTrue(Browsing.holds(page, done), page.locator("#answers").textContent());
      page.context().close();
    }
  }

  /** Devices and controller as at a site, each with its account; the page with a viewer's. */
  @Test
  void aSiteThatRunsElsewhereIsShownAndNothingIsSentToIt() throws Exception {
    String site = SITES.resolve("ferry-landing.yaml").toString();
    List<String> accounts = List.of("supervisor", "devices", "viewer");
    try (OutsideBroker broker = new OutsideBroker(disk.resolve("broker"), accounts);
        PageRun watch =
            PageRun.of("watch", site, "--page", "0", "--page-broker", broker.webSocket())) {
      party(broker, "devices", "devices", "--site", site);
      party(broker, "supervisor", "controller", "--site", site);
      Page page = chromium.open(watch.url(), 1280, 720, ColorScheme.LIGHT);
      until(page, "document.querySelector('#sign-in').open");
      assertEquals("\u2013", page.locator("#time").textContent(), "nobody has told the time");
      signIn(page, "viewer", "no such password");
      until(page, "document.querySelector('#sign-in-why').textContent !== ''");
      signIn(page, "viewer", "viewer");
      until(page, "document.querySelector('#link').textContent === 'up'");
      untilMode(page, "GRID_PRESENT");
      until(page, "document.querySelector('[data-text=\"panel.p\"]').textContent.includes('W')");
      assertTrue(page.locator("#time").textContent().matches("\\d\\d:\\d\\d:\\d\\d"));

      // What only a bench knows is not there, and nothing is claimed of it.
      assertTrue(page.locator("#hazard-room").textContent().contains("Nobody judges"));
      assertTrue(page.locator("#waiting").textContent().contains("not told here"));
      assertEquals("", page.locator("[data-text='pv.available']").textContent());
      assertTrue(page.locator("#caution").textContent().startsWith("Beware of backfeed"));

      // No hands, no keys that command, and nothing on the wire from this page.
      assertFalse(page.locator("#hands").isVisible());
      page.locator("#diagram").focus();
      for (String key : List.of("o", "g", "a", "i", "r", "m", ".", "+", "-", "Space", "3")) {
        page.keyboard().press(key);
      }
      assertEquals(
          "Not sent: this page only looks on.",
          page.evaluate(
              "async () => { const { Commands } = await import('/commands.js');"
                  + " const asking = new Commands({ description: { mode: 'site' } },"
                  + " () => { throw new Error('it would have sent'); });"
                  + " return (await asking.supervisor('ISLAND')).text; }"));
      page.waitForTimeout(500);
      String name = clientOf(broker.log(), "viewer");
      assertTrue(name.startsWith("page-"), name);
      assertFalse(broker.log().contains("PUBLISH from " + name), "the page has sent something");
      assertTrue(broker.log().contains("Sending PUBLISH to " + name), "the log would tell");

      // The broker goes and comes back at its port: nobody signs in anew.
      broker.kill();
      until(page, "document.querySelector('#link').textContent !== 'up'");
      broker.restart();
      until(page, "document.querySelector('#link').textContent === 'up'");
      untilMode(page, "GRID_PRESENT");
      assertFalse((Boolean) page.evaluate("document.querySelector('#sign-in').open"));
      String stood = page.locator("#time").textContent();
      until(page, "document.querySelector('#time').textContent !== '" + stood + "'");
      Browsing.nothingSerious(page, "looking on");
      page.context().close();
    }
  }

  private void party(OutsideBroker broker, String account, String... words) throws Exception {
    List<String> all = new ArrayList<>(List.of(words));
    all.addAll(List.of("--broker", broker.url(), "--user", account));
    all.addAll(List.of("--password-file", broker.passwordFile(account)));
    if (words[0].equals("controller")) {
      all.addAll(List.of("--journal", disk.resolve("journal").toString()));
    }
    processes.add(PageRun.launch(all));
  }

  private static void signIn(Page page, String user, String password) {
    page.fill("#user", user);
    page.fill("#password", password);
    page.locator("#sign-in-form button").click();
  }

  /** {@code New client connected from ADDRESS as NAME (…, u'USER')}. */
  private static String clientOf(String log, String user) {
    Matcher matcher = Pattern.compile("as (\\S+) \\([^)]*u'" + user + "'\\)").matcher(log);
    return matcher.find() ? matcher.group(1) : "";
  }
}
