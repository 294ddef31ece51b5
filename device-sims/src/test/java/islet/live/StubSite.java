package islet.live;

import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.ChargeStage;
import islet.contract.Device;
import islet.contract.InverterCommand;
import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.MeterTelemetry;
import islet.contract.Mode;
import islet.contract.Online;
import islet.contract.RegulatorTelemetry;
import islet.contract.SupervisorTelemetry;
import islet.contract.TieCommand;
import islet.contract.TieOrder;
import islet.contract.TieTelemetry;
import islet.contract.TieTrip;
import islet.contract.Topics;
import java.time.Instant;
import java.util.concurrent.atomic.AtomicLong;

/**
 * Devices of a two-panel site that do at once what they are told and report it, without a plant
 * behind them: for trials of the wire. Speaks and hears through whatever client it is given.
 */
final class StubSite {

  /** How a message goes out. */
  interface Wire {
    void send(String topic, byte[] payload, int qos, boolean retain);
  }

  private final Topics topics;
  private final Wire wire;
  private final Wire meterWire;
  private final AtomicLong commands = new AtomicLong();
  private long seq;
  private boolean utility = true;
  private boolean closed = true;
  private boolean orderedClosed = true;
  private InverterState inverter = InverterState.FOLLOWING;
  private volatile Mode mode = Mode.STARTING;
  private volatile long openArrivedNanos;

  StubSite(String id, Wire wire) {
    this(id, wire, wire);
  }

  /**
   * A site.
   *
   * @param meterWire on which the meter speaks; the other devices speak on {@code wire}
   */
  StubSite(String id, Wire wire, Wire meterWire) {
    topics = new Topics(id);
    this.wire = wire;
    this.meterWire = meterWire;
  }

  Topics topics() {
    return topics;
  }

  /** The supervisor's mode, as it told it last. */
  Mode mode() {
    return mode;
  }

  /** When the last order to open arrived at the closed tie, by the machine's steady clock. */
  long openArrivedNanos() {
    return openArrivedNanos;
  }

  /** Orders received by all devices. */
  long commands() {
    return commands.get();
  }

  /** Says that everybody is there. */
  synchronized void begin() {
    for (Device device :
        new Device[] {Device.REGULATOR, Device.INVERTER, Device.TIE, Device.METER}) {
      wire.send(
          topics.of(device, Kind.ONLINE),
          Online.LAYOUT.encode(new Online(0, micros(), true)),
          1,
          true);
    }
    beat();
  }

  /** Telemetry of everybody, as it is due once a second. */
  synchronized void beat() {
    regulator();
    inverter();
    tie();
    meter();
  }

  /**
   * The utility goes or comes back. The tie tells it first, then the meter, in the order in which
   * the simulated devices report what they see in the same instant.
   *
   * @return when both were written and neither was handed over, by the machine's steady clock
   */
  synchronized long utility(boolean there) {
    utility = there;
    byte[] byTie = tieTelemetry();
    byte[] byMeter = meterTelemetry();
    String tieTopic = topics.of(Device.TIE, Kind.TELEMETRY);
    String meterTopic = topics.of(Device.METER, Kind.TELEMETRY);
    long begun = System.nanoTime();
    wire.send(tieTopic, byTie, 0, false);
    meterWire.send(meterTopic, byMeter, 0, false);
    return begun;
  }

  /** A message has arrived for one of the devices. */
  void arrived(String topic, byte[] payload) {
    long now = System.nanoTime();
    try {
      if (topic.equals(topics.of(Device.SUPERVISOR, Kind.TELEMETRY))) {
        mode = SupervisorTelemetry.LAYOUT.decode(payload).mode();
      } else if (topic.equals(topics.of(Device.TIE, Kind.COMMAND))) {
        obey(TieCommand.LAYOUT.decode(payload), now);
      } else if (topic.equals(topics.of(Device.INVERTER, Kind.COMMAND))) {
        obey(InverterCommand.LAYOUT.decode(payload));
      } else if (topic.endsWith("/" + Kind.COMMAND.segment())) {
        commands.incrementAndGet();
      }
    } catch (MalformedException e) {
      throw new IllegalStateException("the supervisor sent what cannot be read", e);
    }
  }

  private synchronized void obey(TieCommand command, long now) {
    commands.incrementAndGet();
    if (command.order() == TieOrder.OPEN && closed) {
      openArrivedNanos = now;
    }
    boolean before = closed;
    switch (command.order()) {
      case OPEN -> orderedClosed = false;
      case CLOSE -> orderedClosed = true;
      case HOLD, RELEASE -> {}
    }
    closed = orderedClosed;
    answer(Device.TIE, command.seq());
    if (before != closed) {
      // The permitted inverter takes over by its wired contact, and follows when it is closed.
      inverter = closed ? InverterState.FOLLOWING : InverterState.FORMING;
      tie();
      inverter();
    }
  }

  private synchronized void obey(InverterCommand command) {
    commands.incrementAndGet();
    InverterState before = inverter;
    inverter =
        switch (command.order()) {
          case OFF -> InverterState.OFF;
          case FOLLOW -> closed ? InverterState.FOLLOWING : inverter;
          case FORM -> closed ? inverter : InverterState.FORMING;
          case SYNCHRONISE -> closed ? inverter : InverterState.SYNCHRONISING;
        };
    answer(Device.INVERTER, command.seq());
    if (before != inverter) {
      inverter();
      tie();
    }
  }

  private void answer(Device device, long command) {
    wire.send(
        topics.of(device, Kind.ACK),
        Ack.LAYOUT.encode(new Ack(seq++, micros(), command, AckResult.DONE, "")),
        1,
        false);
  }

  private boolean panelAlive() {
    return closed ? utility : inverter != InverterState.OFF;
  }

  private void regulator() {
    wire.send(
        topics.of(Device.REGULATOR, Kind.TELEMETRY),
        RegulatorTelemetry.LAYOUT.encode(
            new RegulatorTelemetry(
                seq++,
                micros(),
                54.1,
                15,
                105,
                900,
                16.6,
                57.6,
                80,
                ChargeStage.BULK,
                true,
                false)),
        0,
        false);
  }

  private void inverter() {
    double alive = panelAlive() ? 1 : 0;
    wire.send(
        topics.of(Device.INVERTER, Kind.TELEMETRY),
        InverterTelemetry.LAYOUT.encode(
            new InverterTelemetry(
                seq++,
                micros(),
                54.1,
                closed ? 0 : -5,
                closed ? 0 : 250,
                alive,
                60 * alive,
                inverter,
                InverterTrip.NONE,
                true,
                false)),
        0,
        false);
  }

  private void tie() {
    wire.send(topics.of(Device.TIE, Kind.TELEMETRY), tieTelemetry(), 0, false);
  }

  private byte[] tieTelemetry() {
    double there = utility ? 1 : 0;
    double alive = panelAlive() ? 1 : 0;
    return TieTelemetry.LAYOUT.encode(
        new TieTelemetry(
            seq++,
            micros(),
            closed,
            orderedClosed,
            there,
            60 * there,
            alive,
            60 * alive,
            closed || inverter == InverterState.SYNCHRONISING ? 0 : 90,
            TieTrip.NONE,
            false,
            false));
  }

  private void meter() {
    meterWire.send(topics.of(Device.METER, Kind.TELEMETRY), meterTelemetry(), 0, false);
  }

  private byte[] meterTelemetry() {
    double there = utility ? 1 : 0;
    return MeterTelemetry.LAYOUT.encode(
        new MeterTelemetry(
            seq++,
            micros(),
            there,
            60 * there,
            utility ? 250 : 0,
            250,
            0,
            panelAlive() ? 1 : 0,
            54,
            11,
            15,
            "",
            false));
  }

  private static long micros() {
    return Instant.now().toEpochMilli() * 1_000;
  }
}
