package islet.live.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import islet.LongTest;
import islet.bench.AloneLanding;
import islet.bench.Hazards;
import islet.bench.RunResult;
import islet.bench.VerdictReader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.MethodOrderer;
import org.junit.jupiter.api.Order;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestMethodOrder;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * Two arrangements beside each other on one page, in a real browser. Judged by what each
 * arrangement must do in an outage (docs of the arrangements: upstream of a tie nothing lives), by
 * arithmetic on the figures shown, by the verdicts in the run folders, and by axe-core.
 */
@LongTest
@Tag("apart")
@Timeout(150)
@TestMethodOrder(MethodOrderer.OrderAnnotation.class)
class BesidePageTest {

  /** On a June morning both batteries are full and the sun is up. */
  private static final String MORNING = "config/scenarios/lesson-two-panel.yaml";

  /** What was before is shown already while the link is not there yet. */
  private static final String UP = "document.querySelector('#link').textContent === 'up'";

  private static Chromium chromium;
  private static PageRun run;

  @BeforeAll
  static void start() throws Exception {
    Chromium.insistOnInstalled();
    run = PageRun.beside(MORNING, "charger-only");
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

  private static Page open(int width, int height, ColorScheme colours) {
    Page page = chromium.open(run.url(), width, height, colours);
    until(page, "document.querySelector('#mode-a')?.dataset.mode");
    until(page, "document.querySelector('#mode-b')?.dataset.mode");
    until(page, UP);
    return page;
  }

  private static void until(Page page, String condition) {
    Browsing.until(page, condition);
  }

  private static String mode(String side, String mode) {
    return "document.querySelector('#mode-" + side + "').dataset.mode === '" + mode + "'";
  }

  private static String zone(String side, String zone, String look) {
    return "document.querySelector('#oneline-"
        + side
        + " [data-zone="
        + zone
        + "]').classList.contains('"
        + look
        + "')";
  }

  @Test
  @Order(1)
  void oneOutageMovesBothAndEachDoesWhatItsArrangementMustDo() {
    Page page = open(1280, 720, ColorScheme.LIGHT);
    until(page, mode("a", "GRID_PRESENT"));
    until(page, "document.querySelector('#same').dataset.same === 'true'");
    String shared = page.textContent("#same");
    assertTrue(
        shared.matches(
            "The same for both now: sun \\d+.W/m² on the array; loads want .*W; utility"
                + " 240.V, 60\\.00.Hz; price 0\\.190 bought, 0\\.080 sold, USD per kWh\\."),
        shared);
    until(page, zone("a", "panel", "by-utility"));
    until(page, zone("b", "panel", "by-inverter"));

    page.click("[data-event=outage]");
    until(page, mode("a", "ISLANDED"));
    until(page, "document.querySelector('#same').textContent.includes('utility gone')");
    until(page, "document.querySelector('#same').dataset.same === 'true'");
    until(page, zone("a", "pcc", "dead"));
    until(page, zone("b", "pcc", "dead"));
    // The emergency panel and the one panel live on; what hangs on the main panel does not.
    until(page, zone("a", "panel", "by-inverter"));
    until(page, zone("b", "panel", "by-inverter"));
    until(page, "parseFloat(" + cell("mainDark", 0) + ") > 2");
    assertEquals("\u2013", page.evaluate(cell("mainDark", 1)));
    assertEquals("1", page.evaluate(cell("toIsland", 0)));
    // An inverter that never meets the utility is an island from the start.
    until(page, "document.querySelector('#in-words-a').textContent.includes('as an island')");
    for (int site = 0; site < 2; site++) {
      assertTrue(
          String.valueOf(page.evaluate(cell("panelDark", site))).startsWith("0.0"),
          String.valueOf(page.evaluate(cell("panelDark", site))));
    }
    page.context().close();
  }

  private static String cell(String row, int column) {
    return "document.querySelectorAll('#so-far-table tr[data-row="
        + row
        + "] td')["
        + column
        + "].textContent";
  }

  @Test
  @Order(2)
  void theDifferenceIsThatOfTheTwoFiguresBesideIt() {
    Page page = open(1280, 720, ColorScheme.LIGHT);
    page.keyboard().press("Space");
    until(page, "document.querySelector('#speed').textContent === 'paused'");
    @SuppressWarnings("unchecked")
    List<List<String>> rows =
        (List<List<String>>)
            page.evaluate(
                "[...document.querySelectorAll('#so-far-table tbody tr')].map(row =>"
                    + " [row.dataset.row, ...[...row.cells].slice(1).map(c => c.textContent)])");
    assertEquals(14, rows.size());
    for (List<String> row : rows) {
      if (row.get(1).equals("\u2013") || row.get(2).equals("\u2013")) {
        assertEquals("\u2013", row.get(3), row.toString());
      } else if (!row.get(0).endsWith("Dark")) {
        double told = row.get(3).equals("=") ? 0 : number(row.get(3));
        // Each of the three is rounded by itself.
        double rounding = 0.00151;
        assertEquals(number(row.get(2)) - number(row.get(1)), told, rounding, row.toString());
      }
    }
    page.keyboard().press("Space");
    until(page, "document.querySelector('#speed').textContent.includes('kept')");
    page.context().close();
  }

  private static double number(String text) {
    return Double.parseDouble(text.replace('\u2212', '-').replace("+", ""));
  }

  @Test
  @Order(3)
  void aFaultIsOfOneSiteAndItsAlarmIsAcknowledgedThereByKeyboard() {
    Page page = open(1280, 720, ColorScheme.LIGHT);
    backToTheStart(page);
    page.locator("summary:has-text('Faults')").click();
    assertFalse(
        Boolean.TRUE.equals(
            page.evaluate(
                "[...document.querySelectorAll('#fault-kind option')].some(o => o.value ==="
                    + " 'tie-welded')")),
        "both was offered a fault of a switch that only one has");
    page.selectOption("#fault-side", "A");
    page.selectOption("#fault-kind", "tie-welded");
    page.locator("button:has-text('Break it')").click();
    until(page, "document.querySelector('#answers').textContent.includes('A: Tie welded: Done')");
    page.locator("#both").focus();
    page.keyboard().press("o");
    until(page, "document.querySelector('#alarm-count-a').dataset.unseen > 0");
    until(page, mode("a", "HELD"));
    assertEquals("0", page.locator("#alarm-count-b").getAttribute("data-unseen"));
    assertTrue(page.title().startsWith("\u25b2 A: "), page.title());
    page.keyboard().press("b");
    while (!"0".equals(page.locator("#alarm-count-a").getAttribute("data-unseen"))) {
      page.keyboard().press("a");
      page.waitForTimeout(300); // the class's time limit ends this
    }
    until(
        page, "document.querySelector('#alarm-count-a').textContent.includes('all acknowledged')");

    // Held with a dead panel, A draws nothing from its battery; B lives from its own.
    for (String room : List.of("a", "b")) {
      assertEquals(Hazards.IDS.size(), page.locator("#hazard-room-" + room + " .hazard").count());
    }
    until(page, deepDischarge("b") + ".endsWith(' V left')");
    until(page, deepDischarge("a") + " === 'does not apply now'");
    assertEquals("Held", page.locator("#machine-a .present").textContent());
    assertEquals("Islanded", page.locator("#machine-b .present").textContent());
    assertTrue(page.locator("#transition-b").textContent().contains("Islanded"));
    assertTrue(page.locator("#waiting-b li").count() > 0);

    page.selectOption("#fault-side", "both");
    page.selectOption("#fault-kind", "inverter-wont-start");
    page.locator("button:has-text('Break it')").click();
    until(page, standing(0) + " === 2 && " + standing(1) + " === 1");
    page.locator("button[aria-label='End: Inverter wont start, inverter']").first().click();
    until(page, standing(0) + " === 1");
    assertEquals(
        List.of("Tie welded, tie", "Inverter wont start, inverter"),
        page.locator(".standing li span").allTextContents(),
        "ended at A alone");
    page.locator("button:has-text('Mend all')").click();
    until(page, "[...document.querySelectorAll('.standing')].every(one => one.hidden)");
    page.context().close();
  }

  private static String deepDischarge(String room) {
    return "document.querySelector('#hazard-room-"
        + room
        + " [data-hazard=deep-discharge] b').textContent";
  }

  private static String standing(int side) {
    return "document.querySelectorAll('.standing')[" + side + "].querySelectorAll('li').length";
  }

  private static void backToTheStart(Page page) {
    Object before = page.evaluate("document.documentElement.dataset.run");
    page.locator("button:has-text('Back to the start')").click();
    page.locator("button:has-text('Begin anew')").click();
    until(page, "document.documentElement.dataset.run !== '" + before + "'");
    until(page, "document.querySelector('#time').textContent.startsWith('08:00:0')");
    until(page, mode("a", "GRID_PRESENT"));
  }

  @Test
  @Order(4)
  void stripsHoldBothSinceTheStartAlsoForWhoeverComesLater() {
    Page page = open(1280, 720, ColorScheme.LIGHT);
    until(page, "document.querySelectorAll('#strip-room .strip').length === 7");
    page.locator("#strip-table summary").click();
    until(page, "document.querySelectorAll('#strip-rows tbody tr').length > 5");
    assertEquals(
        List.of("At", "Mode A", "Mode B", "State of charge A", "State of charge B"),
        page.evaluate(
            "[...document.querySelectorAll('#strip-rows th')].slice(0, 5).map(t => t.textContent)"));
    page.context().close();
  }

  @Test
  @Order(5)
  void axeFindsNothingSeriousInLightAndDarkOnScreenAndPhone() throws Exception {
    for (ColorScheme colours : List.of(ColorScheme.LIGHT, ColorScheme.DARK)) {
      for (int width : new int[] {1280, 390}) {
        Page page = open(width, 844, colours);
        until(page, "document.querySelector('#same').textContent !== ''");
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })");
        Browsing.nothingSerious(page, width + " in " + colours);
        assertTrue(
            Boolean.TRUE.equals(
                page.evaluate(
                    "document.documentElement.scrollWidth <= document.documentElement.clientWidth")),
            "wider than the window of " + width);
        page.context().close();
      }
    }
  }

  @Test
  @Order(6)
  void theTwoStandBesideEachOtherOnAScreenAndOneAboveTheOtherOnAPhone() {
    for (Map.Entry<Integer, Boolean> asked :
        Map.of(1280, true, 1100, true, 390, false).entrySet()) {
      Page page = open(asked.getKey(), 800, ColorScheme.LIGHT);
      Object beside =
          page.evaluate(
              "document.querySelector('#side-b').getBoundingClientRect().left"
                  + " > document.querySelector('#oneline-a').getBoundingClientRect().right");
      assertEquals(asked.getValue(), beside, "at " + asked.getKey());
      // The same hazard stands on the same line, also where one site has no bar for it yet.
      until(page, "document.querySelectorAll('#hazard-room-b .hazard').length > 0");
      Object off =
          page.evaluate(
              "Math.max(...[...document.querySelectorAll('#hazard-room-a .hazard')].map(a =>"
                  + " Math.abs(a.getBoundingClientRect().top - document.querySelector("
                  + "`#hazard-room-b [data-hazard=${a.dataset.hazard}]`)"
                  + ".getBoundingClientRect().top)))");
      assertEquals(asked.getValue(), ((Number) off).doubleValue() < 1, "off by " + off + " px");
      page.context().close();
    }
  }

  @Test
  @Order(7)
  void everyArrangementDrawsForHalfAScreenWithoutOneLabelOverAnother() throws Exception {
    for (String other : List.of("changeover", "inverter-charger", "grid-interactive")) {
      try (PageRun one = PageRun.beside(MORNING, other)) {
        Page page = chromium.open(one.url(), 1280, 720, ColorScheme.LIGHT);
        until(page, "document.querySelector('#mode-b')?.dataset.mode");
        until(
            page,
            "document.querySelector('#oneline-b [data-text=\"panel.p\"]').textContent"
                + ".includes('W')");
        for (String svg : List.of("#oneline-a", "#oneline-b")) {
          assertEquals(List.of(), page.evaluate(LivePageTest.overlaps(svg)), other + " " + svg);
        }
        page.context().close();
      }
    }
    Page page = open(1280, 720, ColorScheme.LIGHT);
    assertEquals(List.of(), page.evaluate(LivePageTest.overlaps("#oneline-b")), "charger-only");
    page.context().close();
  }

  @Test
  @Order(8)
  void whatStandsInTheTableAtTheEndStandsInTheVerdicts(@TempDir Path folder) throws Exception {
    Path out = folder.resolve("runs");
    String shortly = "device-sims/src/test/resources/islet/live/short-outage.yaml";
    List<String> shown = new ArrayList<>();
    try (PageRun one =
        PageRun.beside(shortly, "changeover", "--speed", "20", "--out", out.toString())) {
      Page page = chromium.open(one.url(), 1280, 720, ColorScheme.LIGHT);
      until(page, "document.querySelector('#speed').textContent === 'the run has ended'");
      page.waitForTimeout(500);
      for (String row : List.of("import", "batteryIn", "batteryOut", "cost")) {
        for (int site = 0; site < 2; site++) {
          shown.add(String.valueOf(page.evaluate(cell(row, site))));
        }
      }
      page.context().close();
    }
    int at = 0;
    for (String entry : List.of("import_kWh", "battery_in_kWh", "battery_out_kWh", "total_USD")) {
      for (String site : List.of("ferry-landing", "ferry-landing-changeover")) {
        RunResult result = VerdictReader.read(out.resolve(site));
        List<RunResult.Entry> entries = entry.startsWith("total") ? result.cost() : result.energy();
        double told =
            entries.stream().filter(e -> e.name().equals(entry)).findFirst().orElseThrow().value();
        double rounding = 0.00056;
        assertEquals(told, number(shown.get(at++)), rounding, site + " " + entry);
      }
    }
  }

  @Test
  @Order(9)
  void anotherScenarioIsLoadedForBothAndOneOfTheSameArrangementIsRefused() {
    Page page = open(1280, 720, ColorScheme.LIGHT);
    page.locator("summary:has-text('Another scenario')").click();
    page.selectOption("#scenario-wish", "lesson-charger-only");
    page.locator("button:text-is('Load')").click();
    until(page, "document.querySelector('#answers .refused')");
    String refusal = page.textContent("#answers .refused");
    assertTrue(refusal.contains("charger-only, which "), refusal);
    assertTrue(refusal.contains(" is already"), refusal);

    page.selectOption("#scenario-wish", "lesson-inverter-charger");
    page.locator("button:text-is('Load')").click();
    until(
        page,
        "document.querySelector('#subtitle').textContent === 'A inverter-charger beside B"
            + " charger-only'");
    until(page, mode("a", "GRID_PRESENT"));
    until(page, "document.querySelector('#same').dataset.same === 'true'");
    page.context().close();
  }

  @Test
  @Order(10)
  void withAccountsEachMayWhatItsAccountMay(@TempDir Path folder) throws Exception {
    Path accounts = folder.resolve("accounts.yaml");
    PageRun.makeAccount(accounts, "teacher", "operator,bench", folder.resolve("teacher"));
    PageRun.makeAccount(accounts, "guest", "viewer", folder.resolve("guest"));
    try (PageRun one = PageRun.beside(MORNING, "changeover", "--accounts", accounts.toString())) {
      Page guest = chromium.open(one.url(), 1280, 720, ColorScheme.LIGHT);
      until(guest, "document.querySelector('#sign-in').open");
      signIn(guest, "guest", "no such password");
      until(guest, "document.querySelector('#sign-in-why').textContent !== ''");
      signIn(guest, "guest", Files.readString(folder.resolve("guest")).strip());
      until(guest, UP);
      until(guest, mode("a", "GRID_PRESENT"));
      until(guest, mode("b", "GRID_PRESENT"));
      assertEquals("guest", guest.textContent("#who"));
      guest.click("[data-event=outage]");
      until(guest, "document.querySelector('#answers').textContent !== ''");
      String answer = guest.textContent("#answers");
      assertTrue(answer.contains("Not allowed for this account"), answer);
      assertTrue(Browsing.holds(guest, mode("a", "GRID_PRESENT")));

      Page teacher = chromium.open(one.url(), 1280, 720, ColorScheme.LIGHT);
      until(teacher, "document.querySelector('#sign-in').open");
      signIn(teacher, "teacher", Files.readString(folder.resolve("teacher")).strip());
      until(teacher, UP);
      until(teacher, mode("b", "GRID_PRESENT"));
      teacher.click("[data-event=outage]");
      until(teacher, "document.querySelector('#answers').textContent.includes('Outage: Done')");
      until(teacher, mode("a", "ISLANDED"));
      until(guest, mode("a", "ISLANDED"));
      until(guest, mode("b", "ISLANDED"));
      guest.context().close();
      teacher.context().close();
    }
  }

  private static void signIn(Page page, String user, String password) {
    page.fill("#user", user);
    page.fill("#password", password);
    page.locator("#sign-in-form button").click();
  }

  @Test
  @Order(11)
  void besideASiteWithoutAUtilityThePageSaysWhichFiguresAreOfOneAlone(@TempDir Path folder)
      throws Exception {
    try (PageRun one = PageRun.beside(MORNING, AloneLanding.write(folder).toString())) {
      Page page = chromium.open(one.url(), 1280, 720, ColorScheme.LIGHT);
      until(page, UP);
      until(page, mode("b", "ISLANDED"));
      until(page, "document.querySelector('#same').textContent.includes('Hz (A alone); price')");
      assertTrue(page.textContent("#left-out").contains("goes without an event of the utility"));
      assertEquals("\u2013", page.evaluate(cell("import", 1)));
      assertEquals("\u2013", page.evaluate(cell("cost", 2)));
      page.click("[data-event=outage]");
      until(page, mode("a", "ISLANDED"));
      String answer = page.textContent("#answers");
      assertTrue(answer.contains("Done. Not at landing-alone: "), answer);
      assertEquals(List.of(), page.evaluate(LivePageTest.overlaps("#oneline-b")));
      page.context().close();
    }
  }
}
