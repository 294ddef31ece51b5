package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.Error;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaLocation;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import islet.contract.AlarmId;
import islet.contract.Mode;
import islet.fault.FaultKind;
import islet.site.Section;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.snakeyaml.engine.v2.api.Load;
import org.snakeyaml.engine.v2.api.LoadSettings;

/**
 * Every YAML file in config against the JSON Schema that its first line names for editors, judged
 * by an independent validator of draft 2020-12.
 */
class ConfigFilesTest {
  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");
  private static final String MODELINE = "# yaml-language-server: $schema=";

  static Stream<Path> files() throws IOException {
    try (Stream<Path> files = Files.walk(CONFIG)) {
      List<Path> yaml =
          files
              .filter(f -> f.toString().endsWith(".yaml") && !f.endsWith("profiles/blank.yaml"))
              .sorted()
              .toList();
      return yaml.stream();
    }
  }

  @ParameterizedTest
  @MethodSource("files")
  void everyFileMeetsTheSchemaThatItNames(Path file) throws IOException {
    String text = Files.readString(file);
    String first = text.lines().findFirst().orElse("");
    assertTrue(first.startsWith(MODELINE), file + " names no schema in its first line");
    Path schema = file.resolveSibling(first.substring(MODELINE.length())).normalize();

    assertEquals(List.of(), errors(schema, text));
  }

  /** It is there to be filled in; an editor shows what is still missing, as its reader does. */
  @Test
  void theBlankProfileFailsUntilItIsFilledIn() throws IOException {
    String text = Files.readString(CONFIG.resolve("profiles/blank.yaml"));
    String site = Files.readString(CONFIG.resolve("profiles/ieee1547-2018-category-i.yaml"));
    Path schema = CONFIG.resolve("schema/profile.schema.json");

    assertTrue(errors(schema, text).size() >= 20, text);
    assertTrue(!errors(schema, site.replaceFirst("name: .*", "name: \"?\"")).isEmpty());
  }

  @Test
  void theDemoFilesAreAmongThoseLookedAt() throws IOException {
    assertTrue(files().anyMatch(f -> f.endsWith("sites/ferry-landing.yaml")));
    assertTrue(files().anyMatch(f -> f.endsWith("scenarios/evening-outage.yaml")));
    assertTrue(files().anyMatch(f -> f.endsWith("tariffs/lake-seasonal.yaml")));
  }

  /** Each row: a file, its schema, and a change that its reader refuses too. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          sites/ferry-landing.yaml | site | capacity: | capcity:
          sites/ferry-landing.yaml | site | 400 Ah | 400 W
          sites/ferry-landing.yaml | site | 400 Ah | 400
          sites/ferry-landing.yaml | site | chemistry: lead-acid | chemistry: lfp
          sites/ferry-landing-lfp.yaml | site | chemistry: lfp | chemistry: lead-acid
          sites/ferry-landing-lfp.yaml | site | overVoltage: 3.65 V | overVoltage: 3.65
          scenarios/lfp-frost.yaml | scenario | health: 0.95 | helth: 0.95
          sites/ferry-landing.yaml | site | onSag: separate | onSag: seperate
          sites/ferry-landing.yaml | site | "00:00-05:00" | "00:00-25:00"
          sites/ferry-landing.yaml | site | load: { constant: 60 W } | load: {}
          sites/ferry-landing.yaml | site | 0.34 USD/kWh | 0.34 USD
          sites/ferry-landing.yaml | site | exportCredit: | exprtCredit:
          tariffs/lake-seasonal.yaml | tariff | to: 31 May | to: 31 Mai
          tariffs/lake-seasonal.yaml | tariff | interval: 15 min | interval: 10 min
          tariffs/lake-seasonal.yaml | tariff | - 25 December | - Christmas
          tariffs/lake-seasonal.yaml | tariff | on: [weekday] | on: [workday]
          tariffs/lake-seasonal.yaml | tariff | price: 1.50 USD/kW | price: 1.50 USD/kWh
          profiles/ieee1547-2018-category-iii.yaml | profile | clearing: 21.0 s | clearing: 21.0
          profiles/ieee1547-2018-category-iii.yaml | profile | underVoltage: 0.88 pu, | ``
          sites/ferry-landing.yaml | site | ratedCurrent: 90 A | kind: pwm
          sites/ferry-landing.yaml | site | tilt: 35 deg | sky: perez
          sites/ferry-landing.yaml | site | tilt: 35 deg | shade: [{ strings: 1, modules: 1, light: 0 }]
          scenarios/evening-outage.yaml | scenario | weather: { epw: | weather: { csv: x.csv, epw:
          scenarios/evening-outage.yaml | scenario | weather: { epw: | weather: { clouds: { passing: 5 }, epw:
          scenarios/evening-outage.yaml | scenario | duration: | duraton:
          scenarios/evening-outage.yaml | scenario | duration: PT9H | duration: 9 h
          scenarios/evening-outage.yaml | scenario | is: ISLANDED | above: 3
          scenarios/evening-outage.yaml | scenario | outage: PT3H | outge: PT3H
          scenarios/sag-separate.yaml | scenario | , for: PT0.4S | ``
          scenarios/brown-out.yaml | scenario | , rise: PT2M | ``
          scenarios/brown-out.yaml | scenario | brownOut: 0.8 | sag: 0.8
          scenarios/matched-load.yaml | scenario | outage: PT2M, matchedLoad | outage: PT2M, matchdLoad
          scenarios/matched-load.yaml | scenario | outage: PT2M, matchedLoad: 1 | outage: PT2M
          scenarios/reclose.yaml | scenario | PT0.3S, PT15S | 0.3 s, PT15S
          sites/ferry-landing.yaml | site | surgeTime: 5 s | surgeTime: 5 s\\n  surge: [{ power: 6 kW }]
          sites/ferry-landing.yaml | site | surgeTime: 5 s | surgeTime: 5 s\\n  thermal: { rise: 35 K }
          scenarios/tie-welded.yaml | scenario | kind: tie-welded | kind: tie-melted
          scenarios/tie-welded.yaml | scenario | kind: tie-welded | kind: sensor-bias
          campaigns/smoke.yaml | campaign | product: { instants: 3 } | product: { instants: 0 }
          campaigns/smoke.yaml | campaign | product: { instants: 3 } | random: { instants: 3 }
          campaigns/smoke.yaml | campaign | kind: tie-welded | kind: tie-melted
          campaigns/smoke.yaml | campaign | modes: [HELD] | modes: [HOLD]
          campaigns/timing-search.yaml | campaign | to: PT0.2S | til: PT0.2S
          campaigns/planted.yaml | campaign | hazard: lost-load | hazard: lost-loads
          """)
  void aSlipOfThePenFails(String file, String schema, String from, String to) throws IOException {
    String text = Files.readString(CONFIG.resolve(file));
    assertTrue(text.contains(from), from);
    Path path = CONFIG.resolve("schema/" + schema + ".schema.json");

    String slip = text.replace(from, to.replace("\\n", "\n"));
    assertTrue(!errors(path, slip).isEmpty(), to + " passes");
  }

  /** What the demo leaves out: a curve of surge, a heat sink, a motor's start. */
  @Test
  void whatASiteMayAddMeetsTheSchemaAsWell() throws IOException {
    String text =
        Files.readString(CONFIG.resolve("sites/ferry-landing.yaml"))
            .replace(
                "  surgeTime: 5 s\n",
                """
                  surgeTime: 5 s
                  surge: [{ power: 6 kW, for: 60 s }, { power: 5 kW, for: 30 min }]
                  thermal: { rise: 35 K, timeConstant: 20 min, derateFrom: 70 degC, derateTo: 90 degC }
                """)
            .replace(
                "    powerFactor: 0.8\n",
                "    powerFactor: 0.8\n    inrush: { factor: 5, for: 0.4 s }\n");
    assertTrue(text.contains("thermal") && text.contains("inrush"));
    assertEquals(List.of(), errors(CONFIG.resolve("schema/site.schema.json"), text));
  }

  /** What an editor offers must be what the reader takes. */
  @Test
  void theScenarioSchemaListsTheSameWordsAsTheReader() throws IOException {
    String text = Files.readString(CONFIG.resolve("schema/scenario.schema.json"));
    JsonNode schema = new ObjectMapper().readTree(text);
    JsonNode fields = schema.at("/properties");
    List<String> kinds = Arrays.stream(FaultKind.values()).map(Section::word).toList();
    Set<String> signals = new TreeSet<>();
    for (FaultKind kind : FaultKind.values()) {
      kind.devices().forEach(device -> signals.addAll(kind.signals(device)));
    }

    assertEquals(kinds, words(fields.at("/events/items/properties/fault/properties/kind/enum")));
    assertEquals(
        List.copyOf(signals),
        words(fields.at("/events/items/properties/fault/properties/signal/enum")));
    assertEquals(
        Signal.all().stream().map(Signal::label).sorted().toList(),
        words(fields.at("/expect/items/properties/signal/enum")).stream().sorted().toList());
    assertEquals(Hazards.IDS, words(fields.at("/waive/propertyNames/enum")));
    assertEquals(
        Arrays.stream(AlarmId.values()).map(Section::word).toList(),
        words(fields.at("/expect/items/properties/alarm/enum")));
    assertEquals(
        Arrays.stream(Mode.values()).map(Mode::name).toList(),
        words(schema.at("/$defs/mode/enum")));
  }

  /** An editor offers a campaign the same kinds, signals and hazards as the code knows. */
  @Test
  void theCampaignSchemaListsWhatTheCodeKnows() throws IOException {
    JsonNode fields =
        new ObjectMapper()
            .readTree(Files.readString(CONFIG.resolve("schema/campaign.schema.json")))
            .get("properties");
    JsonNode scenario =
        new ObjectMapper()
            .readTree(Files.readString(CONFIG.resolve("schema/scenario.schema.json")))
            .at("/properties/events/items/properties/fault/properties");
    JsonNode fault = fields.at("/mishaps/items/properties/fault/properties");
    assertEquals(
        Arrays.stream(FaultKind.values()).map(Section::word).toList(),
        words(fault.at("/kind/enum")));
    assertEquals(words(scenario.at("/signal/enum")), words(fault.at("/signal/anyOf/0/enum")));
    List<String> names = new ArrayList<>();
    fault.fieldNames().forEachRemaining(names::add);
    List<String> inScenarios = new ArrayList<>();
    scenario.fieldNames().forEachRemaining(inScenarios::add);
    assertEquals(inScenarios, names);
    assertEquals(Hazards.IDS, words(fields.at("/waive/items/properties/hazard/enum")));
    assertEquals(Hazards.IDS, words(fields.at("/planted/items/properties/hazard/enum")));
    List<String> sought = new ArrayList<>(Hazards.IDS);
    sought.add("any");
    assertEquals(sought, words(fields.at("/search/properties/hazard/enum")));
  }

  /** What the readers' own tests read, the schema lets pass too. */
  @Test
  void aPwmRegulatorShadeAndCloudsMeetTheSchemas() throws IOException {
    String site =
        Files.readString(CONFIG.resolve("sites/ferry-landing.yaml"))
            .replace(
                "efficiency: { at10: 95 %, at50: 97 %, at100: 96 % }\n  idle: 4 W",
                "kind: pwm\n  drop: 0.4 V\n  idle: 4 W")
            .replace(
                "  tilt: 35 deg",
                "  sky: hay-davies\n  shade:\n"
                    + "    - { strings: 2, modules: 1, substrings: 1, light: 20 %,"
                    + " between: [\"07:00-09:30\"] }\n  tilt: 35 deg");
    assertTrue(site.contains("pwm") && site.contains("hay-davies"));
    assertEquals(List.of(), errors(CONFIG.resolve("schema/site.schema.json"), site));
    String scenario =
        Files.readString(CONFIG.resolve("scenarios/evening-outage.yaml"))
            .replaceAll(
                "weather: .*",
                "weather: { clear-sky: { temperature: 20 degC, nightTemperature: 9 degC,"
                    + " clearness: 65 % }, clouds: { passing: 8 min } }");
    assertEquals(List.of(), errors(CONFIG.resolve("schema/scenario.schema.json"), scenario));
  }

  private static List<String> words(JsonNode list) {
    List<String> words = new ArrayList<>();
    list.forEach(word -> words.add(word.asText()));
    return words;
  }

  /** A scenario as a run writes it meets the schema too. */
  @Test
  void aResolvedScenarioMeetsTheSchema() throws IOException {
    Path file = CONFIG.resolve("scenarios/tie-welded.yaml");
    Scenario scenario = ScenarioReader.read(file, OptionalLong.empty());

    assertEquals(
        List.of(),
        errors(CONFIG.resolve("schema/scenario.schema.json"), ResolvedScenario.write(scenario)));
  }

  private static List<String> errors(Path schemaFile, String yaml) throws IOException {
    SchemaRegistry registry =
        SchemaRegistry.withDefaultDialect(
            SpecificationVersion.DRAFT_2020_12,
            builder ->
                // One schema names another that lies beside it.
                builder.schemaLoader(loader -> loader.fetchRemoteResources()));
    Schema schema = registry.getSchema(SchemaLocation.of(schemaFile.toUri().toString()));
    Object value = new Load(LoadSettings.builder().build()).loadFromString(yaml);
    JsonNode node = new ObjectMapper().valueToTree(value);
    return schema.validate(node).stream().map(Error::toString).toList();
  }
}
