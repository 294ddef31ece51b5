package islet.live.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import islet.LongTest;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/**
 * A recorded run in a real browser, wound by the keyboard. Judged by the trace's own row of that
 * instant, by the sequence of events in the folder, by the browser's content security policy, and
 * by axe-core's rules for WCAG 2.2.
 */
@LongTest
@Tag("apart")
@Timeout(120)
class RecordingPageTest {

  private static final double HOUR_S = 3_600;

  /** The page draws less as no flow (docs/page-views.md). */
  private static final double NO_FLOW_W = 2;

  private static Chromium chromium;
  private static RecordedRun run;
  private static PageServer server;

  @BeforeAll
  static void start() throws Exception {
    Chromium.insistOnInstalled();
    run = RecordedRun.evening();
    server = serve(run);
    chromium = new Chromium();
  }

  @AfterAll
  static void stop() {
    if (chromium != null) {
      chromium.close();
    }
    if (server != null) {
      server.close();
    }
  }

  @AfterEach
  void nothingForbiddenWasDone() {
    assertEquals(List.of(), chromium.breaches());
  }

  private static PageServer serve(RecordedRun run) throws Exception {
    Recording recording = Recording.read(run.folder());
    return PageServer.start(
        0, Map.of("/description.json", recording::description, "/recording.json", recording::json));
  }

  private static Page open(ColorScheme colours) {
    return open(server, colours);
  }

  private static Page open(PageServer server, ColorScheme colours) {
    Page page = chromium.open(server.url(), 1280, 720, colours);
    until(page, "document.querySelector('#mode').dataset.mode !== ''");
    return page;
  }

  private static void until(Page page, String condition) {
    Browsing.until(page, condition);
  }

  private static String text(Page page, String what) {
    return String.valueOf(page.evaluate("document.querySelector('" + what + "').textContent"));
  }

  private static void press(Page page, String key, int times) {
    for (int i = 0; i < times; i++) {
      page.keyboard().press(key);
    }
  }

  private static String way(double watts) {
    return Math.abs(watts) < NO_FLOW_W ? "0" : watts > 0 ? "1" : "-1";
  }

  private static double number(Map<String, String> row, String signal) {
    return Double.parseDouble(row.get(signal));
  }

  /** Holds the whole diagram to the trace's row at an instant, s since the start. */
  private static void agrees(Page page, double seconds) {
    Map<String, String> row = run.at(seconds);
    String closed = Boolean.parseBoolean(row.get("tie.closed")) ? "closed" : "open";
    until(page, "document.querySelector('[data-switch=tie]').classList.contains('" + closed + "')");
    assertEquals(
        row.get("supervisor.mode"), page.evaluate("document.querySelector('#mode').dataset.mode"));
    double battery = number(row, "battery.voltage_V") * number(row, "battery.current_A");
    assertEquals(way(number(row, "pcc.power_W")), flow(page, "pcc"), "at " + seconds);
    assertEquals(way(battery), flow(page, "battery"), "at " + seconds);
    assertEquals(way(number(row, "inverter.power_W")), flow(page, "inverter.ac"), "at " + seconds);
    String[] load = text(page, "[data-text=\"panel.p\"]").split("\\s|\u202f", -1);
    double shown = Double.parseDouble(load[0]) * (load[1].equals("kW") ? 1_000 : 1);
    assertEquals(number(row, "critical.power_W"), shown, Math.max(0.5, shown * 0.005));
    String soc = text(page, "[data-text=\"battery.soc\"]");
    assertEquals(
        number(row, "supervisor.soc") * 100, Double.parseDouble(soc.split("\u202f", -1)[0]), 0.51);
    boolean utility = number(row, "utility.voltage_pu") >= 0.1;
    assertEquals(
        !utility,
        page.evaluate("document.querySelector('[data-zone=pcc]').classList.contains('dead')"));
  }

  private static Object flow(Page page, String key) {
    String arrow = "document.querySelector('[data-flow=\"" + key + "\"]').dataset.way";
    return page.evaluate(arrow + " ?? '0'");
  }

  @Test
  void beforeInAndAfterTheOutageTheDiagramIsAsTheTracesRowSays() {
    Page page = open(ColorScheme.LIGHT);
    page.keyboard().press("3");
    assertEquals("replay-slider", page.evaluate("document.activeElement.id"));
    press(page, "PageUp", 60);
    until(page, "document.querySelector('#time').textContent === '16:00:00'");
    agrees(page, HOUR_S);
    assertFalse(text(page, "#event-room").contains("Islanded"), "told before it happened");

    press(page, "PageUp", 120);
    until(page, "document.querySelector('#time').textContent === '18:00:00'");
    agrees(page, 3 * HOUR_S);
    assertEquals("false", run.at(3 * HOUR_S).get("tie.closed"), "no outage was recorded there");
    assertTrue(text(page, "#transition").contains("Islanded"), text(page, "#transition"));
    assertTrue(text(page, "#event-room").contains("Utility, source: live \u2192 dead"));

    page.keyboard().press("End");
    until(page, "document.querySelector('#time').textContent === '00:00:00'");
    agrees(page, 9 * HOUR_S);
    assertTrue(text(page, "#event-room").contains("utility qualified"));

    // Wound back it forgets what came after.
    page.keyboard().press("Home");
    until(page, "document.querySelector('#time').textContent === '15:00:00'");
    agrees(page, 0);
    assertFalse(text(page, "#event-room").contains("Islanded"), "told before it happened");
    page.context().close();
  }

  @Test
  void keysStopAtEachEventMoveBySecondsAndPlayAndPause() throws Exception {
    Page page = open(ColorScheme.LIGHT);
    page.keyboard().press("3");
    page.keyboard().press("Home");
    page.locator("#diagram").focus();
    double previous = -1;
    for (String line : run.events()) {
      double at = Double.parseDouble(line.split(",", -1)[0]);
      if (at > previous && at > 0) {
        page.keyboard().press("n");
      }
      previous = at;
    }
    until(page, "document.querySelector('#event-room').textContent.includes('inverter follows')");
    agrees(page, previous + 0.0005);
    page.keyboard().press("p");
    until(page, "!document.querySelector('#event-room').textContent.includes('inverter follows')");

    page.keyboard().press("3");
    page.keyboard().press("Home");
    press(page, "ArrowRight", 5);
    page.keyboard().press("ArrowLeft");
    until(page, "document.querySelector('#time').textContent === '15:00:04'");

    page.locator("#diagram").focus();
    press(page, "+", 2);
    page.keyboard().press("Space");
    until(page, "document.querySelector('#speed').textContent.includes('60\u00d7')");
    page.waitForTimeout(1_000);
    page.keyboard().press("Space");
    until(page, "document.querySelector('#speed').textContent.includes('stands')");
    String stood = text(page, "#time");
    assertTrue(stood.compareTo("15:00:44") > 0 && stood.compareTo("15:05:00") < 0, stood);
    page.waitForTimeout(400);
    assertEquals(stood, text(page, "#time"));
    page.context().close();
  }

  @Test
  void anAlarmStandsFromTheEventThatToldOfItOnAndNotBefore() throws Exception {
    RecordedRun welded =
        new RecordedRun("config/scenarios/tie-welded.yaml", RecordedRun.folder("tie-welded"));
    String rang =
        welded.events().stream()
            .filter(line -> line.contains("tie-not-open"))
            .findFirst()
            .orElseThrow();
    String time = rang.split(",", -1)[1].replaceAll(".*T|\\..*", "");
    try (PageServer other = serve(welded)) {
      Page page = open(other, ColorScheme.LIGHT);
      String card = "document.querySelector('[data-alarm=TIE_NOT_OPEN]')";
      for (int i = 0; i < welded.events().size() && Browsing.holds(page, card + " === null"); i++) {
        page.keyboard().press("n");
        page.waitForTimeout(150); // a frame is due
      }
      until(page, card);
      assertEquals(time, text(page, "#time"));
      assertEquals("UNACKNOWLEDGED", page.evaluate(card + ".dataset.state"));
      assertTrue(text(page, "#ringing-text").contains("its contact still says closed"));
      assertFalse(page.locator("#ringing-acknowledge").isVisible());
      assertFalse(page.locator("[data-alarm=TIE_NOT_OPEN] button").isVisible());
      page.keyboard().press("p");
      until(page, card + " === null");
      page.context().close();
    }
  }

  @Test
  void nothingCanBeCommandedAndTheMarginsAreTheVerdicts() throws Exception {
    Page page = open(ColorScheme.LIGHT);
    assertFalse(page.locator("#hands").isVisible());
    assertFalse(page.locator("#sign-in").isVisible());
    for (String key : List.of("o", "g", "i", "r", "a", ".")) {
      page.keyboard().press(key);
    }
    until(page, "document.querySelectorAll('.hazard').length > 5");
    until(page, "document.querySelector('#hazard-room').textContent.includes(' left, ')");
    assertEquals(
        0L,
        ((Number)
                page.evaluate(
                    "[...document.querySelectorAll('.hazard')].filter(h =>"
                        + " h.textContent.includes('no occasion')"
                        + " && h.querySelector('svg').checkVisibility()).length"))
            .longValue(),
        "a bar without a margin");
    page.context().close();
  }

  @Test
  void axeFindsNothingSeriousInLightAndDark() throws Exception {
    for (ColorScheme colours : List.of(ColorScheme.LIGHT, ColorScheme.DARK)) {
      Page page = open(colours);
      Browsing.nothingSerious(page, "in " + colours);
      page.context().close();
    }
  }
}
