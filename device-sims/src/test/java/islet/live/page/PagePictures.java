package islet.live.page;

import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.nio.file.Path;
import java.util.Map;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Makes the documents' pictures of the live page; called by {@code .ci/page-picture} and by nothing
 * else, so its name is none that the build looks for.
 */
@Tag("apart")
class PagePictures {

  private static final Path PICTURES = PageRun.ROOT.resolve("docs/pictures");
  private static final String EVENING = "config/scenarios/evening-outage.yaml";
  private static final String NIGHT = "config/scenarios/winter-day.yaml";
  private static final int STEP_SHOWN = 6;

  @Test
  void ofAnEveningWithAnOutage() throws Exception {
    try (PageRun run = new PageRun(EVENING, 0);
        Chromium chromium = new Chromium()) {
      Page page = open(chromium, run, 1280, 720, ColorScheme.LIGHT);
      // Two hours to the outage: quickly there, as far as links keep up, then at an eye's pace.
      page.fill("#speed-wish", "60");
      page.locator("button:text-is('Set')").click();
      mode(page, "ISLANDED");
      page.waitForTimeout(12_000);
      page.locator("button:text-is('1\u00d7')").click();
      page.locator("#diagram").focus();
      page.waitForTimeout(2_500);
      both(page, "page", "", "");
      both(page, "page-hazards", "#hazards", "#hazards");
      both(page, "page-strips", "#strips", "#strips");
      take(open(chromium, run, 1280, 720, ColorScheme.DARK), "page-dark");
      Page phone = open(chromium, run, 390, 844, ColorScheme.DARK);
      phone.evaluate("document.querySelector('#diagram').scrollIntoView()");
      phone.waitForTimeout(500);
      take(phone, "page-phone-dark");
      // What a watcher waits for: the utility is back and has five minutes to hold its band.
      page.locator("button:has-text('Mend all')").click();
      Browsing.until(page, "document.querySelector('[data-wait=BAND]') !== null", 10);
      page.waitForTimeout(40_000);
      both(page, "page-modes", "#waiting ol", "#waiting");
    }
  }

  @Test
  void ofATieThatDoesNotOpen() throws Exception {
    try (PageRun run = new PageRun(NIGHT, 0);
        Chromium chromium = new Chromium()) {
      Page page = open(chromium, run, 1280, 720, ColorScheme.LIGHT);
      page.locator("summary:has-text('Faults')").click();
      page.selectOption("#fault-kind", "tie-welded");
      page.locator("button:has-text('Break it')").click();
      page.waitForTimeout(1_000);
      page.locator("summary:has-text('Faults')").click();
      page.locator("#diagram").focus();
      page.keyboard().press("o");
      mode(page, "HELD");
      page.waitForTimeout(1_500);
      both(page, "page-alarm", "", "#alarms");
      both(page, "page-hands", "#hands", "#hands");
    }
  }

  @Test
  void ofALesson() throws Exception {
    try (PageRun run = new PageRun("config/scenarios/lesson-inverter-charger.yaml", 0);
        Chromium chromium = new Chromium()) {
      Page page = open(chromium, run, 1280, 720, ColorScheme.LIGHT);
      page.locator("summary:text-is('Lessons')").click();
      Locator begin = page.locator("form:has(button:text-is('Begin'))");
      begin.locator("select").selectOption("inverter-charger");
      begin.locator("button").click();
      page.check("input[name=guess][value='0']");
      Object before = page.evaluate("document.documentElement.dataset.run");
      page.locator("#lesson button:text-is('Load the June day')").click();
      Browsing.until(page, "document.documentElement.dataset.run !== '" + before + "'", 20);
      mode(page, "GRID_PRESENT");
      Browsing.until(page, "document.querySelectorAll('.lesson-see.done').length === 1", 20);
      page.locator("#lesson button:text-is('Outage')").click();
      Browsing.until(page, "document.querySelectorAll('.lesson-see.done').length === 2", 10);
      page.locator("#lesson button:text-is('Explain now')").click();
      page.evaluate("scrollTo(0, 0)");
      page.waitForTimeout(1_500);
      both(page, "page-lesson", "", "#lesson");
    }
  }

  @Test
  void ofARecordingOfThatEvening() throws Exception {
    Recording recording = Recording.read(RecordedRun.evening().folder());
    try (PageServer server =
            PageServer.start(
                0,
                Map.of(
                    "/description.json", recording::description,
                    "/recording.json", recording::json));
        Chromium chromium = new Chromium()) {
      Page page = chromium.open(server.url(), 1280, 720, ColorScheme.LIGHT);
      Browsing.until(page, "document.querySelector('#mode').dataset.mode !== ''", 10);
      page.keyboard().press("3");
      // Half an hour into the outage.
      for (int minute = 0; minute < 150; minute++) {
        page.keyboard().press("PageUp");
      }
      page.waitForTimeout(1_000);
      both(page, "page-replay", "", "#diagram");
    }
  }

  @Test
  void ofTwoArrangementsInTheSameOutage() throws Exception {
    try (PageRun run =
            PageRun.beside(
                "config/scenarios/lesson-two-panel.yaml", "changeover", "--speed", "60");
        Chromium chromium = new Chromium()) {
      Page page = chromium.open(run.url(), 1280, 720, ColorScheme.LIGHT);
      Browsing.until(page, "document.querySelector('#mode-a')?.dataset.mode", 10);
      // Two hours of a June morning; then the outage at the pace of an eye.
      Browsing.until(page, "document.querySelector('#time').textContent > '10:00'", 200);
      page.locator("button:text-is('1\u00d7')").click();
      page.keyboard().press("o");
      Browsing.until(page, "document.querySelector('#mode-a').dataset.mode === 'ISLANDED'", 10);
      page.waitForTimeout(4_000);
      page.evaluate("scrollTo(0, 0)");
      page.waitForTimeout(500);
      take(page, "page-beside");
      page.keyboard().press("2");
      page.waitForTimeout(800);
      take(page, "page-beside-so-far");
      page.keyboard().press("4");
      for (int closer = 0; closer < 8; closer++) {
        page.locator("button:text-is('Closer')").click();
      }
      page.keyboard().press("4");
      page.waitForTimeout(800);
      take(page, "page-beside-strips");
      page.keyboard().press("5");
      page.waitForTimeout(800);
      take(page, "page-beside-hazards");
      page.keyboard().press("6");
      page.waitForTimeout(800);
      take(page, "page-beside-modes");
      take(beside(chromium, run, 1280, 720, ColorScheme.DARK), "page-beside-dark");
      take(beside(chromium, run, 390, 844, ColorScheme.LIGHT), "page-beside-phone");
    }
  }

  private static Page beside(
      Chromium chromium, PageRun run, int width, int height, ColorScheme look) {
    Page page = chromium.open(run.url(), width, height, look);
    Browsing.until(page, "document.querySelector('#mode-a')?.dataset.mode", 10);
    page.waitForTimeout(2_500);
    return page;
  }

  /** Step 6 of the commissioning day: the utility is gone, the site an island. */
  @Test
  void ofAGuidedRehearsal(@TempDir Path place) throws Exception {
    Path day = PageRun.ROOT.resolve("config/scenarios/commissioning.yaml");
    try (PageRun run = PageRun.guided(day, place.resolve("run"));
        Chromium chromium = new Chromium()) {
      Page page = chromium.open(run.url(), 1280, 720, ColorScheme.LIGHT);
      page.fill("#name", "A. Weaver");
      page.keyboard().press("Enter");
      for (int step = 1; step <= STEP_SHOWN; step++) {
        String where = "Step " + step + " of 12";
        Browsing.until(
            page, "document.querySelector('#where').textContent === '" + where + "'", 60);
        page.check("[name=verdict][value=pass]");
        if (step < STEP_SHOWN) {
          page.locator("#step-room form button").click();
        }
      }
      page.fill("[data-field='measured/0']", "0");
      page.fill("#remark", "Panel dead, tie open");
      page.waitForTimeout(2_500);
      both(page, "page-rehearsal", "", "");
    }
  }

  private static Page open(
      Chromium chromium, PageRun run, int width, int height, ColorScheme look) {
    Page page = chromium.open(run.url(), width, height, look);
    Browsing.until(page, "document.querySelector('#mode').dataset.mode !== ''", 10);
    page.waitForTimeout(2_500);
    return page;
  }

  private static void mode(Page page, String mode) {
    Browsing.until(page, "document.querySelector('#mode').dataset.mode === '" + mode + "'", 240);
  }

  /**
   * On a screen and on a phone.
   *
   * @param wide what stands at the top on the screen; empty for the page's own beginning
   * @param narrow the same on the phone
   */
  private static void both(Page page, String name, String wide, String narrow) {
    to(page, wide);
    take(page, name);
    page.setViewportSize(390, 844);
    page.waitForTimeout(1_200);
    to(page, narrow);
    take(page, name + "-phone");
    page.setViewportSize(1280, 720);
    page.waitForTimeout(1_200);
  }

  private static void to(Page page, String part) {
    page.evaluate(
        part.isEmpty()
            ? "scrollTo(0, 0)"
            : "document.querySelector('" + part + "').scrollIntoView()");
    page.waitForTimeout(800);
  }

  private static void take(Page page, String name) {
    page.screenshot(
        new Page.ScreenshotOptions().setPath(PICTURES.resolve(name + ".png")).setFullPage(false));
  }
}
