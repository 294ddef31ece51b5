package islet.cli.document;

import islet.bench.Event;
import islet.bench.Scenario;
import islet.bench.Stage;
import islet.bench.VirtualBroker;
import islet.bench.VirtualNetwork;
import islet.bench.VirtualTime;
import islet.bench.WireTap;
import islet.contract.Decimal;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.Topics;
import islet.control.SiteSupervisor;
import islet.fault.FaultKind;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;

/**
 * Messages as they crossed the virtual broker in a drill of two minutes: a hold is placed and
 * released, the utility goes, and the meter loses its link.
 */
final class WireExamples {

  private static final long SECOND = 1_000_000;
  private static final long HOLD = 20 * SECOND;
  private static final long RELEASE = 30 * SECOND;
  private static final long OUTAGE = 60 * SECOND;
  private static final long LINK_LOST = 80 * SECOND;
  private static final long END = 120 * SECOND;

  /** A message and when it was sent, microseconds from the start. */
  record Heard(long at, String from, Message message) {}

  /** An example that the document wants: the first on a topic, from an instant on, with a text. */
  private record Wanted(String caption, Device device, Kind kind, long from, String containing) {}

  private static final List<Wanted> WANTED =
      List.of(
          new Wanted("The tie is there", Device.TIE, Kind.ONLINE, 0, ""),
          new Wanted("An operator hangs a padlock", Device.SUPERVISOR, Kind.COMMAND, HOLD, "HOLD"),
          new Wanted("The supervisor takes the order", Device.SUPERVISOR, Kind.ACK, HOLD, ""),
          new Wanted("and passes the padlock on", Device.TIE, Kind.COMMAND, HOLD, "HOLD"),
          new Wanted("The tie has done it", Device.TIE, Kind.ACK, HOLD, "DONE"),
          new Wanted(
              "The utility is gone and the tie has opened", Device.TIE, Kind.STATE, OUTAGE, ""),
          new Wanted(
              "with what it measures", Device.TIE, Kind.TELEMETRY, OUTAGE, "\"closed\":false"),
          new Wanted(
              "The inverter carries the panel",
              Device.INVERTER,
              Kind.TELEMETRY,
              OUTAGE,
              "\"FORMING\""),
          new Wanted("The supervisor orders it so", Device.INVERTER, Kind.COMMAND, OUTAGE, "FORM"),
          new Wanted("and tells the change", Device.SUPERVISOR, Kind.EVENT, OUTAGE, "ISLANDED"),
          new Wanted(
              "and its picture, which is also the heartbeat",
              Device.SUPERVISOR,
              Kind.TELEMETRY,
              OUTAGE + SECOND,
              ""),
          new Wanted(
              "The regulator's set points in the island",
              Device.REGULATOR,
              Kind.COMMAND,
              OUTAGE + SECOND,
              ""),
          new Wanted("What it measures", Device.REGULATOR, Kind.TELEMETRY, OUTAGE + SECOND, ""),
          new Wanted("Which circuits are off: none", Device.METER, Kind.COMMAND, OUTAGE, ""),
          new Wanted("What the meter measures", Device.METER, Kind.TELEMETRY, OUTAGE + SECOND, ""),
          new Wanted(
              "The meter's link breaks: its will", Device.METER, Kind.ONLINE, LINK_LOST, "false"),
          new Wanted("A person is called", Device.SUPERVISOR, Kind.ALARM, LINK_LOST, ""));

  private WireExamples() {}

  /**
   * The examples in Markdown.
   *
   * @param like a scenario whose site, start, weather and battery the drill takes over
   */
  static String of(Scenario like) throws DocumentException {
    List<Heard> heard = listen(drill(like));
    Topics topics = new Topics(like.site().id());
    StringBuilder out = new StringBuilder();
    for (Wanted wanted : WANTED) {
      Heard example = first(heard, topics, wanted);
      Message message = example.message();
      out.append(wanted.caption()).append(" (");
      out.append(Decimal.text(example.at() / 1e6, 3)).append(" s");
      properties(out, message);
      out.append("):\n\n```\n").append(message.topic()).append('\n');
      out.append(message.text()).append("\n```\n\n");
    }
    return out.toString();
  }

  private static void properties(StringBuilder out, Message message) {
    if (message.expirySeconds() > 0) {
      out.append(", expires after ").append(message.expirySeconds()).append(" s");
    }
    if (!message.responseTopic().isEmpty()) {
      out.append(", answer to `").append(message.responseTopic()).append('`');
    }
    if (message.correlation().length > 0) {
      out.append(", correlation `");
      out.append(new String(message.correlation(), StandardCharsets.US_ASCII)).append('`');
    }
  }

  private static Heard first(List<Heard> heard, Topics topics, Wanted wanted)
      throws DocumentException {
    String topic = topics.of(wanted.device(), wanted.kind());
    for (Heard h : heard) {
      if (h.at() >= wanted.from()
          && h.message().topic().equals(topic)
          && h.message().text().contains(wanted.containing())) {
        return h;
      }
    }
    throw new DocumentException(
        "mqtt.md: the drill sent no message on "
            + topic
            + " with "
            + wanted.containing()
            + ". Change the list of wanted examples to what a run sends now.");
  }

  static Scenario drill(Scenario like) {
    return new Scenario(
        "Drill on the wire",
        like.file(),
        like.siteFile(),
        like.site(),
        like.settings(),
        like.startMicros(),
        END,
        like.seed(),
        like.weather(),
        like.initialSoc(),
        like.initialHealth(),
        true,
        List.of(
            new Event.Operator(HOLD, Event.Action.HOLD, "dockmaster"),
            new Event.Operator(RELEASE, Event.Action.RELEASE, "dockmaster"),
            new Event.Outage(OUTAGE, END - OUTAGE),
            new Event.Fault(
                LINK_LOST, FaultKind.DEVICE_LINK_LOST, "meter", "", Map.of(), "", END - LINK_LOST)),
        List.of(),
        Map.of(),
        like.traceStepS());
  }

  static List<Heard> listen(Scenario drill) {
    long start = drill.startMicros();
    VirtualTime time = new VirtualTime(start);
    VirtualBroker broker = new VirtualBroker(time);
    Stage stage = new Stage(drill, time, broker, SiteSupervisor::new, new VirtualNetwork(broker));
    List<Heard> heard = new ArrayList<>();
    broker.tap(
        new WireTap() {
          @Override
          public void published(long micros, String from, Message message) {
            heard.add(new Heard(micros - start, from, message));
            stage.wire().published(micros, from, message);
          }

          @Override
          public void delivered(long micros, String to, Message message) {
            stage.wire().delivered(micros, to, message);
          }
        });
    stage.start();
    time.runUntil(start + END);
    return heard;
  }
}
