package islet.cli.document;

import islet.cli.document.WireContract.Channel;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Layout;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * The contract as an AsyncAPI 3.0.0 document, with the MQTT bindings 0.2.0, seen from the
 * supervisor: it sends commands and receives telemetry.
 */
final class AsyncApi {

  private static final String BINDINGS = "0.2.0";

  private AsyncApi() {}

  /** The document as a tree. */
  static Map<String, Object> document(List<Channel> channels) {
    Map<String, Object> document = tree("asyncapi", "3.0.0");
    document.put("info", info());
    document.put("defaultContentType", "application/json");
    document.put("servers", servers());
    Map<String, Object> topics = new LinkedHashMap<>();
    Map<String, Object> operations = new LinkedHashMap<>();
    Map<String, Object> messages = new LinkedHashMap<>();
    for (Channel channel : channels) {
      topics.put(channel.name(), topic(channel));
      operations.put(channel.name(), operation(channel));
      messages.putIfAbsent(channel.layout().name(), message(channel));
    }
    document.put("channels", topics);
    document.put("operations", operations);
    Map<String, Object> components = new LinkedHashMap<>();
    components.put(
        "parameters",
        tree(
            "site",
            tree(
                "description",
                "the id of the site file: lower-case letters, digits, hyphens",
                "examples",
                List.of("ferry-landing"))));
    components.put("messages", messages);
    document.put("components", components);
    return document;
  }

  private static Map<String, Object> info() {
    return tree(
        "title",
        "Islet on the wire",
        "version",
        "1",
        "description",
        "What crosses the wire between a site's supervisor, its devices and whoever looks on, MQTT 5."
            + " Seen from the supervisor: it sends what others receive, and the other way round."
            + " Meaning, lifetimes, silence and last will stand in mqtt.md. Certified device"
            + " protection protects; this does not.",
        "license",
        tree("name", "Apache-2.0"));
  }

  private static Map<String, Object> servers() {
    return tree(
        "local",
        tree(
            "host",
            "127.0.0.1:1883",
            "protocol",
            "mqtt",
            "protocolVersion",
            "5",
            "description",
            "a broker on the same machine"),
        "site",
        tree(
            "host",
            "broker.example:8883",
            "protocol",
            "secure-mqtt",
            "protocolVersion",
            "5",
            "description",
            "a site's broker over TLS, with accounts"));
  }

  private static Map<String, Object> topic(Channel channel) {
    return tree(
        "address",
        channel.address(),
        "description",
        WireTables.meaning(channel.kind()),
        "parameters",
        tree("site", reference("#/components/parameters/site")),
        "messages",
        tree(
            channel.layout().name(),
            reference("#/components/messages/" + channel.layout().name())));
  }

  private static Map<String, Object> operation(Channel channel) {
    boolean order = channel.kind() == Kind.COMMAND;
    boolean own = channel.device() == Device.SUPERVISOR;
    Map<String, Object> operation =
        tree(
            "action",
            own == order ? "receive" : "send",
            "channel",
            reference("#/channels/" + channel.name()),
            "summary",
            summary(channel),
            "bindings",
            tree("mqtt", delivery(channel.kind())));
    if (order) {
      Channel ack = new Channel(channel.device(), Kind.ACK, channel.layout());
      String answers = "#/channels/" + ack.name();
      operation.put(
          "reply",
          tree(
              "channel",
              reference(answers),
              "messages",
              List.of(reference(answers + "/messages/Ack"))));
    }
    return operation;
  }

  private static String summary(Channel channel) {
    boolean own = channel.device() == Device.SUPERVISOR;
    if (channel.device() == Device.BENCH && channel.kind() != Kind.STEP) {
      return "between the bench of a live run and the people at it; the supervisor has no part in it";
    }
    return switch (channel.kind()) {
      case COMMAND -> own ? "an operator's order" : "an order to the " + channel.device().segment();
      case STATE -> own ? "the mode" : "for displays; the supervisor goes by telemetry";
      case TELEMETRY -> own ? "the heartbeat, with the picture of the site" : "what it measures";
      case ONLINE -> "presence; the broker publishes false as the last will";
      case ACK -> "what became of an order";
      case EVENT -> "for the sequence of events";
      case ALARM -> "an alarm has changed its state";
      case STEP -> "the bench asks for a scan, in lockstep only";
      case SCANNED -> "the scan is over, in lockstep only";
      case MARGIN -> "how far a hazard is from being violated";
      case LEDGER -> "what has come of the run so far";
    };
  }

  private static Map<String, Object> delivery(Kind kind) {
    return tree("qos", kind.qos(), "retain", kind.retained(), "bindingVersion", BINDINGS);
  }

  private static Map<String, Object> message(Channel channel) {
    Layout<?> layout = channel.layout();
    Map<String, Object> message =
        tree(
            "name",
            layout.name(),
            "contentType",
            "application/json",
            "payload",
            reference("./" + WireContract.schemaFile(layout)));
    Map<String, Object> correlation =
        tree("type", "string", "description", "the seq of the command, as text");
    if (channel.kind() == Kind.COMMAND) {
      String answers = "the device's ack topic, islet/v1/{site}/{device}/ack";
      message.put(
          "bindings",
          tree(
              "mqtt",
              tree(
                  "correlationData",
                  correlation,
                  "responseTopic",
                  tree("type", "string", "description", answers),
                  "bindingVersion",
                  BINDINGS)));
    } else if (channel.kind() == Kind.ACK) {
      message.put(
          "bindings",
          tree("mqtt", tree("correlationData", correlation, "bindingVersion", BINDINGS)));
    }
    return message;
  }

  private static Map<String, Object> reference(String to) {
    return tree("$ref", to);
  }

  private static Map<String, Object> tree(Object... namesAndValues) {
    Map<String, Object> tree = new LinkedHashMap<>();
    for (int i = 0; i < namesAndValues.length; i += 2) {
      tree.put(String.valueOf(namesAndValues[i]), namesAndValues[i + 1]);
    }
    return tree;
  }
}
