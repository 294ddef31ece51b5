package islet.live.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.bench.FaultTargets;
import islet.bench.Hazards;
import islet.bench.Scenario;
import islet.bench.Signal;
import islet.contract.AlarmId;
import islet.contract.BenchOrder;
import islet.contract.BenchTelemetry;
import islet.contract.Field;
import islet.contract.OperatorOrder;
import islet.control.ModeRow;
import islet.control.ModeTable;
import islet.control.Phase;
import islet.fault.FaultKind;
import islet.live.BesideSite;
import islet.live.LiveSession;
import islet.live.Repertoire;
import islet.live.SiteOrScenario;
import islet.site.Site;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

/**
 * The page's description, judged by the declarations that the code goes by: nothing of them is
 * missing, nothing is told that is not there.
 */
class DescriberTest {

  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final SignIn SIGN_IN = SignIn.byAccount("ws://127.0.0.1:9001/mqtt");
  private static final Repertoire REPERTOIRE =
      new Repertoire(CONFIG.resolve("scenarios/evening-outage.yaml"));

  private static JsonNode of(String file) throws IOException {
    Path path = CONFIG.resolve(file);
    Describer describer =
        new Describer(
            SIGN_IN,
            REPERTOIRE,
            new Lessons(List.of(new Lessons.Lesson("one", "What?", List.of("reclose")))));
    return JSON.readTree(
        describer.json(
            new LiveSession.Present(3, Repertoire.nameOf(path), SiteOrScenario.read(path))));
  }

  private static List<String> texts(JsonNode list, String field) {
    List<String> out = new ArrayList<>();
    list.forEach(item -> out.add(item.get(field).asText()));
    return out;
  }

  private static List<String> names(Enum<?>[] constants) {
    return Arrays.stream(constants).map(Enum::name).toList();
  }

  @Test
  void everyDeclarationIsToldOnceAndInItsOrder() throws IOException {
    JsonNode told = of("scenarios/evening-outage.yaml");
    assertEquals(names(Phase.values()), texts(told.get("phases"), "name"));
    assertEquals(names(AlarmId.values()), texts(told.get("alarms"), "id"));
    assertEquals(Hazards.IDS, texts(told.get("hazards"), "id"));
    assertEquals(names(OperatorOrder.values()), texts(told.get("orders"), "order"));
    assertEquals(names(BenchOrder.values()), texts(told.get("benchOrders"), "order"));
    assertEquals(
        Signal.all().stream().map(Signal::label).toList(), texts(told.get("signals"), "name"));
    List<ModeRow> rows = ModeTable.rows();
    assertEquals(rows.size(), told.get("rows").size());
    for (int i = 0; i < rows.size(); i++) {
      JsonNode row = told.get("rows").get(i);
      assertEquals(i + 1, row.get("no").asInt());
      assertEquals(rows.get(i).from().name(), row.get("from").asText());
      assertEquals(rows.get(i).on(), row.get("on").asText());
      assertEquals(rows.get(i).to().name(), row.get("to").asText());
    }
    for (AlarmId id : AlarmId.values()) {
      JsonNode alarm = told.get("alarms").get(id.ordinal());
      assertEquals(id.action(), alarm.get("action").asText());
      assertEquals(id.consequence(), alarm.get("consequence").asText());
    }
  }

  @Test
  void ofTwoSitesBesideEachOtherEachIsToldAndWhatTheSecondGoesWithout() throws IOException {
    Scenario first = SiteOrScenario.read(CONFIG.resolve("scenarios/tie-welded.yaml"));
    Describer describer = new Describer(SIGN_IN, REPERTOIRE, new Lessons(List.of()));
    JsonNode told =
        JSON.readTree(
            describer.json(
                new LiveSession.Present(
                    2,
                    "tie-welded",
                    first,
                    Optional.of(new BesideSite("charger-only").of(first)))));
    assertEquals("beside", told.get("mode").asText());
    assertEquals(2, told.get("run").asInt());
    assertEquals("account", told.at("/mqtt/signIn").asText());
    assertEquals(
        List.of("islet/v1/ferry-landing/", "islet/v1/ferry-landing-charger-only/"),
        texts(told.get("sites"), "topics"));
    assertEquals(List.of("two-panel", "charger-only"), arrangements(told.get("sites")));
    assertTrue(texts(told.at("/sites/0/faults"), "kind").contains("tie-welded"));
    assertFalse(texts(told.at("/sites/1/faults"), "kind").contains("tie-welded"));
    assertEquals(1, told.get("leftOut").size());
  }

  private static List<String> arrangements(JsonNode sites) {
    List<String> out = new ArrayList<>();
    sites.forEach(site -> out.add(site.at("/site/arrangement").asText()));
    return out;
  }

  @Test
  void faultsAreThoseThatTheSiteCanHave() throws IOException {
    Set<String> arrangements = new TreeSet<>();
    for (Repertoire.Piece piece : REPERTOIRE.pieces()) {
      if (piece.group() != Repertoire.Group.SITE || !arrangements.add(piece.arrangement())) {
        continue;
      }
      Site.Arrangement arrangement = SiteOrScenario.read(piece.file()).site().arrangement();
      JsonNode faults = of("sites/" + piece.name() + ".yaml").get("faults");
      List<FaultKind> there =
          Arrays.stream(FaultKind.values())
              .filter(kind -> !FaultTargets.of(kind, arrangement).isEmpty())
              .toList();
      assertEquals(there.stream().map(FaultKind::word).toList(), texts(faults, "kind"));
      for (int i = 0; i < there.size(); i++) {
        FaultKind kind = there.get(i);
        JsonNode fault = faults.get(i);
        assertEquals(!kind.needsVirtualLinks(), fault.get("playable").asBoolean(), kind.word());
        assertEquals(
            kind.parameters().stream().map(FaultKind.Parameter::name).toList(),
            texts(fault.get("numbers"), "name"));
        assertEquals(
            FaultTargets.of(kind, arrangement).stream().map(FaultKind.Target::device).toList(),
            texts(fault.get("targets"), "device"));
      }
    }
    assertEquals(6, arrangements.size(), "all six arrangements have a site: " + arrangements);
  }

  @Test
  void partsAreThoseOfTheArrangement() throws IOException {
    List<String> standalone = new ArrayList<>();
    JsonNode beacon = of("sites/breakwater-beacon.yaml");
    beacon.get("parts").forEach(part -> standalone.add(part.asText()));
    assertEquals(
        Set.of("pv", "regulator", "bus", "battery", "inverter", "critical-panel"),
        Set.copyOf(standalone));
    assertEquals(List.of("cloud", "loadStep"), texts(beacon.get("events"), "name"), "no utility");
    JsonNode shed = of("sites/boat-shed.yaml");
    assertFalse(shed.at("/site/tie").asBoolean());
    assertEquals("manual", shed.at("/site/changeover").asText());
    assertTrue(shed.at("/site/charger").asBoolean());
    assertTrue(shed.at("/site/chargerA").asDouble() > 0);
  }

  @Test
  void settingsAreTheSitesOwn() throws IOException {
    Site site = SiteOrScenario.read(CONFIG.resolve("sites/ferry-landing.yaml")).site();
    JsonNode settings = of("sites/ferry-landing.yaml").get("settings");
    assertEquals(
        site.battery().charge().absorptionV(), value(settings, "battery.charge.absorption"));
    assertEquals(site.supervision().reserveSoc(), value(settings, "supervision.reserve"));
    assertEquals(-site.utility().exportLimitW(), value(settings, "utility.exportLimit"));
    assertEquals(site.profile().enter().delayS(), value(settings, "profile.enterService.delay"));
    Set<String> labels = Signal.all().stream().map(Signal::label).collect(Collectors.toSet());
    for (JsonNode setting : settings) {
      String on = setting.get("on").asText();
      assertTrue(on.isEmpty() || labels.contains(on), on);
    }
    assertEquals(
        texts(settings, "name").size(),
        Set.copyOf(texts(settings, "name")).size(),
        "no name twice");
  }

  private static double value(JsonNode settings, String name) {
    for (JsonNode setting : settings) {
      if (setting.get("name").asText().equals(name)) {
        return setting.get("value").asDouble();
      }
    }
    throw new AssertionError("no setting " + name);
  }

  /** All but what the supervisor itself tells. */
  @Test
  void everySignalOfThePlantIsOnTheWire() throws IOException {
    Set<String> fields =
        BenchTelemetry.LAYOUT.fields().stream().map(Field::name).collect(Collectors.toSet());
    for (JsonNode signal : of("scenarios/evening-outage.yaml").get("signals")) {
      String name = signal.get("name").asText();
      String field = signal.get("field").asText();
      assertEquals(name.startsWith("supervisor."), field.isEmpty(), name);
      assertTrue(field.isEmpty() || fields.contains(field), field);
    }
  }

  @Test
  void whatCanBePlayedHasNamesThatAreNoPaths() throws IOException {
    JsonNode told = of("scenarios/evening-outage.yaml");
    assertEquals("evening-outage", told.get("scenario").asText());
    assertEquals(3, told.get("run").asInt());
    assertEquals("one", told.at("/lessons/0/name").asText());
    List<String> names = texts(told.get("scenarios"), "id");
    assertEquals("evening-outage", names.get(0));
    assertTrue(names.contains("lesson-two-panel") && names.contains("ferry-landing"));
    assertTrue(names.stream().allMatch(name -> name.matches("[A-Za-z0-9._-]+")));
    for (JsonNode piece : told.get("scenarios")) {
      // The only one with a fault of a link; the rest can be played over real links.
      boolean link = piece.get("id").asText().equals("commissioning");
      assertEquals(!link, piece.get("playable").asBoolean(), piece.get("id").asText());
    }
    assertFalse(told.toString().contains(CONFIG.toString()), "no path of this machine");
  }

  @Test
  void anAccountsPasswordIsNeverTold() throws IOException {
    JsonNode mqtt = of("scenarios/evening-outage.yaml").get("mqtt");
    assertEquals("account", mqtt.get("signIn").asText());
    assertEquals("", mqtt.get("user").asText());
    assertEquals("", mqtt.get("password").asText());
  }

  /** An order without a note would not compile; one that is not asked about would go unseen. */
  @Test
  void ordersThatMoveTheSiteAreGrave() throws IOException {
    Set<OperatorOrder> grave = EnumSet.noneOf(OperatorOrder.class);
    for (JsonNode order : of("scenarios/evening-outage.yaml").get("orders")) {
      if (order.get("grave").asBoolean()) {
        grave.add(OperatorOrder.valueOf(order.get("order").asText()));
      }
    }
    assertTrue(
        grave.containsAll(
            Set.of(
                OperatorOrder.ISLAND,
                OperatorOrder.RECONNECT,
                OperatorOrder.RELEASE,
                OperatorOrder.RESET,
                OperatorOrder.OVERRIDE)));
    assertFalse(grave.contains(OperatorOrder.ACKNOWLEDGE));
    assertFalse(grave.contains(OperatorOrder.HOLD), "a padlock must never wait for a question");
  }
}
