package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.site.InputException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.OptionalLong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Stops judged by what a person reads in the scenario's text, and by the rule that a message says
 * line, field, what was found and what is allowed.
 */
class StopReaderTest {

  private static final Path ROOT = Path.of(System.getProperty("islet.root"));

  private static final String TEXT =
      """
      title: stops
      site: SITE
      start: 2026-06-24T08:00
      duration: PT10M
      weather: { constant: { ghi: 500 W/m2, temperature: 20 degC } }
      battery: { soc: 0.8 }
      stops:
        - { at: PT5M, do: "Look: at it", see: a lamp, measure: [battery.voltage, tie.closed], safety: Keep off. }
        - { at: PT0S, do: Begin, see: nothing }
      """
          .replace("SITE", ROOT.resolve("config/sites/ferry-landing.yaml").toString());

  private final Path folder;

  StopReaderTest(@TempDir Path folder) {
    this.folder = folder;
  }

  private Scenario read(String text) throws IOException {
    Path file = folder.resolve("stops.yaml");
    Files.writeString(file, text);
    return ScenarioReader.read(file, OptionalLong.empty());
  }

  @Test
  void stopsAreReadByTimeAndReadBackFromTheResolvedScenario() throws IOException {
    Scenario scenario = read(TEXT);
    List<Stop> stops =
        List.of(
            new Stop(0, "Begin", "nothing", List.of(), ""),
            new Stop(
                300_000_000,
                "Look: at it",
                "a lamp",
                List.of(Signal.BATTERY_VOLTAGE, Signal.TIE_CLOSED),
                "Keep off."));
    assertEquals(stops, scenario.stops());
    String resolved = ResolvedScenario.write(scenario);
    assertEquals(stops, read(resolved).stops());
    assertEquals(resolved, ResolvedScenario.write(read(resolved)));
  }

  @Test
  void aScenarioWithoutStopsSaysNothingOfThemWhenResolved() throws IOException {
    String without = TEXT.substring(0, TEXT.indexOf("stops:"));
    assertFalse(ResolvedScenario.write(read(without)).contains("stops:"));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          at: PT5M | at: PT11M | :8: stops.1.at: found "PT11M"; allowed is the scenario's duration or less, PT10M
          do: Begin, | `` | :9: stops.2.do: found nothing
          see: a lamp | sea: a lamp | Did you mean "see"?
          battery.voltage, | batery.voltage, | Did you mean "battery.voltage_V"?
          tie.closed] | battery.voltage_V] | :8: stops.1.measure: found "battery.voltage_V" twice
          measure: [battery.voltage, tie.closed] | measure: [] | stops.1.measure
          """)
  void whatCannotStandIsToldWithItsLine(String from, String to, String told) {
    assertTrue(TEXT.contains(from), from);
    String text = TEXT.replace(from, to);
    String all = assertThrows(InputException.class, () -> read(text)).problems().toString();
    assertTrue(all.contains(told), all);
  }
}
