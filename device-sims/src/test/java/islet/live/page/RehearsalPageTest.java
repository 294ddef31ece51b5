package islet.live.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import islet.LongTest;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * A guided rehearsal in a real browser, by keyboard only. Judged by what was typed, by a digest
 * that Java reckons as the record's foot tells, by the browser's own content security policy, and
 * by axe-core's rules for WCAG 2.2.
 */
@Tag("apart")
@Timeout(120)
class RehearsalPageTest {

  private static final String TEXT =
      """
      title: Two stops
      site: SITE
      start: 2026-06-24T08:00
      duration: PT2M
      weather: { constant: { ghi: 500 W/m2, temperature: 20 degC } }
      battery: { soc: 0.8 }
      events:
        - { at: PT1M, utility: { outage: PT5M } }
      stops:
        - { at: PT30S, do: Read it, see: the tie closed, measure: [battery.voltage_V, tie.closed] }
        - { at: PT1M5S, do: Open the disconnect, see: the panel live, safety: Test dead. }
      """
          .replace("SITE", PageRun.ROOT.resolve("config/sites/ferry-landing.yaml").toString());

  @TempDir private Path place = Path.of("");

  @Test
  @LongTest
  void twoStepsByKeyboardWithAReloadAndABreakLeaveASealedRecord() throws Exception {
    Chromium.insistOnInstalled();
    Path file = place.resolve("stops.yaml");
    Path folder = place.resolve("run");
    Files.writeString(file, TEXT);
    try (Chromium chromium = new Chromium()) {
      try (PageRun run = PageRun.guided(file, folder)) {
        Page page = chromium.open(run.url(), 1280, 720, ColorScheme.LIGHT);
        phase(page, "BEGIN");
        assertTrue(page.textContent("#step-room").contains("Backfeed"), "cautions come first");
        Browsing.nothingSerious(page, "a step");
        type(page, "#name", "Ada");
        page.keyboard().press("Enter");

        phase(page, "STOP");
        until(page, "document.querySelector('[data-zone=panel]').classList.contains('by-utility')");
        Browsing.nothingSerious(page, "a step");
        page.setViewportSize(390, 844);
        until(page, "document.documentElement.scrollWidth <= 390");
        page.setViewportSize(1280, 720);
        type(page, "[data-field='measured/0']", "fifty");
        tabTo(page, "[name=verdict]");
        page.keyboard().press("Space");
        tabTo(page, "#step-room form button");
        page.keyboard().press("Enter");
        until(page, "document.activeElement.dataset.field === 'measured/0'");
        assertTrue(page.textContent(".wrong").contains("Found \"fifty\"; allowed is a number"));
        page.keyboard().press("Control+a");
        page.keyboard().type("52.40");
        tabTo(page, "[data-field='measured/1']");
        page.keyboard().type("true");
        type(page, "#remark", "all <well>");
        page.keyboard().press("Enter");

        until(page, "document.querySelector('#where').textContent === 'Step 2 of 2'");
        until(
            page, "document.querySelector('[data-zone=panel]').classList.contains('by-inverter')");
        until(page, "document.activeElement.id === 'step'");
        page.reload();
        until(page, "document.querySelector('#where').textContent === 'Step 2 of 2'");
        assertTrue(page.textContent("#answered-room").contains("all <well>"));
        run.kill();
        until(page, "document.querySelector('#notice').textContent.includes('--resume')");
        page.context().close();
      }
      try (PageRun run = PageRun.guided(file, folder, "--resume")) {
        Page page = chromium.open(run.url(), 1280, 720, ColorScheme.DARK);
        phase(page, "BEGIN");
        type(page, "#name", "Bo");
        page.keyboard().press("Enter");
        phase(page, "STOP");
        tabTo(page, "[name=verdict]");
        page.keyboard().press("ArrowDown");
        page.keyboard().press("ArrowDown");
        type(page, "#remark", "no ladder");
        Browsing.nothingSerious(page, "a step");
        page.keyboard().press("Enter");
        phase(page, "SIGN");
        type(page, "#signature", "B.");
        page.keyboard().press("Enter");
        phase(page, "SIGNED");
        Browsing.nothingSerious(page, "a step");
        String digest = page.textContent("#digest");
        record(folder, digest);
        page.navigate(run.url() + "record.html");
        assertTrue(page.textContent("body").contains(digest));
        page.goBack();
        phase(page, "SIGNED");
        tabTo(page, "#step-room form button");
        page.keyboard().press("Enter");
        assertEquals(1, run.exitCode(), run.said());
        phase(page, "LEFT");
      }
      assertEquals(List.of(), chromium.breaches());
    }
  }

  private static void record(Path folder, String digest) throws Exception {
    String text = Files.readString(folder.resolve("record.json"));
    JsonNode record = new ObjectMapper().readTree(text);
    assertEquals("open", record.get("outcome").asText());
    assertEquals("Bo", record.get("name").asText());
    assertEquals("B.", record.get("signature").asText());
    JsonNode first = record.get("steps").get(0);
    assertEquals("pass", first.get("verdict").asText());
    assertEquals("all <well>", first.get("remark").asText());
    assertEquals("Ada", first.get("who").asText());
    assertEquals("52.40", first.get("values").get(0).get("measured").asText());
    assertEquals("true", first.get("values").get(1).get("measured").asText());
    JsonNode second = record.get("steps").get(1);
    assertEquals("skip", second.get("verdict").asText());
    assertEquals("no ladder", second.get("remark").asText());
    assertEquals("Bo", second.get("who").asText());
    byte[] before =
        text.substring(0, text.indexOf("  \"sha256\" : \"" + digest))
            .getBytes(StandardCharsets.UTF_8);
    assertEquals(
        HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(before)), digest);
  }

  /** Goes from field to field as somebody without a mouse does. */
  private static void tabTo(Page page, String selector) {
    String there = "document.activeElement.matches(\"" + selector + "\")";
    for (int presses = 0; !Browsing.holds(page, there); presses++) {
      assertTrue(presses < 60, "not reached by Tab: " + selector);
      page.keyboard().press("Tab");
    }
  }

  private static void type(Page page, String selector, String text) {
    tabTo(page, selector);
    page.keyboard().type(text);
  }

  private static void phase(Page page, String phase) {
    until(page, "document.documentElement.dataset.phase === '" + phase + "'");
  }

  private static void until(Page page, String condition) {
    Browsing.until(page, condition);
  }
}
