package islet.executive;

import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.Alarm;
import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.ChargeStage;
import islet.contract.ChargerTelemetry;
import islet.contract.Device;
import islet.contract.DeviceState;
import islet.contract.Event;
import islet.contract.GridState;
import islet.contract.InverterTelemetry;
import islet.contract.Kind;
import islet.contract.Layout;
import islet.contract.Lifetime;
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
import islet.executive.journal.Journal;
import islet.site.Site;
import java.util.ArrayDeque;
import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Executor;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.LongAdder;
import java.util.function.ToLongFunction;
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

  /** So long a disk may take before an order is answered without it, microseconds. */
  private static final long DISK_MICROS = 2_000_000;

  private static final String MACHINE_TIME = "machine's time";
  private static final String FORMER_TIME = "former time";
  private static final String JUMPED =
      "the machine's clock has jumped, and no device's report bears it out";
  private static final String BORNE_OUT = "the machine's clock agrees again";

  private static final String NOT_KEPT =
      "in force, but the journal cannot be written: it will not outlive a restart";

  /** Telemetry comes once a second; whoever has missed three is not heard. */
  private static final long HEARD_MICROS = 3_000_000;

  /** How long bad messages keep their alarm. */
  private static final long BAD_MICROS = 60_000_000;

  /** Bad messages come into the log at most so often: a flood of them must not fill a disk. */
  private static final long BAD_WORD_MICROS = 1_000_000;

  /** A way to handle one topic's messages. */
  private interface Handler {
    void handle(Message message) throws MalformedException;
  }

  /** An operator's order that waits for its scan. */
  private record Asked(SupervisorCommand command, Message message) {}

  /** One that has had its scan, and what the journal must have on disk before it is answered. */
  private record Heeded(Asked asked, String refusal, long ticket, long atMicros) {}

  private final Topics topics;
  private final Clock clock;
  private final Supervisor supervisor;
  private Executor thinker = Runnable::run;
  private final AtomicBoolean thinks = new AtomicBoolean();
  private final boolean switched;
  private final Port.Broker broker;
  private final String clientId;
  private Port port;
  private Inputs in = new Inputs();
  private final Outputs out = new Outputs();
  private final Urgency urgency;
  private final Map<String, Handler> handlers = new HashMap<>();
  private final Set<String> own;
  private final ArrayDeque<Asked> waiting = new ArrayDeque<>();
  private final ArrayDeque<Heeded> unanswered = new ArrayDeque<>();
  private final ArrayDeque<Event> announced = new ArrayDeque<>();
  private final Notes notes;
  private final boolean observes;
  private boolean away;
  private final CommandDesk desk;
  private final long heartbeatMicros;
  private Optional<Asked> heeding = Optional.empty();
  private long scannedAt;
  private long nextHeartbeat;
  private long nextOnline;
  private long badUntil = Inputs.NEVER;
  private long badMessages;
  private long nextBadWord = Inputs.NEVER;
  private int hasty;
  private boolean disputed;
  private final LongAdder unheard = new LongAdder();
  private Mode toldMode = Mode.STARTING;
  private boolean stateTold;
  private boolean alarmsTold = true;
  private final AlarmId[] alarmIds = AlarmId.values();
  private final AlarmState[] alarmStates = normal(alarmIds.length);
  private final boolean[] alarmed = new boolean[alarmIds.length];
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
    this(site, supervisor, broker, clock, clientId, Journal.NONE, Map.of(), false);
  }

  /**
   * Connects and subscribes.
   *
   * @param supervisor has not scanned yet
   * @param clientId this supervisor's name at the broker
   * @param journal takes the notes
   * @param past what the supervisor's predecessor wanted kept; empty for none
   * @param observes whether it listens and thinks but says nothing: no command, no answer, no
   *     heartbeat, no last will
   */
  public Executive(
      Site site,
      Supervisor supervisor,
      Port.Broker broker,
      Clock clock,
      String clientId,
      Journal journal,
      Map<String, String> past,
      boolean observes) {
    this.observes = observes;
    Map<String, String> asNew = KeepsakeNotes.of(supervisor, Map.of()).all();
    notes = new Notes(journal, supervisor, asNew);
    if (!past.isEmpty()) {
      supervisor.keep(new Restored(past));
    }
    this.topics = new Topics(site.id());
    this.clock = clock;
    this.supervisor = supervisor;
    urgency = new Urgency(site);
    switched = site.arrangement().hasSwitch();
    heartbeatMicros = Math.round(site.supervision().heartbeatS() * 1e6);
    handle(
        Device.REGULATOR,
        RegulatorTelemetry.LAYOUT,
        RegulatorTelemetry::at,
        t -> in.take(t, clock.micros()),
        () -> in.take(in.regulator(), Inputs.NEVER));
    handle(
        Device.INVERTER,
        InverterTelemetry.LAYOUT,
        InverterTelemetry::at,
        t -> {
          urgency.heard(in.inverter(), t);
          in.take(t, clock.micros());
        },
        () -> in.take(in.inverter(), Inputs.NEVER));
    handle(
        Device.CHARGER,
        ChargerTelemetry.LAYOUT,
        ChargerTelemetry::at,
        t -> in.take(t, clock.micros()),
        () -> in.take(in.charger(), Inputs.NEVER));
    handle(
        Device.TIE,
        TieTelemetry.LAYOUT,
        TieTelemetry::at,
        t -> {
          urgency.heard(in.tie(), t);
          in.take(t, clock.micros());
        },
        () -> in.take(in.tie(), Inputs.NEVER));
    handle(
        Device.METER,
        MeterTelemetry.LAYOUT,
        MeterTelemetry::at,
        t -> {
          long now = clock.micros();
          urgency.heard(in.meter(), t, now - in.tieAt() > HEARD_MICROS);
          in.take(t, now);
        },
        () -> in.take(in.meter(), Inputs.NEVER));
    handlers.put(topics.of(Device.SUPERVISOR, Kind.COMMAND), this::operator);
    this.broker = broker;
    this.clientId = clientId;
    // What the filters for all devices bring of its own words: no news, and nothing strange.
    own =
        Set.of(
            topics.of(Device.SUPERVISOR, Kind.TELEMETRY),
            topics.of(Device.SUPERVISOR, Kind.ONLINE),
            topics.of(Device.SUPERVISOR, Kind.ACK));
    port = open();
    desk = new CommandDesk(site, topics, message -> port.publish(message), clock.micros());
  }

  private Port open() {
    Message will =
        observes ? Message.of("", new byte[0], 0, false) : topics.will(Device.SUPERVISOR);
    Port opened = broker.connect(clientId, will, this);
    opened.subscribe(topics.fromAll(Kind.TELEMETRY), 0);
    opened.subscribe(topics.fromAll(Kind.ONLINE), 1);
    opened.subscribe(topics.fromAll(Kind.ACK), 1);
    opened.subscribe(topics.of(Device.SUPERVISOR, Kind.COMMAND), 1);
    return opened;
  }

  /** Takes over what another executive of this process has heard of the devices. */
  void inherit(Executive former) {
    in = former.in;
  }

  /** Comes back after {@link #giveWay}, with everything that it knows. */
  void comeBack() {
    away = false;
    port = open();
  }

  /** What to do with a decoded message. */
  private interface Taker<T> {
    void take(T message);
  }

  private <T> void handle(
      Device device, Layout<T> layout, ToLongFunction<T> at, Taker<T> taker, Runnable lost) {
    handlers.put(
        topics.of(device, Kind.TELEMETRY),
        m -> {
          T report = layout.decode(m.payload());
          // Before anybody asks what time it is.
          clock.heard(at.applyAsLong(report));
          taker.take(report);
        });
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
  public boolean wants(String topic) {
    return handlers.containsKey(topic) || own.contains(topic);
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
      long now = clock.micros();
      badUntil = now + BAD_MICROS;
      if (now >= nextBadWord) {
        nextBadWord = now + BAD_WORD_MICROS;
        LOG.warn(
            "dropped a message on {} ({} bad ones so far): {}",
            message.topic(),
            badMessages,
            e.getMessage());
      }
    }
  }

  @Override
  public void link(boolean up) {
    if (up) {
      stateTold = false;
      alarmsTold = false;
      nextHeartbeat = 0;
    }
  }

  private void operator(Message message) throws MalformedException {
    SupervisorCommand command = SupervisorCommand.LAYOUT.decode(message.payload());
    Asked asked = new Asked(command, message);
    switch (Lifetime.of(clock.micros(), command.at(), command.lifetimeS())) {
      case OVER -> turnDown(asked, AckResult.EXPIRED, Lifetime.OVER_REASON);
      case AHEAD -> turnDown(asked, AckResult.REFUSED, Lifetime.AHEAD_REASON);
      case GOOD -> {
        if (waiting.size() + unanswered.size() >= MOST_WAITING) {
          turnDown(asked, AckResult.REFUSED, "too many orders are waiting");
        } else {
          waiting.add(asked);
        }
      }
    }
  }

  /**
   * Turns an order down at once. In a flood most are dropped without a word, since each answer is a
   * message and a line of the journal.
   */
  private void turnDown(Asked asked, AckResult result, String reason) {
    if (hasty < MOST_WAITING) {
      hasty++;
      answer(asked, result, reason);
    } else {
      unheard.increment();
    }
  }

  private void answer(Asked asked, AckResult result, String reason) {
    if (observes) {
      return;
    }
    long now = clock.micros();
    Ack ack = new Ack(ackSeq++, now, asked.command().seq(), result, reason);
    notes.answered(ack, now);
    port.publish(
        new Message(
            topics.of(Device.SUPERVISOR, Kind.ACK),
            Ack.LAYOUT.encode(ack),
            1,
            false,
            0,
            "",
            asked.message().correlation()));
  }

  /**
   * Answers the orders whose consequences are on disk: an order that is acknowledged outlives
   * whatever happens next. When the disk fails the order is in force all the same, and its giver is
   * told that it will not outlive a restart.
   */
  private void answerHeeded(long now) {
    while (!unanswered.isEmpty()) {
      Heeded next = unanswered.element();
      if (!next.refusal().isEmpty()) {
        unanswered.remove();
        answer(next.asked(), AckResult.REFUSED, next.refusal());
        continue;
      }
      boolean kept = notes.durable() >= next.ticket();
      if (!kept && !notes.failing() && now - next.atMicros() < DISK_MICROS) {
        return;
      }
      unanswered.remove();
      answer(next.asked(), AckResult.ACCEPTED, kept ? "" : NOT_KEPT);
    }
  }

  /** An order may have waited for its scan longer than it lives: behind others, or in a pause. */
  private void dropWhatIsOver(long now) {
    while (!waiting.isEmpty() && isOver(waiting.element().command(), now)) {
      turnDown(waiting.remove(), AckResult.EXPIRED, Lifetime.OVER_REASON);
    }
  }

  private static boolean isOver(SupervisorCommand order, long now) {
    return Lifetime.of(now, order.at(), order.lifetimeS()) == Lifetime.OVER;
  }

  /** One scan: input image, logic, output image; then what is to be told of it. */
  public void scan() {
    act();
    tell();
  }

  /** One scan up to its orders. {@link #tell()} belongs to it, before the next. */
  public void act() {
    long now = clock.micros();
    scannedAt = now;
    hasty = 0;
    dropWhatIsOver(now);
    heeding = Optional.ofNullable(waiting.poll());
    if (heeding.isPresent()) {
      SupervisorCommand command = heeding.get().command();
      in.ask(command);
      notes.ordered(command, now);
    }
    in.commandTrouble(desk.trouble(now));
    in.unheeded(desk.unheeded(Device.TIE, now), desk.unheeded(Device.INVERTER, now));
    in.badMessage(now < badUntil);
    in.journalTrouble(notes.failing());
    supervisor.scan(in, now, out);
    in.scanned();
    if (!observes && !away) {
      desk.send(out, now);
    }
  }

  /** What the journal, the wire and who has asked are to learn of the scan that has been. */
  public void tell() {
    long now = scannedAt;
    notes.happened(out, now);
    long ticket = notes.keep(heeding.isPresent(), out, now);
    if (heeding.isPresent()) {
      unanswered.add(new Heeded(heeding.get(), out.refusal, ticket, now));
    }
    tellDispute();
    if (!announced.isEmpty() && port.connected()) {
      tellAnnounced(now);
    }
    tell(now);
    answerHeeded(now);
    if (supervisor.wantsToThink() && thinks.compareAndSet(false, true)) {
      thinker.execute(this::think);
    }
  }

  private void think() {
    try {
      supervisor.think();
    } finally {
      thinks.set(false);
    }
  }

  /**
   * Who thinks for the supervisor about what takes longer than a scan may. Between scans, unless
   * somebody else is named before the first.
   */
  public void thinkWith(Executor other) {
    thinker = other;
  }

  private static AlarmState[] normal(int count) {
    AlarmState[] states = new AlarmState[count];
    Arrays.fill(states, AlarmState.NORMAL);
    return states;
  }

  private void tell(AlarmId id, AlarmState state, long now) {
    publish(
        Kind.ALARM,
        Alarm.LAYOUT.encode(
            new Alarm(
                alarmSeq++,
                now,
                id,
                state,
                id.priority(),
                id.text(),
                id.consequence(),
                id.action())));
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
      alarmStates[id.ordinal()] = out.alarmState(i);
      alarmed[id.ordinal()] = true;
      if (alarmsTold) {
        tell(id, out.alarmState(i), now);
      }
    }
    if (!alarmsTold) {
      // What rang or returned while the link was down nobody has heard.
      for (AlarmId id : alarmIds) {
        if (alarmed[id.ordinal()]) {
          tell(id, alarmStates[id.ordinal()], now);
        }
      }
      alarmsTold = true;
    }
    boolean picture = out.tieClosed != toldClosed || out.stage != toldStage || out.grid != toldGrid;
    boolean changed = out.mode != toldMode || !stateTold;
    if (changed) {
      String reason = out.events() > 0 ? out.reason(out.events() - 1) : "";
      publish(
          Kind.STATE,
          DeviceState.LAYOUT.encode(new DeviceState(stateSeq++, now, out.mode.name(), reason)));
      if (!stateTold) {
        sayOnline(now);
      }
      toldMode = out.mode;
      stateTold = true;
    }
    // Before the switch has spoken, or the meter where there is none, there is no picture to tell;
    // the devices bear that silence.
    long spoken = switched ? in.tieAt() : in.meterAt();
    boolean blank = out.mode == Mode.STARTING && spoken == Inputs.NEVER;
    if (blank && due(nextOnline, now)) {
      // Another supervisor must know that this one is there, though the devices need not.
      sayOnline(now);
    }
    if (!blank && (changed || picture || due(nextHeartbeat, now))) {
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
                  out.qualifiedInS,
                  out.authority,
                  out.overrides,
                  out.voltageSoc,
                  out.doubts,
                  out.warned,
                  out.confidence)));
      nextHeartbeat = now + heartbeatMicros;
    }
  }

  /** Whether it is time; also when the clock has been set back, or its heart would stand still. */
  private boolean due(long next, long now) {
    return now >= next || next - now > heartbeatMicros;
  }

  private void sayOnline(long now) {
    publish(Kind.ONLINE, Online.LAYOUT.encode(new Online(0, now, true)));
    nextOnline = now + heartbeatMicros;
  }

  private void publish(Kind kind, byte[] payload) {
    if (!observes && !away) {
      port.publish(
          Message.of(topics.of(Device.SUPERVISOR, kind), payload, kind.qos(), kind.retained()));
    }
  }

  /**
   * When a device's telemetry arrived last, microseconds since 1970, or {@link Inputs#NEVER}; also
   * never when it has gone offline since.
   */
  public long heardAt(Device device) {
    return switch (device) {
      case REGULATOR -> in.regulatorAt();
      case INVERTER -> in.inverterAt();
      case CHARGER -> in.chargerAt();
      case TIE -> in.tieAt();
      case METER -> in.meterAt();
      case SUPERVISOR, BENCH -> Inputs.NEVER;
    };
  }

  /**
   * Whether something has come, since this was asked last, that is worth a scan before its turn.
   * Whoever scans by the wall clock may ask; in virtual time nobody does, so that a scan lies where
   * the cycle says.
   */
  public boolean urgent() {
    return urgency.taken();
  }

  /** Messages dropped since the start because they were not what their topic promises. */
  public long badMessages() {
    return badMessages;
  }

  /** Operators' orders dropped without an answer since too many came at once. From any thread. */
  public long unheardOrders() {
    return unheard.sum();
  }

  /** The orders of the last scan, for the metrics. */
  public Outputs outputs() {
    return out;
  }

  /**
   * Tells an event that is not the logic's, with the next scan.
   *
   * @param kind what kind of thing
   * @param from what was before
   * @param to what is now
   */
  public void announce(String kind, String from, String to, String reason) {
    announced.add(new Event(0, 0, kind, from, to, reason));
  }

  /** Says when the machine's clock is not believed, and when it is again. */
  private void tellDispute() {
    boolean disputes = clock.disputedMicros() != 0;
    if (disputes != disputed) {
      disputed = disputes;
      announce(
          "clock",
          disputes ? MACHINE_TIME : FORMER_TIME,
          disputes ? FORMER_TIME : MACHINE_TIME,
          disputes ? JUMPED : BORNE_OUT);
    }
  }

  private void tellAnnounced(long now) {
    for (Event event = announced.poll(); event != null; event = announced.poll()) {
      publish(
          Kind.EVENT,
          Event.LAYOUT.encode(
              new Event(eventSeq++, now, event.kind(), event.from(), event.to(), event.reason())));
    }
  }

  /** What the supervisor wants its successor to know. */
  public Map<String, String> keepsake() {
    return KeepsakeNotes.of(supervisor, Map.of()).all();
  }

  /** Whether the link to the broker stands. */
  public boolean linked() {
    return port.connected();
  }

  /** Leaves the broker in good order. */
  public void close() {
    publish(Kind.ONLINE, Online.LAYOUT.encode(new Online(0, clock.micros(), false)));
    port.close();
  }

  /**
   * Leaves the broker without a word, since another speaks for the supervisor or may. It goes on to
   * think by what it is given to hear, and says nothing.
   */
  public void giveWay() {
    away = true;
    port.close();
  }
}
