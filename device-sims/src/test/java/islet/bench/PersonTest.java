package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import islet.control.SiteSupervisor;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A scenario's person gives an order again when nobody answers, every 10 s as the documents say,
 * and lets it be when it is answered or something else comes to mind. Judged by the sequence of
 * events.
 */
class PersonTest {

  private static final Path ROOT = Path.of(System.getProperty("islet.root"));

  @TempDir private Path folder = Path.of("");

  /** The seconds at which orders were given, with their names. */
  private List<String> given(String... events) throws Exception {
    List<String> lines = new ArrayList<>();
    lines.add("title: A person");
    lines.add("site: " + ROOT.resolve("config/sites/ferry-landing.yaml"));
    lines.add("start: 2026-06-14T10:00");
    lines.add("duration: PT2M");
    lines.add("seed: 7");
    lines.add("weather: { constant: { ghi: 300 W/m2, temperature: 18 degC } }");
    lines.add("battery: { soc: 0.7 }");
    lines.add("events:");
    for (String event : events) {
      lines.add("  - { " + event + " }");
    }
    Path file = Files.write(folder.resolve("person.yaml"), lines);
    Scenario scenario = ScenarioReader.read(file, OptionalLong.empty());
    return new Rehearsal(scenario, SiteSupervisor::new)
        .run(micros -> {}).record("test").events().rows().stream()
            .filter(row -> row.source().equals("operator") && row.kind().equals("order"))
            .map(row -> (row.micros() - scenario.startMicros()) / 1_000_000 + " " + row.to())
            .toList();
  }

  @Test
  void anAnsweredOrderIsGivenOnce() throws Exception {
    assertEquals(List.of("30 ACKNOWLEDGE"), given("at: PT30S, operator: acknowledge"));
  }

  /** The second lives when the link is there again after 45 s. */
  @Test
  void anOrderThatFindsNobodyIsGivenAgainUntilItIsAnswered() throws Exception {
    assertEquals(
        List.of("30 ACKNOWLEDGE", "40 ACKNOWLEDGE"),
        given(
            "at: PT20S, fault: { kind: supervisor-link-lost }, for: PT25S",
            "at: PT30S, operator: acknowledge"));
  }

  @Test
  void anotherOrderTakesItsPlace() throws Exception {
    assertEquals(
        List.of("30 ACKNOWLEDGE", "35 MANUAL", "45 MANUAL"),
        given(
            "at: PT20S, fault: { kind: supervisor-link-lost }, for: PT30S",
            "at: PT30S, operator: acknowledge",
            "at: PT35S, operator: manual"));
  }
}
