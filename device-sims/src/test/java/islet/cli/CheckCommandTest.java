package islet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.LongTest;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Judged by the exit codes that are promised and by what a person needs to act on a finding. */
class CheckCommandTest {

  private static final Path ROOT = Path.of(System.getProperty("islet.root"));
  private static final String SITE = ROOT + "/config/sites/ferry-landing.yaml";

  private record Said(int code, String out, String err) {}

  private static Said islet(String... args) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    int code = Main.run(args, new PrintWriter(out), new PrintWriter(err));
    return new Said(code, out.toString(), err.toString());
  }

  @Test
  void aSoundSiteIsPassedWithItsFiguresItsNotesAndTheCautions() {
    Said said = islet("check", SITE);
    assertEquals(0, said.code(), said.err());
    assertTrue(said.out().startsWith("Ferry landing ("), said.out());
    assertTrue(said.out().contains("worst sum of charge currents"), said.out());
    assertTrue(said.out().contains("reserve to the floor, worst day"), said.out());
    assertTrue(said.out().contains("0 danger, 0 wrong, 0 doubtful, 3 to note"), said.out());
    assertTrue(said.out().contains("Backfeed: "), said.out());
    assertTrue(said.out().contains("Local codes"), said.out());
  }

  @Test
  void theWorstStandsFirstAndIsTheExitCode() {
    Said said =
        islet(
            "check",
            SITE,
            "--set",
            "supervision.coordination=none",
            "--set",
            "battery.charge.floatVoltage=55.2 V",
            "--set",
            "pv.tilt=4 deg");
    assertEquals(1, said.code());
    int danger = said.out().indexOf("  danger    supervision.coordination  (--set, charge-sum)");
    int wrong = said.out().indexOf("  wrong     battery.charge.floatVoltage  (--set, float-band)");
    int doubtful = said.out().indexOf("  doubtful  pv.tilt  (--set, array-tilt)");
    assertTrue(danger > 0 && danger < wrong && wrong < doubtful, said.out());
    assertTrue(said.out().contains("Not ready: 1 danger, 1 wrong, 1 doubtful, 2 to note"));
  }

  @Test
  void whatIsOnlyDoubtfulPasses() {
    assertEquals(0, islet("check", SITE, "--set", "pv.tilt=4 deg").code());
  }

  @Test
  @LongTest
  void aStatedOutageIsHeldAgainstTheReserve() {
    assertEquals(0, islet("check", SITE, "--outage", "8 h").code());
    Said said = islet("check", SITE, "--outage", "24h");
    assertEquals(1, said.code());
    assertTrue(said.out().contains("the stated outage is 24 h"), said.out());
  }

  @Test
  void jsonHoldsTheSameAndEachFindingSaysWhereWhyBySourceAndWhatToDo() throws IOException {
    Said said = islet("check", SITE, "--format", "json", "--set", "pv.azimuth=0 deg");
    assertEquals(1, said.code(), said.err());
    JsonNode json = new ObjectMapper().readTree(said.out());
    assertEquals("fail", json.get("verdict").asText());
    assertEquals(1, json.get("counts").get("wrong").asInt());
    assertEquals("array-direction", json.get("findings").get(0).get("rule").asText());
    for (JsonNode finding : json.get("findings")) {
      for (String name : List.of("field", "file", "found", "why", "source", "advice")) {
        assertFalse(finding.get(name).asText().isEmpty(), name + " of " + finding);
      }
    }
    assertTrue(json.get("figures").size() >= 20);
    assertTrue(json.get("cautions").size() >= 5);
    assertEquals(
        said.out(), islet("check", SITE, "--format", "json", "--set", "pv.azimuth=0 deg").out());
  }

  @Test
  void badInputIsToldWithASentenceAndNothingIsJudged() {
    refused("no such file", "check", ROOT + "/config/sites/none.yaml");
    refused("--set: settings.supervison.reserve", "check", SITE, "--set", "supervison.reserve=5%");
    refused("--set: found \"reserve\"", "check", SITE, "--set", "reserve");
    refused("--outage: found \"8\"", "check", SITE, "--outage", "8");
    refused("--coldest: found \"-80 degC\"", "check", SITE, "--coldest", "-80 degC");
    refused("Missing required parameter", "check");
  }

  private static void refused(String sentence, String... args) {
    Said said = islet(args);
    assertEquals(2, said.code(), said.out());
    assertTrue(said.err().contains(sentence), said.err());
    assertEquals("", said.out());
  }
}
