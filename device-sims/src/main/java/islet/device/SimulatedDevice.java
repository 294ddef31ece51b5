package islet.device;

import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.Device;
import islet.contract.DeviceState;
import islet.contract.Kind;
import islet.contract.Layout;
import islet.contract.Lifetime;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Online;
import islet.contract.Port;
import islet.contract.SupervisorTelemetry;
import islet.contract.Topics;

/**
 * What all devices share: the port, acknowledgements, telemetry at 1 Hz and on change, the watch
 * over the supervisor's heartbeat.
 *
 * <p>Whoever runs a device calls {@link #run(long)} after each change of the plant and when {@link
 * #wake(long)} is due, until no device changes anything, and then {@link #report(long)}.
 */
public abstract class SimulatedDevice implements Port.Listener {

  /** Wakes never. */
  public static final long NEVER = Long.MAX_VALUE;

  /** Telemetry comes at 1 Hz. */
  static final long TELEMETRY_MICROS = 1_000_000;

  /**
   * Telemetry on change comes at most this often, save for changes of state, which are told at
   * once.
   */
  static final long CHANGE_MICROS = 20_000;

  private static final String OVERTAKEN_REASON = "overtaken by a later order";

  private static final long MINUTE_MICROS = 60_000_000;

  /** Rejected messages told in a minute: more than an honest supervisor sends of all kinds. */
  private static final long MOST_REJECTED_TOLD = 100;

  /** A voltage that changes by more has jumped, per unit. */
  static final double JUMP_PU = 0.05;

  private final Device device;
  private final Topics topics;
  private final Surroundings surroundings;
  private final long linkTimeoutMicros;
  private final String heartbeatTopic;
  private final String commandTopic;
  private final Port port;
  private final Sensors sensors;

  /** The date of the latest command that was good. */
  private long newestCommand = Long.MIN_VALUE;

  private long heartbeatAt;
  private boolean linked;
  private long nextTelemetry;
  private long lastTelemetry = Long.MIN_VALUE / 2;
  private long ackSeq;
  private long stateSeq;
  private long telemetrySeq;
  private long rejected;
  private long rejectedSince = Long.MIN_VALUE / 2;
  private long rejectedTold;
  private String state = "";
  private String detail = "";
  private String toldState = "";

  /**
   * Connects the device.
   *
   * @param linkTimeoutS silence of the supervisor after which the device runs on its own settings,
   *     s
   */
  SimulatedDevice(
      Device device,
      Topics topics,
      Port.Broker broker,
      Surroundings surroundings,
      double linkTimeoutS) {
    this.device = device;
    this.topics = topics;
    this.surroundings = surroundings;
    sensors = new Sensors(surroundings::now);
    linkTimeoutMicros = micros(linkTimeoutS);
    heartbeatTopic = topics.of(Device.SUPERVISOR, Kind.TELEMETRY);
    commandTopic = topics.of(device, Kind.COMMAND);
    // A device that has just been switched on gives the supervisor one time-out to speak.
    heartbeatAt = surroundings.now();
    linked = true;
    nextTelemetry = surroundings.now();
    port = broker.connect(clientId(topics, device), topics.will(device), this);
    port.subscribe(commandTopic, 1);
    port.subscribe(heartbeatTopic, 0);
    port.publish(
        Message.of(
            topics.of(device, Kind.ONLINE),
            Online.LAYOUT.encode(new Online(0, surroundings.now(), true)),
            1,
            true));
  }

  /** A device's client id at the broker. */
  public static String clientId(Topics topics, Device device) {
    return topics.of(device, Kind.STATE).replace('/', '-');
  }

  static long micros(double seconds) {
    return Math.round(seconds * 1e6);
  }

  /** The sensors, where sensor faults bite. */
  public final Sensors sensors() {
    return sensors;
  }

  /** Which device this is. */
  public final Device device() {
    return device;
  }

  @Override
  public final void message(Message message) {
    try {
      if (message.topic().equals(heartbeatTopic)) {
        SupervisorTelemetry.LAYOUT.decode(message.payload());
        heartbeatAt = surroundings.now();
        if (!linked) {
          linked = true;
          surroundings.stir();
        }
      } else if (message.topic().equals(commandTopic) && message.payload().length > 0) {
        command(message);
      }
    } catch (MalformedException e) {
      rejected++;
      if (mayTellRejected(surroundings.now())) {
        surroundings.note(device.segment(), "rejected", "", "", String.valueOf(e.getMessage()));
      }
    }
  }

  /** All of them are counted; a flood must not fill the sequence of events. */
  private boolean mayTellRejected(long now) {
    if (now - rejectedSince >= MINUTE_MICROS) {
      rejectedSince = now;
      rejectedTold = 0;
    }
    return rejectedTold++ < MOST_REJECTED_TOLD;
  }

  @Override
  public final void link(boolean up) {
    if (up) {
      port.publish(
          Message.of(
              topics.of(device, Kind.ONLINE),
              Online.LAYOUT.encode(new Online(0, surroundings.now(), true)),
              1,
              true));
      nextTelemetry = surroundings.now();
      toldState = "";
      surroundings.stir();
    }
  }

  /** Reads a command, obeys or refuses it, and answers. */
  abstract void command(Message message) throws MalformedException;

  /**
   * Decides whether a command may be obeyed: answers EXPIRED when it is too old or when a later one
   * has overtaken it on the way, REFUSED when it is dated so far ahead that it would never expire.
   */
  final boolean good(long seq, long at, double lifetimeS, Message message) {
    return switch (Lifetime.of(surroundings.now(), at, lifetimeS)) {
      case GOOD -> {
        if (at < newestCommand) {
          answer(seq, AckResult.EXPIRED, OVERTAKEN_REASON, message);
          yield false;
        }
        newestCommand = at;
        yield true;
      }
      case OVER -> {
        answer(seq, AckResult.EXPIRED, Lifetime.OVER_REASON, message);
        yield false;
      }
      case AHEAD -> {
        answer(seq, AckResult.REFUSED, Lifetime.AHEAD_REASON, message);
        yield false;
      }
    };
  }

  final void answer(long seq, AckResult result, String reason, Message message) {
    answer(seq, result, reason, message.responseTopic(), message.correlation());
  }

  final void answer(
      long seq, AckResult result, String reason, String responseTopic, byte[] correlation) {
    String topic = responseTopic.isEmpty() ? topics.of(device, Kind.ACK) : responseTopic;
    byte[] payload = Ack.LAYOUT.encode(new Ack(ackSeq++, surroundings.now(), seq, result, reason));
    port.publish(new Message(topic, payload, 1, false, 0, "", correlation));
  }

  /**
   * Lets the firmware look and act.
   *
   * @param now the present instant, to which the plant has been advanced and solved
   * @return whether it changed anything in the plant
   */
  public final boolean run(long now) {
    if (linked && now - heartbeatAt > linkTimeoutMicros) {
      linked = false;
      surroundings.note(
          device.segment(), "link", "supervised", "local", "no heartbeat of the supervisor");
    }
    return act(now);
  }

  abstract boolean act(long now);

  /**
   * When the firmware wants to run next for its own sake, microseconds since 1970, or {@link
   * #NEVER}.
   */
  public final long wake(long now) {
    long watch = linked ? heartbeatAt + linkTimeoutMicros + 1 : NEVER;
    return sooner(timer(now), watch, now);
  }

  abstract long timer(long now);

  /** The sooner of two instants; a deadline that is over hides none that is still to come. */
  static long sooner(long next, long deadline, long now) {
    return deadline > now ? Math.min(next, deadline) : next;
  }

  /** Publishes telemetry when it is due or when something has changed. */
  public final void report(long now) {
    boolean changed = !state.equals(toldState);
    boolean due = now >= nextTelemetry;
    if (!due && !changed && !jumped() && !(moved() && now - lastTelemetry >= CHANGE_MICROS)) {
      return;
    }
    if (changed) {
      port.publish(
          Message.of(
              topics.of(device, Kind.STATE),
              DeviceState.LAYOUT.encode(new DeviceState(stateSeq++, now, state, detail)),
              1,
              true));
      toldState = state;
    }
    byte[] payload = telemetry(telemetrySeq++, now);
    port.publish(
        Message.of(
            topics.of(device, Kind.TELEMETRY),
            sensors.anyNotFinite() ? NonFinite.into(payload) : payload,
            0,
            false));
    lastTelemetry = now;
    if (due) {
      // On full seconds, so that all devices measure in one round.
      nextTelemetry = now - Math.floorMod(now, TELEMETRY_MICROS) + TELEMETRY_MICROS;
    }
  }

  /** Whether a measured value has jumped, as a utility's does: told at once, however often. */
  abstract boolean jumped();

  /**
   * Whether a measured value has moved far enough since the last telemetry to be told out of turn.
   */
  abstract boolean moved();

  /** Measures everything and writes it down. */
  abstract byte[] telemetry(long seq, long now);

  /** Takes note of the state in one word; a change is told at once. */
  final void state(String word, String reason) {
    if (!word.equals(state)) {
      state = word;
      detail = reason;
    }
  }

  /** Whether the supervisor has been silent for longer than the link time-out. */
  final boolean local() {
    return !linked;
  }

  final Surroundings surroundings() {
    return surroundings;
  }

  static <T> T decode(Layout<T> layout, Message message) throws MalformedException {
    return layout.decode(message.payload());
  }

  /** Messages dropped because they were not what their topic promises. */
  public final long rejected() {
    return rejected;
  }

  /** Leaves the broker in good order. */
  public final void close() {
    port.publish(
        Message.of(
            topics.of(device, Kind.ONLINE),
            Online.LAYOUT.encode(new Online(0, surroundings.now(), false)),
            1,
            true));
    port.close();
  }
}
