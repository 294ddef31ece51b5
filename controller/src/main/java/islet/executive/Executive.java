package islet.executive;

import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.Alarm;
import islet.contract.AlarmId;
import islet.contract.ChargeStage;
import islet.contract.ChargerTelemetry;
import islet.contract.Device;
import islet.contract.DeviceState;
import islet.contract.Event;
import islet.contract.GridState;
import islet.contract.InverterTelemetry;
import islet.contract.Kind;
import islet.contract.Layout;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.MeterTelemetry;
import islet.contract.Mode;
import islet.contract.Online;
import islet.contract.Port;
import islet.contract.RegulatorTelemetry;
import islet.contract.SupervisorCommand;
import islet.contract.SupervisorTelemetry;
import islet.contract.TieTelemetry;
import islet.contract.Topics;
import islet.control.Inputs;
import islet.control.Outputs;
import islet.control.Supervisor;
import islet.site.Site;
import java.util.ArrayDeque;
import java.util.HashMap;
import java.util.Map;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Runs a {@link Supervisor} on a port. Messages fill the input image as they come; {@link #scan()}
 * is called at the site's fixed cycle on the same thread.
 */
public final class Executive implements Port.Listener {

  private static final Logger LOG = LoggerFactory.getLogger(Executive.class);

  /** Operators' orders that wait for their scan; more are refused. */
  private static final int MOST_WAITING = 16;

  /** How long bad messages keep their alarm. */
  private static final long BAD_MICROS = 60_000_000;

  /** A way to handle one topic's messages. */
  private interface Handler {
    void handle(Message message) throws MalformedException;
  }

  private final Topics topics;
  private final Clock clock;
  private final Supervisor supervisor;
  private final boolean switched;
  private final Port port;
  private final Inputs in = new Inputs();
  private final Outputs out = new Outputs();
  private final Map<String, Handler> handlers = new HashMap<>();
  private final ArrayDeque<SupervisorCommand> waiting = new ArrayDeque<>();
  private final CommandDesk desk;
  private final long heartbeatMicros;
  private long nextHeartbeat;
  private long badUntil = Inputs.NEVER;
  private long badMessages;
  private Mode toldMode = Mode.STARTING;
  private boolean stateTold;
  private boolean toldClosed;
  private ChargeStage toldStage = ChargeStage.OFF;
  private GridState toldGrid = GridState.UNKNOWN;
  private long telemetrySeq;
  private long stateSeq;
  private long eventSeq;
  private long alarmSeq;
  private long ackSeq;

  /**
   * Connects and subscribes.
   *
   * @param clientId this supervisor's name at the broker
   */
  public Executive(
      Site site, Supervisor supervisor, Port.Broker broker, Clock clock, String clientId) {
    this.topics = new Topics(site.id());
    this.clock = clock;
    this.supervisor = supervisor;
    switched = site.arrangement().hasSwitch();
    heartbeatMicros = Math.round(site.supervision().heartbeatS() * 1e6);
    handle(
        Device.REGULATOR,
        RegulatorTelemetry.LAYOUT,
        t -> in.take(t, clock.micros()),
        () -> in.take(in.regulator(), Inputs.NEVER));
    handle(
        Device.INVERTER,
        InverterTelemetry.LAYOUT,
        t -> in.take(t, clock.micros()),
        () -> in.take(in.inverter(), Inputs.NEVER));
    handle(
        Device.CHARGER,
        ChargerTelemetry.LAYOUT,
        t -> in.take(t, clock.micros()),
        () -> in.take(in.charger(), Inputs.NEVER));
    handle(
        Device.TIE,
        TieTelemetry.LAYOUT,
        t -> in.take(t, clock.micros()),
        () -> in.take(in.tie(), Inputs.NEVER));
    handle(
        Device.METER,
        MeterTelemetry.LAYOUT,
        t -> in.take(t, clock.micros()),
        () -> in.take(in.meter(), Inputs.NEVER));
    handlers.put(topics.of(Device.SUPERVISOR, Kind.COMMAND), this::operator);
    port = broker.connect(clientId, topics.will(Device.SUPERVISOR), this);
    desk = new CommandDesk(site, topics, port);
    port.subscribe(topics.fromAll(Kind.TELEMETRY), 0);
    port.subscribe(topics.fromAll(Kind.ONLINE), 1);
    port.subscribe(topics.fromAll(Kind.ACK), 1);
    port.subscribe(topics.of(Device.SUPERVISOR, Kind.COMMAND), 1);
  }

  /** What to do with a decoded message. */
  private interface Taker<T> {
    void take(T message);
  }

  private <T> void handle(Device device, Layout<T> layout, Taker<T> taker, Runnable lost) {
    handlers.put(topics.of(device, Kind.TELEMETRY), m -> taker.take(layout.decode(m.payload())));
    handlers.put(
        topics.of(device, Kind.ONLINE),
        m -> {
          if (Online.LAYOUT.decode(m.payload()).online()) {
            desk.back(device);
          } else {
            lost.run();
          }
        });
    handlers.put(
        topics.of(device, Kind.ACK),
        m -> {
          // Acks of operators' and other clients' commands pass here too; only the desk's own
          // count.
          Ack ack = Ack.LAYOUT.decode(m.payload());
          desk.answered(device, ack.command(), ack.result(), ack.reason());
        });
  }

  @Override
  public void message(Message message) {
    Handler handler = handlers.get(message.topic());
    if (handler == null || message.payload().length == 0) {
      return;
    }
    try {
      handler.handle(message);
    } catch (MalformedException e) {
      badMessages++;
      badUntil = clock.micros() + BAD_MICROS;
      LOG.warn("dropped a message on {}: {}", message.topic(), e.getMessage());
    }
  }

  @Override
  public void link(boolean up) {
    if (up) {
      stateTold = false;
      nextHeartbeat = 0;
    }
  }

  private void operator(Message message) throws MalformedException {
    SupervisorCommand command = SupervisorCommand.LAYOUT.decode(message.payload());
    boolean late = clock.micros() > command.at() + Math.round(command.lifetimeS() * 1e6);
    AckResult result = AckResult.ACCEPTED;
    String reason = "";
    if (late) {
      result = AckResult.EXPIRED;
      reason = "older than its lifetime";
    } else if (waiting.size() >= MOST_WAITING) {
      result = AckResult.REFUSED;
      reason = "too many orders are waiting";
    } else {
      waiting.add(command);
    }
    byte[] payload =
        Ack.LAYOUT.encode(new Ack(ackSeq++, clock.micros(), command.seq(), result, reason));
    port.publish(
        new Message(
            topics.of(Device.SUPERVISOR, Kind.ACK),
            payload,
            1,
            false,
            0,
            "",
            message.correlation()));
  }

  /** One scan: input image, logic, output image. */
  public void scan() {
    long now = clock.micros();
    SupervisorCommand order = waiting.poll();
    if (order != null) {
      in.ask(order);
    }
    in.commandTrouble(desk.trouble(now));
    in.badMessage(now < badUntil);
    supervisor.scan(in, now, out);
    in.scanned();
    desk.send(out, now);
    tell(now);
  }

  private void tell(long now) {
    for (int i = 0; i < out.events(); i++) {
      publish(
          Kind.EVENT,
          Event.LAYOUT.encode(
              new Event(eventSeq++, now, out.kind(i), out.from(i), out.to(i), out.reason(i))));
      LOG.info("{}: {} to {}: {}", out.kind(i), out.from(i), out.to(i), out.reason(i));
    }
    for (int i = 0; i < out.alarms(); i++) {
      AlarmId id = out.alarmId(i);
      publish(
          Kind.ALARM,
          Alarm.LAYOUT.encode(
              new Alarm(
                  alarmSeq++,
                  now,
                  id,
                  out.alarmState(i),
                  id.priority(),
                  id.text(),
                  id.consequence(),
                  id.action())));
    }
    boolean picture = out.tieClosed != toldClosed || out.stage != toldStage || out.grid != toldGrid;
    boolean changed = out.mode != toldMode || !stateTold;
    if (changed) {
      String reason = out.events() > 0 ? out.reason(out.events() - 1) : "";
      publish(
          Kind.STATE,
          DeviceState.LAYOUT.encode(new DeviceState(stateSeq++, now, out.mode.name(), reason)));
      if (!stateTold) {
        publish(Kind.ONLINE, Online.LAYOUT.encode(new Online(0, now, true)));
      }
      toldMode = out.mode;
      stateTold = true;
    }
    // Before the switch has spoken, or the meter where there is none, there is no picture to tell;
    // the devices bear that silence.
    long spoken = switched ? in.tieAt() : in.meterAt();
    boolean blank = out.mode == Mode.STARTING && spoken == Inputs.NEVER;
    if (!blank && (changed || picture || now >= nextHeartbeat)) {
      toldClosed = out.tieClosed;
      toldStage = out.stage;
      toldGrid = out.grid;
      publish(
          Kind.TELEMETRY,
          SupervisorTelemetry.LAYOUT.encode(
              new SupervisorTelemetry(
                  telemetrySeq++,
                  now,
                  out.mode,
                  out.stage,
                  out.grid,
                  out.tieClosed,
                  out.batteryVoltageV,
                  out.soc,
                  out.reserveSoc,
                  out.qualifiedInS)));
      nextHeartbeat = now + heartbeatMicros;
    }
  }

  private void publish(Kind kind, byte[] payload) {
    port.publish(
        Message.of(topics.of(Device.SUPERVISOR, kind), payload, kind.qos(), kind.retained()));
  }

  /** Messages dropped since the start because they were not what their topic promises. */
  public long badMessages() {
    return badMessages;
  }

  /** The orders of the last scan, for the metrics. */
  public Outputs outputs() {
    return out;
  }

  /** Leaves the broker in good order. */
  public void close() {
    publish(Kind.ONLINE, Online.LAYOUT.encode(new Online(0, clock.micros(), false)));
    port.close();
  }
}
