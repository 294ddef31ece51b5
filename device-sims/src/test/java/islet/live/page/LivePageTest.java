package islet.live.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import islet.LongTest;
import java.util.List;
import java.util.TreeSet;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.MethodOrderer;
import org.junit.jupiter.api.Order;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestMethodOrder;
import org.junit.jupiter.api.Timeout;

/**
 * The live page in a real browser, over a real broker, on a real run. Judged by what the plant must
 * do (energy flows from where it is), by the mode that crossed the wire, by where the browser put
 * things, by the browser's own content security policy, and by axe-core's rules for WCAG 2.2.
 */
@Tag("apart")
@Timeout(120)
@TestMethodOrder(MethodOrderer.OrderAnnotation.class)
class LivePageTest {

  /**
   * From midnight on the utility charges the battery: an outage turns the battery's flow around.
   */
  private static final String NIGHT = "config/scenarios/winter-day.yaml";

  /** Overlaps in CSS pixels that letters' own side bearings make up for. */
  private static final double TOUCHING = 2;

  private static Chromium chromium;
  private static PageRun run;

  @BeforeAll
  static void start() throws Exception {
    Chromium.insistOnInstalled();
    run = new PageRun(NIGHT, 0);
    chromium = new Chromium();
  }

  @AfterAll
  static void stop() throws Exception {
    if (chromium != null) {
      chromium.close();
    }
    if (run != null) {
      run.close();
    }
  }

  @AfterEach
  void nothingForbiddenWasDone() {
    assertEquals(List.of(), chromium.breaches());
  }

  private static Page open() {
    return open(1280, 720, ColorScheme.LIGHT);
  }

  private static Page open(int width, int height, ColorScheme colours) {
    Page page = chromium.open(run.url(), width, height, colours);
    until(page, "document.querySelector('#mode').dataset.mode !== ''");
    return page;
  }

  private static void until(Page page, String condition) {
    Browsing.until(page, condition);
  }

  private static void untilMode(Page page, String mode) {
    until(page, "document.querySelector('#mode').dataset.mode === '" + mode + "'");
  }

  private static boolean is(Page page, String condition) {
    return (Boolean) page.evaluate(condition);
  }

  @Test
  @Order(1)
  void anOutageByButtonMovesTheModeWithinASecondAndTurnsTheBatterysFlowAround() {
    Page page = open();
    untilMode(page, "GRID_PRESENT");
    until(page, "document.querySelector('[data-flow=battery]').dataset.way === '1'");
    until(page, "document.querySelector('[data-flow=pcc]').dataset.way === '1'");

    page.evaluate(
        "() => { const mode = document.querySelector('#mode'); window.took = new Promise(done => {"
            + " document.querySelector('[data-event=outage]').addEventListener('click', () => {"
            + " const from = performance.now(); new MutationObserver(() => {"
            + " if (mode.dataset.mode === 'ISLANDED') done(performance.now() - from); })"
            + ".observe(mode, { attributes: true }); }, { once: true }); }); }");
    page.click("[data-event=outage]");
    double took = ((Number) page.evaluate("window.took")).doubleValue();
    assertTrue(took < 1_000, "it took " + took + " ms at speed 1 until the page said so");

    until(page, "document.querySelector('[data-flow=pcc]').dataset.way === '0'");
    until(page, "document.querySelector('[data-flow=battery]').dataset.way === '-1'");
    until(page, "document.querySelector('[data-zone=panel]').classList.contains('by-inverter')");
    until(page, "document.querySelector('[data-zone=pcc]').classList.contains('dead')");
    assertTrue(
        page.locator("#transition").textContent().contains("Islanded"),
        page.locator("#transition").textContent());
    page.context().close();
  }

  @Test
  @LongTest
  @Order(2)
  void backToTheStartAWeldedTieRingsAndTheKeyboardAcknowledgesIt() {
    Page page = open();
    backToTheStart(page);
    letBreak(page, "tie-welded");
    until(page, "document.querySelector('#answers').textContent.includes('Tie welded: Done')");
    page.keyboard().press("Escape");
    page.locator("#diagram").focus();
    page.keyboard().press("o");
    until(page, "document.querySelector('[data-alarm=TIE_NOT_OPEN]')");
    assertEquals(
        "UNACKNOWLEDGED", page.locator("[data-alarm=TIE_NOT_OPEN]").getAttribute("data-state"));
    assertTrue(page.locator("#ringing").isVisible());
    untilMode(page, "HELD");

    page.keyboard().press("a");
    until(
        page,
        "document.querySelector('[data-alarm=TIE_NOT_OPEN]').dataset.state === 'ACKNOWLEDGED'");
    page.context().close();
  }

  private static void backToTheStart(Page page) {
    Object before = page.evaluate("document.documentElement.dataset.run");
    page.locator("button:has-text('Back to the start')").click();
    page.locator("button:has-text('Begin anew')").click();
    until(page, "document.documentElement.dataset.run !== '" + before + "'");
    until(page, "document.querySelector('#time').textContent.startsWith('00:00:0')");
    untilMode(page, "GRID_PRESENT");
  }

  private static void letBreak(Page page, String fault) {
    page.locator("summary:has-text('Faults')").click();
    page.selectOption("#fault-kind", fault);
    page.locator("button:has-text('Break it')").click();
  }

  @Test
  @LongTest
  @Order(3)
  void aContactThatLiesIsDrawnAsItSaysAndThePlantsTruthIsToldBesideIt() {
    Page page = open();
    backToTheStart(page);
    until(page, "document.querySelector('[data-text=\"tie.detail\"]').textContent === ''");
    letBreak(page, "aux-contact-lies");
    // Whatever the supervisor makes of it, the contact tells the opposite of where the tie is.
    until(
        page,
        "document.querySelector('[data-text=\"tie.detail\"]').textContent === 'in truth '"
            + " + (document.querySelector('[data-switch=tie]').classList.contains('open')"
            + " ? 'closed' : 'open')");
    page.context().close();
  }

  @Test
  @LongTest
  @Order(4)
  void theKeyboardAloneReachesEverythingAndPausesStepsAndGoesOn() {
    Page page = open();
    page.keyboard().press("Tab");
    assertEquals("skip", page.evaluate("document.activeElement.className"));
    TreeSet<String> missed = new TreeSet<>();
    @SuppressWarnings("unchecked")
    List<String> unreached =
        (List<String>)
            page.evaluate(
                "() => { const all = [...document.querySelectorAll('button, input, select, summary,"
                    + " a[href]')].filter(e => e.checkVisibility() && !e.disabled);"
                    + " all.forEach((e, i) => { e.dataset.wanted = String(i); });"
                    + " return all.map(e => e.dataset.wanted); }");
    missed.addAll(unreached);
    missed.remove(page.evaluate("document.activeElement.dataset.wanted ?? ''"));
    for (int i = 0; i < unreached.size() + 12 && !missed.isEmpty(); i++) {
      page.keyboard().press("Tab");
      Object reached = page.evaluate("document.activeElement.dataset.wanted ?? ''");
      missed.remove(String.valueOf(reached));
      assertTrue(
          is(
              page,
              "document.activeElement === document.body"
                  + " || parseFloat(getComputedStyle(document.activeElement).outlineWidth) >= 2"),
          "the focus cannot be seen");
    }
    assertEquals(new TreeSet<>(), missed, "not reached by Tab");

    page.locator("#diagram").focus();
    page.keyboard().press("?");
    assertTrue(page.locator("#keys").isVisible());
    page.keyboard().press("Escape");
    assertFalse(page.locator("#keys").isVisible());
    page.keyboard().press("5");
    assertEquals("strips", page.evaluate("document.activeElement.id"));

    page.keyboard().press("Space");
    until(page, "document.querySelector('#speed').textContent === 'paused'");
    String stood = page.locator("#time").textContent();
    page.waitForTimeout(1_200);
    assertEquals(stood, page.locator("#time").textContent(), "time went on while paused");
    page.keyboard().press(".");
    until(page, "document.querySelector('#answers').textContent.includes('One scan: Done')");
    until(page, "document.querySelector('#speed').textContent === 'paused'");
    page.keyboard().press("Space");
    until(page, "document.querySelector('#speed').textContent.includes('kept')");
    page.context().close();
  }

  @Test
  @Order(5)
  @LongTest
  void axeFindsNothingSeriousInLightAndDark() throws Exception {
    for (ColorScheme colours : List.of(ColorScheme.LIGHT, ColorScheme.DARK)) {
      Page page = open(1280, 720, colours);
      until(page, "document.querySelectorAll('.hazard').length > 5");
      page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })");
      Browsing.nothingSerious(page, "in " + colours);
      page.setViewportSize(390, 844);
      until(page, "document.documentElement.scrollWidth <= 390");
      page.context().close();
    }
  }

  @Test
  @LongTest
  @Order(6)
  void everyArrangementDrawsWithoutOneLabelOverAnother() {
    List<String> scenarios =
        List.of(
            "lesson-standalone",
            "lesson-charger-only",
            "lesson-changeover",
            "lesson-inverter-charger",
            "lesson-grid-interactive",
            "lesson-two-panel");
    TreeSet<Object> drawn = new TreeSet<>();
    Page page = open();
    for (String scenario : scenarios) {
      Object before = page.textContent("#scenario");
      page.locator("summary:has-text('Another scenario')").click();
      page.selectOption("#scenario-wish", scenario);
      page.locator("button:text-is('Load')").click();
      while (before.equals(page.textContent("#scenario"))) {
        page.waitForTimeout(50); // the class's time limit ends this
      }
      until(
          page,
          "document.querySelector('#mode').dataset.mode !== '' && "
              + "document.querySelector('[data-text=\"panel.p\"]').textContent.includes('W')");
      drawn.add(
          page.evaluate(
              "[...document.querySelectorAll('#oneline text')].map(t => t.textContent)"
                  + ".filter(t => !/[0-9]/.test(t)).join()"));
      for (int width : new int[] {1280, 390}) {
        page.setViewportSize(width, 900);
        until(
            page,
            "document.querySelector('#oneline').viewBox.baseVal.width "
                + (width < 620 ? "< 500" : "> 500"));
        assertEquals(List.of(), page.evaluate(overlaps("#oneline")), scenario + " at " + width);
      }
      page.setViewportSize(1280, 720);
      until(page, "document.querySelector('#oneline').viewBox.baseVal.width > 500");
    }
    page.context().close();
    assertEquals(scenarios.size(), drawn.size(), "two arrangements look the same: " + drawn);
  }

  /** Texts of a diagram that lie over each other or leave the paper, by the browser's boxes. */
  static String overlaps(String diagram) {
    return OVERLAPS.replace("DIAGRAM", diagram);
  }

  private static final String OVERLAPS =
      """
      () => {
        const svg = document.querySelector('DIAGRAM');
        const paper = svg.getBoundingClientRect();
        const texts = [...svg.querySelectorAll('text')]
          .map(text => ({ text: text.textContent, box: text.getBoundingClientRect() }))
          .filter(one => one.text && one.box.width > 0);
        const found = [];
        texts.forEach((a, i) => {
          if (a.box.left < paper.left - 1 || a.box.right > paper.right + 1
              || a.box.top < paper.top - 1 || a.box.bottom > paper.bottom + 1) {
            found.push(a.text + ' leaves the paper');
          }
          texts.slice(i + 1).forEach(b => {
            const wide = Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left);
            const high = Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top);
            if (wide > LIMIT && high > LIMIT + 2) {
              found.push(a.text + ' over ' + b.text);
            }
          });
        });
        return found;
      }
      """
          .replace("LIMIT", String.valueOf(TOUCHING));

  @Test
  @LongTest
  @Order(7)
  void aLessonTicksOffWhatTheSiteShowsAndThenExplainsIt() {
    Page page = open();
    page.locator("summary:text-is('Lessons')").click();
    Locator begin = page.locator("form:has(button:text-is('Begin'))");
    begin.locator("select").selectOption("inverter-charger");
    begin.locator("button").click();
    page.locator("#lesson button:text-is('Load the June day')").click();
    // What the run before it showed does not count.
    until(page, "document.querySelector('#scenario').textContent === 'Pass through, then carry'");
    // A full battery behind a unit that never feeds: the plant cannot but curtail.
    until(page, "document.querySelectorAll('.lesson-see.done').length === 1");
    assertFalse(is(page, "document.querySelectorAll('.choice.right').length > 0"));
    page.locator("#lesson button:text-is('Outage')").click();
    until(page, "document.querySelectorAll('.lesson-see.done').length === 2");
    page.locator("#lesson button:text-is('Explain now')").click();
    assertEquals(1, page.locator(".choice.right").count());
    page.context().close();
  }

  @Test
  @LongTest
  @Order(8)
  void itComesBackAfterAReloadAndAfterTheBrokerHasBeenAway() throws Exception {
    Page page = open();
    until(page, "document.querySelector('#event-room').textContent.includes('Starting')");
    page.reload();
    until(page, "document.querySelector('#mode').dataset.mode !== ''");
    until(page, "document.querySelector('#link').textContent === 'up'");
    // What was before the reload comes from the server.
    until(page, "document.querySelector('#event-room').textContent.includes('Starting')");

    int port = run.port();
    run.kill();
    until(page, "document.querySelector('#link').textContent !== 'up'");
    until(page, "document.querySelector('#notice').textContent !== ''");
    run = new PageRun(NIGHT, port);
    until(page, "document.querySelector('#link').textContent === 'up'");
    untilMode(page, "GRID_PRESENT");
    until(page, "document.querySelector('#notice').textContent === ''");
    page.context().close();
  }

  @Test
  @LongTest
  @Order(9)
  void whatStandsBrokenIsListedAndEndsByItsOwnButton() {
    Page page = open();
    backToTheStart(page);
    letBreak(page, "tie-wont-close");
    until(page, "document.querySelectorAll('.standing li').length === 1");
    page.selectOption("#fault-kind", "inverter-wont-start");
    page.locator("button:has-text('Break it')").click();
    until(page, "document.querySelectorAll('.standing li').length === 2");
    page.locator("button[aria-label='End: Tie wont close, tie']").click();
    until(page, "document.querySelectorAll('.standing li').length === 1");
    assertEquals("Inverter wont start, inverter", page.locator(".standing li span").textContent());
    // The focus goes on to what is left, not to the top of the page.
    assertEquals(
        "End: Inverter wont start, inverter",
        page.evaluate("document.activeElement.getAttribute('aria-label')"));
    page.locator("button:has-text('Mend all')").click();
    until(page, "document.querySelector('.standing').hidden");
    page.context().close();
  }

  /** A minute's outage: the utility's five minutes count, beside the row and as a margin. */
  @Test
  @Order(10)
  @LongTest
  void aWaitCountsBesideItsRowAndWhatIsLeftNowShrinksWithIt() {
    Page page = open();
    backToTheStart(page);
    until(page, "document.querySelector('[data-hazard=backfeed] .idle') !== null");
    assertEquals("does not apply now", page.locator("[data-hazard=backfeed] b").textContent());
    page.click("[data-event=outage]");
    untilMode(page, "ISLANDED");
    page.locator("button:has-text('Mend all')").click();
    String band = "document.querySelector('[data-wait=BAND] progress')";
    until(page, band + " !== null && " + band + ".value > 1");
    assertEquals(300.0, ((Number) page.evaluate(band + ".max")).doubleValue(), 1e-9);
    double before = ((Number) page.evaluate(band + ".value")).doubleValue();
    until(page, band + ".value >= " + (before + 2));
    // A close now would be early by what is left of the five minutes.
    until(
        page,
        "/2\\d\\d s beyond/.test(document.querySelector('[data-hazard=early-return] b').textContent)");
    page.locator("[data-hazard=early-return] summary").click();
    assertTrue(
        page.locator("[data-hazard=early-return] .hazard-why")
            .textContent()
            .contains("If the tie closed now"));
    // The battery's voltage is always at stake: a bar, and, once its tolerance has passed and it
    // has
    // been judged, a mark at the least so far.
    page.locator("button[aria-label='Speed 10\u00d7']").click();
    Browsing.until(
        page,
        "(() => { const h = document.querySelector('[data-hazard=overcharge]');"
            + " return Number(h.querySelector('.left').getAttribute('width')) > 0"
            + " && h.querySelector('.worst').getAttribute('visibility') === 'visible'"
            + " && /% of its bound are left now/.test(h.querySelector('svg')"
            + ".getAttribute('aria-label')); })()",
        20);
    page.locator("button[aria-label='Speed 1\u00d7']").click();
    page.context().close();
  }

  @Test
  @LongTest
  @Order(11)
  void eightHoursOfRowsTakeNoMoreMemoryThanOneAndAShortPeakStaysVisible() {
    Page page = open();
    Object kept =
        page.evaluate(
            """
            async () => {
              const { History, COLUMNS } = await import('/history.js');
              const history = new History();
              const lengths = [];
              for (let s = 0; s < 8 * 3600; s++) {
                const row = COLUMNS.map(() => 50);
                row[0] = s;
                row[2] = s === 5000 ? 61 : 54;
                history.add(row);
                if (s % 3600 === 0) lengths.push(history.length);
              }
              const columns = history.columns();
              const rising = columns[0].every((at, i) => i === 0 || at > columns[0][i - 1]);
              return [Math.max(...lengths, history.length) <= 3900, columns[2].includes(61),
                columns[0][0] === 0, columns[0].at(-1) === 8 * 3600 - 1, rising];
            }
            """);
    assertEquals(List.of(true, true, true, true, true), kept);
    page.context().close();
  }
}
