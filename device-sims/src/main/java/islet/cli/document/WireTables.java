package islet.cli.document;

import islet.contract.Ack;
import islet.contract.Alarm;
import islet.contract.BenchCommand;
import islet.contract.BenchEvent;
import islet.contract.BenchLedger;
import islet.contract.BenchMargin;
import islet.contract.BenchState;
import islet.contract.BenchTelemetry;
import islet.contract.ChargerCommand;
import islet.contract.ChargerTelemetry;
import islet.contract.Decimal;
import islet.contract.Device;
import islet.contract.DeviceState;
import islet.contract.Event;
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
import islet.contract.Scanned;
import islet.contract.Step;
import islet.contract.SupervisorCommand;
import islet.contract.SupervisorTelemetry;
import islet.contract.TieCommand;
import islet.contract.TieTelemetry;
import islet.contract.Topics;
import java.util.ArrayList;
import java.util.List;

/** The contract's tables: kinds, topics, and every message field by field. */
final class WireTables {

  /** Unit suffixes of field names and how people write the unit; the longer ones first. */
  private static final List<Suffix> SUFFIXES =
      List.of(
          new Suffix("WPerM2", "W/m²"),
          new Suffix("KWh", "kWh"),
          new Suffix("cost", "currency"),
          new Suffix("Deg", "°"),
          new Suffix("Hz", "Hz"),
          new Suffix("Pu", "pu"),
          new Suffix("V", "V"),
          new Suffix("A", "A"),
          new Suffix("W", "W"),
          new Suffix("S", "s"),
          new Suffix("C", "°C"));

  private record Suffix(String ending, String unit) {}

  /** A message of its own at one device. */
  record Use(Device device, Kind kind, Layout<?> layout) {}

  private WireTables() {}

  /** The messages that belong to one device alone. */
  static List<Use> uses() {
    List<Use> uses = new ArrayList<>();
    uses.add(new Use(Device.REGULATOR, Kind.TELEMETRY, RegulatorTelemetry.LAYOUT));
    uses.add(new Use(Device.REGULATOR, Kind.COMMAND, RegulatorCommand.LAYOUT));
    uses.add(new Use(Device.INVERTER, Kind.TELEMETRY, InverterTelemetry.LAYOUT));
    uses.add(new Use(Device.INVERTER, Kind.COMMAND, InverterCommand.LAYOUT));
    uses.add(new Use(Device.CHARGER, Kind.TELEMETRY, ChargerTelemetry.LAYOUT));
    uses.add(new Use(Device.CHARGER, Kind.COMMAND, ChargerCommand.LAYOUT));
    uses.add(new Use(Device.TIE, Kind.TELEMETRY, TieTelemetry.LAYOUT));
    uses.add(new Use(Device.TIE, Kind.COMMAND, TieCommand.LAYOUT));
    uses.add(new Use(Device.METER, Kind.TELEMETRY, MeterTelemetry.LAYOUT));
    uses.add(new Use(Device.METER, Kind.COMMAND, MeterCommand.LAYOUT));
    uses.add(new Use(Device.SUPERVISOR, Kind.TELEMETRY, SupervisorTelemetry.LAYOUT));
    uses.add(new Use(Device.SUPERVISOR, Kind.COMMAND, SupervisorCommand.LAYOUT));
    return uses;
  }

  /** What is said about the bench itself, in a live run that serves the page. */
  static List<Use> benchUses() {
    return List.of(
        new Use(Device.BENCH, Kind.STATE, BenchState.LAYOUT),
        new Use(Device.BENCH, Kind.TELEMETRY, BenchTelemetry.LAYOUT),
        new Use(Device.BENCH, Kind.MARGIN, BenchMargin.LAYOUT),
        new Use(Device.BENCH, Kind.LEDGER, BenchLedger.LAYOUT),
        new Use(Device.BENCH, Kind.EVENT, BenchEvent.LAYOUT),
        new Use(Device.BENCH, Kind.COMMAND, BenchCommand.LAYOUT),
        new Use(Device.BENCH, Kind.ACK, Ack.LAYOUT));
  }

  /** How each kind of message is delivered. */
  static String kinds() {
    StringBuilder out = new StringBuilder();
    out.append("| kind | QoS | retained | what it is |\n| --- | ---: | --- | --- |\n");
    for (Kind kind : Kind.values()) {
      out.append("| `").append(kind.segment()).append("` | ").append(kind.qos());
      out.append(" | ").append(kind.retained() ? "yes" : "no");
      out.append(" | ").append(meaning(kind)).append(" |\n");
    }
    return out.toString();
  }

  /** What a kind of message is. */
  static String meaning(Kind kind) {
    return switch (kind) {
      case TELEMETRY ->
          "measured values, at 1 Hz and on change; a lost one is replaced by the next";
      case STATE -> "the present state, kept by the broker for whoever comes later";
      case ONLINE -> "whether the sender is there; its last will says when it is gone";
      case COMMAND -> "an order with a lifetime";
      case ACK -> "the answer to an order";
      case EVENT -> "something that happened, for the sequence of events";
      case ALARM -> "something that needs a person";
      case STEP -> "the bench's call for a scan, in [lockstep](own-controller.md)";
      case SCANNED -> "the controller's answer to a step";
      case MARGIN -> "how far a hazard is from being violated, told by the bench";
      case LEDGER -> "what has come of the run so far, told by the bench";
    };
  }

  /** Every topic that is in use on a site. */
  static String topics(String site) {
    Topics topics = new Topics(site);
    StringBuilder out = new StringBuilder();
    out.append("| topic | sent by | message |\n| --- | --- | --- |\n");
    for (Use use : uses()) {
      boolean order = use.kind() == Kind.COMMAND;
      String by = use.device().segment();
      if (order) {
        by = use.device() == Device.SUPERVISOR ? "an operator's client" : "supervisor";
      }
      topic(out, topics.of(use.device(), use.kind()), by, use.layout());
    }
    for (Device device : Device.values()) {
      if (device != Device.BENCH) {
        String by = device.segment();
        topic(out, topics.of(device, Kind.ACK), by, Ack.LAYOUT);
        topic(out, topics.of(device, Kind.STATE), by, DeviceState.LAYOUT);
        topic(
            out, topics.of(device, Kind.ONLINE), by + ", or the broker as its will", Online.LAYOUT);
      }
    }
    topic(out, topics.of(Device.SUPERVISOR, Kind.EVENT), "supervisor", Event.LAYOUT);
    topic(out, topics.of(Device.SUPERVISOR, Kind.ALARM), "supervisor", Alarm.LAYOUT);
    topic(out, topics.of(Device.BENCH, Kind.STEP), "bench, in lockstep", Step.LAYOUT);
    topic(
        out, topics.of(Device.SUPERVISOR, Kind.SCANNED), "supervisor, in lockstep", Scanned.LAYOUT);
    for (Use use : benchUses()) {
      String by = use.kind() == Kind.COMMAND ? "a person's client" : "bench";
      topic(out, topics.of(use.device(), use.kind()), by + ", in a live run", use.layout());
    }
    return out.toString();
  }

  private static void topic(StringBuilder out, String topic, String by, Layout<?> layout) {
    out.append("| `").append(topic).append("` | ").append(by);
    out.append(" | [").append(layout.name()).append("](#");
    out.append(layout.name().toLowerCase(java.util.Locale.ROOT)).append(") |\n");
  }

  /** Every message, field by field. */
  static String messages() {
    StringBuilder out = new StringBuilder();
    for (Use use : uses()) {
      message(out, use.layout());
    }
    for (Layout<?> layout :
        List.of(
            Ack.LAYOUT,
            DeviceState.LAYOUT,
            Online.LAYOUT,
            Event.LAYOUT,
            Alarm.LAYOUT,
            Step.LAYOUT,
            Scanned.LAYOUT,
            BenchState.LAYOUT,
            BenchTelemetry.LAYOUT,
            BenchMargin.LAYOUT,
            BenchLedger.LAYOUT,
            BenchEvent.LAYOUT,
            BenchCommand.LAYOUT)) {
      message(out, layout);
    }
    return out.toString();
  }

  private static void message(StringBuilder out, Layout<?> layout) {
    out.append("### ").append(layout.name()).append("\n\n");
    out.append("| field | unit | allowed | meaning |\n| --- | --- | --- | --- |\n");
    for (Field field : layout.fields()) {
      out.append("| `").append(field.name()).append("` | ").append(unit(field));
      out.append(" | ").append(allowed(field));
      out.append(" | ").append(field.meaning()).append(" |\n");
    }
    out.append('\n');
  }

  private static String unit(Field field) {
    if (field.type() == Field.Type.NUMBER) {
      for (Suffix suffix : SUFFIXES) {
        if (field.name().endsWith(suffix.ending())) {
          return suffix.unit();
        }
      }
      return "share";
    }
    return "–";
  }

  private static String allowed(Field field) {
    return switch (field.type()) {
      case NUMBER -> Decimal.text(field.minimum(), 0) + " to " + Decimal.text(field.maximum(), 0);
      case WHOLE -> "whole, " + (long) field.minimum() + " to " + (long) field.maximum();
      case FLAG -> "`true`, `false`";
      case WORD -> "`" + String.join("`, `", field.words()) + "`";
      case TEXT -> "text, at most " + (long) field.maximum() + " characters";
      case INSTANT -> "ISO 8601 in UTC, milliseconds";
    };
  }
}
