package islet.live.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Page;
import com.microsoft.playwright.PlaywrightException;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.TimeUnit;

/** What every test in a browser asks of a page. */
final class Browsing {

  private static final int PATIENCE_S = 30;

  private Browsing() {}

  /** Waits for what comes by itself, however busy the machine is. */
  static void until(Page page, String condition) {
    until(page, condition, PATIENCE_S);
  }

  /**
   * Waits until a condition holds. Asked from outside again and again, since the page's own policy
   * forbids the browser to make a function of a text.
   */
  static void until(Page page, String condition, int seconds) {
    long limit = System.nanoTime() + TimeUnit.SECONDS.toNanos(seconds);
    while (!holds(page, condition)) {
      assertTrue(System.nanoTime() < limit, "not within " + seconds + " s: " + condition);
      page.waitForTimeout(20);
    }
  }

  /** Whether a condition holds now. */
  static boolean holds(Page page, String condition) {
    try {
      return Boolean.TRUE.equals(page.evaluate("Boolean(" + condition + ")"));
    } catch (PlaywrightException e) {
      return false; // the page is being loaded anew
    }
  }

  /** Nothing that axe-core's rules for WCAG 2.2 call serious or critical. */
  static void nothingSerious(Page page, String where) throws IOException {
    try (InputStream in = Browsing.class.getResourceAsStream("/axe.min.js")) {
      assertNotNull(in, "axe.min.js is missing");
      page.evaluate(new String(in.readAllBytes(), StandardCharsets.UTF_8));
    }
    Object found =
        page.evaluate(
            "async () => (await axe.run(document, { resultTypes: ['violations'],"
                + " rules: { 'target-size': { enabled: true } } })).violations"
                + ".filter(v => v.impact === 'serious' || v.impact === 'critical')"
                + ".map(v => v.id + ': ' + v.nodes.map(n => n.target.join(' ')).join(', '))");
    assertEquals(List.of(), found, where);
  }
}
