package islet.cli.document;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import islet.LongTest;
import islet.bench.ScenarioReader;
import islet.cli.document.WireContract.Channel;
import islet.contract.BenchCommand;
import islet.contract.BenchEvent;
import islet.contract.BenchLedger;
import islet.contract.BenchMargin;
import islet.contract.BenchOrder;
import islet.contract.BenchState;
import islet.contract.BenchTelemetry;
import islet.contract.ChargeStage;
import islet.contract.Device;
import islet.contract.Field;
import islet.contract.InverterState;
import islet.contract.Kind;
import islet.contract.Layout;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.RunState;
import islet.contract.Scanned;
import islet.contract.Step;
import islet.contract.StepCall;
import islet.contract.Topics;
import java.io.IOException;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.snakeyaml.engine.v2.api.Load;
import org.snakeyaml.engine.v2.api.LoadSettings;

/**
 * The contract for machines. The schemas are judged by an independent validator of JSON Schema: on
 * every message of two drills and two of lockstep, and on many thousands of changed ones against
 * the reader, message by message. The AsyncAPI document is judged by the specification's rules for
 * what refers to what, and by the topics of docs/mqtt.md; {@code .ci/asyncapi} judges it by the
 * standard's own parser.
 */
class WireContractTest {

  private static final Path ROOT = Path.of(System.getProperty("islet.root"));
  private static final long SEED = 20260114;
  private static final int MUTATIONS = LongTest.ASKED_FOR ? 20_000 : 5_000;

  /** As strict as JSON is, and with every digit. */
  private static final ObjectMapper JSON =
      new ObjectMapper()
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
          .enable(DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS);

  private static final Map<String, Schema> SCHEMAS = new LinkedHashMap<>();
  private static final List<Message> HEARD = new ArrayList<>();

  /**
   * Why reader and schema may differ; each must happen, or it is struck off here and in
   * docs/mqtt.md.
   */
  private enum Difference {
    /** A schema's integer may be written 1.0 or 1e2; the reader wants digits alone. */
    POINT_IN_WHOLE,
    /** A schema counts characters, the reader UTF-16 units, of which some characters take two. */
    TWO_UNITS,
    /** Half a surrogate pair can be escaped in JSON, and is no text. */
    HALF_PAIR,
    /** A JSON library keeps one of two fields of a name; the reader refuses both. */
    TWICE,
    /** A number so near outside its bound that it reads as the bound. */
    LAST_DIGIT,
    /** 16 KiB, 16 levels, texts of 4096, numbers of 64 and names of 256 are enough. */
    TOO_LARGE
  }

  @BeforeAll
  static void listen() throws IOException, DocumentException {
    SchemaRegistry registry = SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_7);
    for (Layout<?> layout : WireContract.layouts()) {
      Path file = ROOT.resolve("docs").resolve(WireContract.schemaFile(layout));
      SCHEMAS.put(layout.name(), registry.getSchema(Files.readString(file)));
    }
    // The second site has a charger of its own.
    for (String name : List.of("evening-outage", "lesson-charger-only")) {
      Path file = ROOT.resolve("config/scenarios").resolve(name + ".yaml");
      WireExamples.listen(WireExamples.drill(ScenarioReader.read(file, OptionalLong.empty())))
          .forEach(heard -> HEARD.add(heard.message()));
    }
    // Lockstep has no drill; these two stand for its messages.
    Topics topics = new Topics("ferry-landing");
    lockstep(
        topics.of(Device.BENCH, Kind.STEP),
        Step.LAYOUT.encode(new Step(1, 1_768_424_400_000_000L, StepCall.values()[0], 12)));
    lockstep(
        topics.of(Device.SUPERVISOR, Kind.SCANNED),
        Scanned.LAYOUT.encode(new Scanned(1, 1_768_424_400_000_000L, 1, 3, 100, "own logic")));
    HEARD.addAll(benchMessages(topics));
  }

  /** What the bench of a live run says; nobody hears it in a drill. */
  private static List<Message> benchMessages(Topics topics) {
    long at = 1_768_424_400_000_000L;
    return List.of(
        bench(
            topics,
            Kind.COMMAND,
            BenchCommand.LAYOUT.encode(
                new BenchCommand(1, at, BenchOrder.LOAD, 1.5, "lesson-two-panel"))),
        bench(
            topics,
            Kind.STATE,
            BenchState.LAYOUT.encode(
                new BenchState(
                    1,
                    at,
                    2,
                    "evening-outage",
                    RunState.RUNNING,
                    60,
                    59.5,
                    0.25,
                    at,
                    at + 60_000_000,
                    "the fuse",
                    "3 tie-welded tie"))),
        bench(
            topics,
            Kind.MARGIN,
            BenchMargin.LAYOUT.encode(
                new BenchMargin(
                    1,
                    at,
                    "backfeed",
                    1.5,
                    "s",
                    0.75,
                    true,
                    false,
                    false,
                    "For 0.5 s.",
                    true,
                    0.5,
                    "s",
                    0.25,
                    "For 1.5 s now."))),
        bench(
            topics,
            Kind.LEDGER,
            BenchLedger.LAYOUT.encode(
                new BenchLedger(
                    1, at, 812.4, 759.2, 1.01, 60, 1.4531, 0.0021, 0.849, 0.1, 1.113, 0.2, 0.918,
                    0.339, 0.51, 0.001, 0.25, 0.021, 10_800.5, 1, 2, 0.1834))),
        bench(
            topics,
            Kind.EVENT,
            BenchEvent.LAYOUT.encode(
                new BenchEvent(1, at, "utility", "source", "live", "dead", "an outage"))),
        bench(
            topics,
            Kind.TELEMETRY,
            BenchTelemetry.LAYOUT.encode(
                new BenchTelemetry(
                    1,
                    at,
                    true,
                    1.01,
                    60.02,
                    -759.1,
                    1,
                    0.99,
                    249.5,
                    509.7,
                    true,
                    1453.1,
                    1450.2,
                    55.4,
                    55.3,
                    24.99,
                    0.85,
                    15.5,
                    ChargeStage.BULK,
                    InverterState.FOLLOWING,
                    12.5,
                    3.5,
                    0.19,
                    0.08,
                    -2.81,
                    "CONNECTED",
                    18.4,
                    30,
                    "14 CLEARING 0.3/2"))));
  }

  private static Message bench(Topics topics, Kind kind, byte[] payload) {
    boolean told = kind == Kind.TELEMETRY || kind == Kind.MARGIN || kind == Kind.LEDGER;
    return Message.of(topics.of(Device.BENCH, kind), payload, told ? 0 : 1, kind == Kind.STATE);
  }

  private static void lockstep(String topic, byte[] payload) {
    HEARD.add(Message.of(topic, payload, 1, false));
  }

  private static Channel channel(String topic) {
    String[] segments = topic.split("/", -1);
    for (Channel channel : WireContract.channels()) {
      if (channel.device().segment().equals(segments[3])
          && channel.kind().segment().equals(segments[4])) {
        return channel;
      }
    }
    return fail("no channel for " + topic);
  }

  private static boolean meets(Layout<?> layout, byte[] payload) {
    try {
      JsonNode tree = JSON.readTree(payload);
      Schema schema = SCHEMAS.get(layout.name());
      return tree != null && schema != null && schema.validate(tree).isEmpty();
    } catch (IOException | NumberFormatException e) {
      // The latter for an exponent beyond what the validator's library can hold.
      return false;
    }
  }

  private static boolean reads(Layout<?> layout, byte[] payload) {
    try {
      layout.decode(payload);
      return true;
    } catch (MalformedException e) {
      return false;
    }
  }

  @Test
  void everyMessageOfTwoDrillsMeetsItsSchemaAndEveryMessageWasHeard() {
    Set<String> seen = new TreeSet<>();
    for (Message message : HEARD) {
      Layout<?> layout = channel(message.topic()).layout();
      assertTrue(meets(layout, message.payload()), message.topic() + " " + message.text());
      seen.add(layout.name());
    }
    assertEquals(new TreeSet<>(SCHEMAS.keySet()), seen);
  }

  @Test
  void whatTheReaderRefusesTheSchemaRefusesAndTheOtherWayRound() throws IOException {
    Mutations mutations = new Mutations(SEED);
    EnumMap<Difference, Integer> differences = new EnumMap<>(Difference.class);
    Map<String, String> samples = new LinkedHashMap<>();
    HEARD.forEach(m -> samples.putIfAbsent(channel(m.topic()).layout().name(), m.text()));
    List<Layout<?>> layouts = WireContract.layouts();
    int read = 0;
    for (int i = 0; i < MUTATIONS; i++) {
      Layout<?> layout = layouts.get(i % layouts.size());
      byte[] payload = mutations.of(String.valueOf(samples.get(layout.name())), layout);
      boolean reads = reads(layout, payload);
      read += reads ? 1 : 0;
      if (reads != meets(layout, payload)) {
        differences.merge(why(layout, payload, reads), 1, Integer::sum);
      }
    }
    assertTrue(read > MUTATIONS / 10 && read < MUTATIONS * 9 / 10, read + " were read");
    assertEquals(Set.of(Difference.values()), differences.keySet(), differences.toString());
  }

  /** Explains a difference by looking at the payload alone; fails when it cannot. */
  private static Difference why(Layout<?> layout, byte[] payload, boolean reads)
      throws IOException {
    String text = new String(payload, StandardCharsets.UTF_8);
    String shown = layout.name() + (reads ? " reads " : " refuses ") + text;
    if (!reads && tooLarge(payload)) {
      return Difference.TOO_LARGE;
    }
    Map<String, Field> fields = new LinkedHashMap<>();
    layout.fields().forEach(f -> fields.put(f.name(), f));
    Set<String> names = new HashSet<>();
    try (JsonParser parser = JSON.createParser(payload)) {
      String name = "";
      int depth = 0;
      for (JsonToken token = parser.nextToken(); token != null; token = parser.nextToken()) {
        depth += token.isStructStart() ? 1 : token.isStructEnd() ? -1 : 0;
        if (token == JsonToken.FIELD_NAME) {
          name = parser.currentName();
          if (depth == 1 && fields.containsKey(name) && !names.add(name) && !reads) {
            return Difference.TWICE;
          }
        } else if (depth == 1 && fields.containsKey(name)) {
          Field field = fields.get(name);
          switch (field.type()) {
            case WHOLE -> {
              if (!reads && token == JsonToken.VALUE_NUMBER_FLOAT) {
                return Difference.POINT_IN_WHOLE;
              }
            }
            case TEXT -> {
              String value = parser.getText();
              if (!reads && !StandardCharsets.UTF_8.newEncoder().canEncode(value)) {
                return Difference.HALF_PAIR;
              }
              if (!reads
                  && value.length() > field.maximum()
                  && value.codePointCount(0, value.length()) <= field.maximum()) {
                return Difference.TWO_UNITS;
              }
            }
            case NUMBER -> {
              BigDecimal exact = token.isNumeric() ? parser.getDecimalValue() : BigDecimal.ZERO;
              boolean outside =
                  exact.compareTo(BigDecimal.valueOf(field.minimum())) < 0
                      || exact.compareTo(BigDecimal.valueOf(field.maximum())) > 0;
              if (reads && outside) {
                return Difference.LAST_DIGIT;
              }
            }
            case FLAG, WORD, INSTANT -> {}
          }
        }
      }
    }
    return fail("unexplained: " + shown);
  }

  private static boolean tooLarge(byte[] payload) throws IOException {
    if (payload.length > Layout.LONGEST) {
      return true;
    }
    int depth = 0;
    try (JsonParser parser = JSON.createParser(payload)) {
      for (JsonToken token = parser.nextToken(); token != null; token = parser.nextToken()) {
        depth += token.isStructStart() ? 1 : token.isStructEnd() ? -1 : 0;
        int length = token.isStructStart() || token.isStructEnd() ? 0 : parser.getTextLength();
        if (depth > 16
            || (token == JsonToken.VALUE_STRING && length > 4096)
            || (token == JsonToken.FIELD_NAME && length > 256)
            || (token.isNumeric() && length > 64)) {
          return true;
        }
      }
    }
    return false;
  }

  private static JsonNode asyncApi() throws IOException {
    String text = Files.readString(ROOT.resolve("docs/asyncapi.yaml"));
    return JSON.valueToTree(new Load(LoadSettings.builder().build()).loadFromString(text));
  }

  @Test
  void everyReferenceOfTheAsyncApiDocumentLeadsSomewhere() throws IOException {
    JsonNode document = asyncApi();
    List<String> references = new ArrayList<>();
    collect(document, references);
    assertTrue(references.size() > 100, references.size() + " references");
    for (String reference : references) {
      if (reference.startsWith("#")) {
        assertTrue(!document.at(reference.substring(1)).isMissingNode(), reference);
      } else {
        assertTrue(Files.isRegularFile(ROOT.resolve("docs").resolve(reference)), reference);
      }
    }
  }

  private static void collect(JsonNode node, List<String> references) {
    if (node.has("$ref")) {
      references.add(node.get("$ref").asText());
    }
    node.forEach(child -> collect(child, references));
  }

  @Test
  void everyTopicOfTheDocumentIsAChannelAndTheOtherWayRound() throws IOException {
    Set<String> topics = new TreeSet<>();
    Matcher row =
        Pattern.compile("(?m)^\\| `(islet/v1/ferry-landing/[a-z/]+)` \\|[^|]*\\| \\[(\\w+)\\]")
            .matcher(Files.readString(ROOT.resolve("docs/mqtt.md")));
    while (row.find()) {
      topics.add(row.group(1).replace("ferry-landing", "{site}") + " " + row.group(2));
    }
    Set<String> channels = new TreeSet<>();
    for (JsonNode channel : asyncApi().get("channels")) {
      channel
          .get("messages")
          .fieldNames()
          .forEachRemaining(name -> channels.add(channel.get("address").asText() + " " + name));
    }
    assertTrue(topics.size() >= 32, topics.toString());
    assertEquals(topics, channels);
  }

  /** AsyncAPI 3.0.0: an operation names one channel, sends or receives, and may await a reply. */
  @Test
  void everyChannelHasOneOperationAndEveryOrderAReply() throws IOException {
    JsonNode document = asyncApi();
    Set<String> operated = new LinkedHashSet<>();
    for (JsonNode operation : document.get("operations")) {
      String channel = operation.at("/channel/$ref").asText();
      assertTrue(operated.add(channel), channel + " has two operations");
      String address = document.at(channel.substring(1)).get("address").asText();
      boolean order = address.endsWith("/command");
      boolean own = address.contains("/supervisor/");
      assertEquals(own == order ? "receive" : "send", operation.get("action").asText(), address);
      assertEquals(order, operation.has("reply"), address);
      if (order) {
        String answers = operation.at("/reply/channel/$ref").asText();
        assertEquals(
            address.replace("/command", "/ack"),
            document.at(answers.substring(1)).get("address").asText());
        assertEquals(answers + "/messages/Ack", operation.at("/reply/messages/0/$ref").asText());
      }
    }
    assertEquals(document.get("channels").size(), operated.size());
  }

  @Test
  void deliveryIsWhatTheMessagesOfADrillHad() throws IOException {
    JsonNode document = asyncApi();
    Map<String, JsonNode> deliveries = new LinkedHashMap<>();
    for (JsonNode operation : document.get("operations")) {
      deliveries.put(operation.at("/channel/$ref").asText(), operation.at("/bindings/mqtt"));
    }
    for (Message message : HEARD) {
      String name = "#/channels/" + channel(message.topic()).name();
      JsonNode told = deliveries.getOrDefault(name, JSON.missingNode());
      assertEquals(told.path("qos").asInt(-1), message.qos(), message.topic());
      assertEquals(told.path("retain").asBoolean(), message.retain(), message.topic());
    }
  }
}
