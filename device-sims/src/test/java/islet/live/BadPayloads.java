package islet.live;

import islet.contract.Ack;
import islet.contract.ChargerCommand;
import islet.contract.ChargerTelemetry;
import islet.contract.Device;
import islet.contract.Field;
import islet.contract.InverterCommand;
import islet.contract.InverterTelemetry;
import islet.contract.Kind;
import islet.contract.Layout;
import islet.contract.MeterCommand;
import islet.contract.MeterTelemetry;
import islet.contract.Online;
import islet.contract.RegulatorCommand;
import islet.contract.RegulatorTelemetry;
import islet.contract.SupervisorCommand;
import islet.contract.SupervisorTelemetry;
import islet.contract.TieCommand;
import islet.contract.TieTelemetry;
import islet.contract.Topics;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;

/**
 * Payloads that docs/mqtt.md does not allow on the topic on which they go, by chance but each
 * certainly bad: made from what is allowed by one breach of one rule.
 */
final class BadPayloads {

  /** The breach. */
  enum Breach {
    TRUNCATED,
    NOT_UTF8,
    OUT_OF_RANGE,
    NOT_FINITE,
    TOO_MANY_DIGITS,
    WRONG_TYPE,
    MISSING,
    DOUBLED,
    NESTED,
    HUGE,
    NO_OBJECT,
    TWO_OBJECTS,
    OTHER_MESSAGE
  }

  /**
   * One bad message.
   *
   * @param byController how often a controller must count it: once or not at all
   */
  @SuppressWarnings("ArrayRecordComponent") // never compared
  record Bad(String topic, byte[] payload, Breach breach, long byController) {}

  private static final Breach[] BREACHES = Breach.values();
  private static final List<String> NOT_FINITE =
      List.of("NaN", "Infinity", "-Infinity", "1e999", "-1e999");

  private final Random random;
  private final Topics topics;
  private final Map<String, Layout<?>> layouts = new TreeMap<>();
  private final List<String> names;

  BadPayloads(Random random, Topics topics) {
    this.random = random;
    this.topics = topics;
    put(Device.REGULATOR, Kind.TELEMETRY, RegulatorTelemetry.LAYOUT);
    put(Device.REGULATOR, Kind.COMMAND, RegulatorCommand.LAYOUT);
    put(Device.INVERTER, Kind.TELEMETRY, InverterTelemetry.LAYOUT);
    put(Device.INVERTER, Kind.COMMAND, InverterCommand.LAYOUT);
    put(Device.CHARGER, Kind.TELEMETRY, ChargerTelemetry.LAYOUT);
    put(Device.CHARGER, Kind.COMMAND, ChargerCommand.LAYOUT);
    put(Device.TIE, Kind.TELEMETRY, TieTelemetry.LAYOUT);
    put(Device.TIE, Kind.COMMAND, TieCommand.LAYOUT);
    put(Device.METER, Kind.TELEMETRY, MeterTelemetry.LAYOUT);
    put(Device.METER, Kind.COMMAND, MeterCommand.LAYOUT);
    put(Device.SUPERVISOR, Kind.TELEMETRY, SupervisorTelemetry.LAYOUT);
    put(Device.SUPERVISOR, Kind.COMMAND, SupervisorCommand.LAYOUT);
    for (Device device : devices()) {
      put(device, Kind.ACK, Ack.LAYOUT);
      put(device, Kind.ONLINE, Online.LAYOUT);
    }
    names = List.copyOf(layouts.keySet());
  }

  private void put(Device device, Kind kind, Layout<?> layout) {
    layouts.put(topics.of(device, kind), layout);
  }

  private static List<Device> devices() {
    return List.of(Device.REGULATOR, Device.INVERTER, Device.CHARGER, Device.TIE, Device.METER);
  }

  private boolean controllerReads(String topic) {
    for (Device device : devices()) {
      if (topic.equals(topics.of(device, Kind.COMMAND))) {
        return false;
      }
    }
    return !topic.equals(topics.of(Device.SUPERVISOR, Kind.TELEMETRY));
  }

  Bad next() {
    String topic = names.get(random.nextInt(names.size()));
    Layout<?> layout = layouts.get(topic);
    Breach breach = BREACHES[random.nextInt(BREACHES.length)];
    if (breach == Breach.HUGE && random.nextInt(50) > 0) {
      breach = Breach.WRONG_TYPE; // huge ones are slow to carry
    }
    byte[] payload = payload(layout == null ? Ack.LAYOUT : layout, breach);
    return new Bad(topic, payload, breach, controllerReads(topic) ? 1 : 0);
  }

  private byte[] payload(Layout<?> layout, Breach breach) {
    List<Field> fields = layout.fields();
    List<String> members = new ArrayList<>();
    fields.forEach(field -> members.add(member(field, good(field))));
    int i = random.nextInt(fields.size());
    Field field = fields.get(i);
    int number = numeric(fields);
    return switch (breach) {
      case TRUNCATED -> {
        byte[] whole = bytes(object(members));
        yield Arrays.copyOf(whole, 1 + random.nextInt(whole.length - 1));
      }
      case NOT_UTF8 -> {
        byte[] whole = bytes(object(members));
        // 0xFF is in no UTF-8 text (RFC 3629, section 1).
        whole[random.nextInt(whole.length)] = (byte) 0xFF;
        yield whole;
      }
      case OUT_OF_RANGE -> {
        members.set(number, member(fields.get(number), outside(fields.get(number))));
        yield bytes(object(members));
      }
      case NOT_FINITE -> {
        String text = NOT_FINITE.get(random.nextInt(NOT_FINITE.size()));
        members.set(number, member(fields.get(number), text));
        yield bytes(object(members));
      }
      case TOO_MANY_DIGITS -> {
        members.set(number, member(fields.get(number), "9".repeat(65 + random.nextInt(2_000))));
        yield bytes(object(members));
      }
      case WRONG_TYPE -> {
        members.set(i, member(field, wrong(field)));
        yield bytes(object(members));
      }
      case MISSING -> {
        members.remove(i);
        yield bytes(object(members));
      }
      case DOUBLED -> {
        members.add(random.nextInt(members.size()), members.get(i));
        yield bytes(object(members));
      }
      case NESTED -> {
        int depth = 17 + random.nextInt(3_000);
        boolean arrays = random.nextBoolean();
        String open = arrays ? "[" : "{\"x\":";
        String close = arrays ? "]" : "}";
        members.add("\"more\":" + open.repeat(depth) + "1" + close.repeat(depth));
        yield bytes(object(members));
      }
      case HUGE -> {
        members.add("\"more\":\"" + "x".repeat(Layout.LONGEST + random.nextInt(40_000)) + "\"");
        yield bytes(object(members));
      }
      case NO_OBJECT -> {
        List<String> others = List.of("null", "1", "\"on\"", "true", "[]", "[{}]", " ", "\0");
        yield bytes(others.get(random.nextInt(others.size())));
      }
      case TWO_OBJECTS -> bytes(object(members) + object(members));
      case OTHER_MESSAGE -> {
        Layout<?> other = layout == Ack.LAYOUT ? TieCommand.LAYOUT : Ack.LAYOUT;
        List<String> foreign = new ArrayList<>();
        // An Online is in every Ack but for its own field; a "result" is in nothing else.
        other.fields().forEach(f -> foreign.add(member(f, good(f))));
        yield bytes(object(foreign));
      }
    };
  }

  /** Every message has a number: its count. */
  private int numeric(List<Field> fields) {
    while (true) {
      int i = random.nextInt(fields.size());
      switch (fields.get(i).type()) {
        case NUMBER, WHOLE -> {
          return i;
        }
        case FLAG, WORD, TEXT, INSTANT -> {}
      }
    }
  }

  private static String object(List<String> members) {
    return "{" + String.join(",", members) + "}";
  }

  private static String member(Field field, String value) {
    return "\"" + field.name() + "\":" + value;
  }

  private static String good(Field field) {
    return switch (field.type()) {
      case NUMBER, WHOLE -> Long.toString((long) Math.max(field.minimum(), 1));
      case FLAG -> "true";
      case WORD -> "\"" + field.words()[0] + "\"";
      case TEXT -> "\"dockmaster\"";
      case INSTANT -> "\"2026-01-14T21:00:00.000Z\"";
    };
  }

  private String outside(Field field) {
    return random.nextBoolean()
        ? Long.toString((long) field.maximum() + 1 + random.nextInt(1_000_000))
        : Long.toString((long) field.minimum() - 1 - random.nextInt(1_000_000));
  }

  private String wrong(Field field) {
    List<String> others =
        switch (field.type()) {
          case NUMBER, WHOLE -> List.of("null", "true", "\"1\"", "[1]", "{}");
          case FLAG -> List.of("null", "1", "\"true\"", "[true]", "{}");
          case WORD, TEXT, INSTANT -> List.of("null", "1", "true", "[\"\"]", "{}");
        };
    return others.get(random.nextInt(others.size()));
  }

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
