package islet.live;

import islet.contract.Decimal;
import islet.contract.Device;
import islet.contract.IsoTime;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Online;
import islet.contract.Port;
import islet.contract.Scanned;
import islet.contract.Step;
import islet.contract.StepCall;
import islet.contract.Topics;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;

/**
 * The real link between the bench and a controller under test, in lockstep.
 *
 * <p><b>Who speaks when.</b> The bench calls with {@link Step}, the controller answers with {@link
 * Scanned}, and in between simulated time stands still. Each of the two says how many messages it
 * has sent since the beginning. The other waits until so many have come, so that a message that is
 * still on its way when the call or the answer arrives is waited for, and one that is lost shows.
 *
 * <p><b>Order.</b> MQTT keeps the order of messages to one topic only (OASIS MQTT Version 5.0, 4.6,
 * from memory). What comes with one scan is therefore put into a fixed order of topics, and within
 * a topic stays as it came.
 *
 * <p><b>Beginning.</b> BEGIN is called again, ever more slowly, until the latest call is answered.
 * As calls keep their order, none of the earlier ones can then still be on its way. Whoever starts
 * first waits for the other.
 *
 * <p>For one thread; the port's own thread only fills a queue.
 */
final class LockstepLink implements AutoCloseable {

  private static final long CONNECT_LIMIT_NANOS = 10_000_000_000L;
  private static final long FIRST_PAUSE_NANOS = 500_000_000L;
  private static final long LONGEST_PAUSE_NANOS = 8_000_000_000L;
  private static final long LOOK_NANOS = 100_000_000L;
  private static final long MICROS_PER_MILLI = 1_000;

  /** The order in which a scan's messages take effect: as Islet's own controller sends them. */
  private static final List<Device> COMMANDED =
      List.of(Device.TIE, Device.INVERTER, Device.REGULATOR, Device.CHARGER, Device.METER);

  private static final List<Kind> TOLD =
      List.of(Kind.EVENT, Kind.ALARM, Kind.STATE, Kind.TELEMETRY, Kind.ACK);

  /** What the port's thread has to say. */
  private record News(Optional<Message> message, boolean linkUp) {}

  /** A message of the controller and its place among those of one scan. */
  private record Placed(int place, Message message) {}

  /**
   * What a scan came to.
   *
   * @param messages in the order in which they take effect
   * @param nextMicros simulated time until the next scan, µs
   */
  record Answer(List<Message> messages, long nextMicros) {
    Answer {
      messages = List.copyOf(messages);
    }
  }

  private final Topics topics;
  private final long patienceNanos;
  private final LinkedBlockingQueue<News> news = new LinkedBlockingQueue<>();
  private final Map<String, Integer> places = new HashMap<>();
  private final Map<String, Kind> kinds = new HashMap<>();
  private final String scannedTopic;
  private final String onlineTopic;
  private final Port port;
  private final List<Placed> come = new ArrayList<>();
  private Optional<Scanned> answer = Optional.empty();
  private String unreadable = "";
  private boolean linkUp;
  private boolean left;
  private long steps;
  private long sent;
  private long received;
  private volatile boolean stopped;

  /**
   * Connects; the link comes up when it does.
   *
   * @param site the site's id in topics
   * @param patience how long the controller may take for a scan, by the wall clock
   */
  LockstepLink(String site, Port.Broker broker, Duration patience) {
    topics = new Topics(site);
    patienceNanos = patience.toNanos();
    scannedTopic = topics.of(Device.SUPERVISOR, Kind.SCANNED);
    onlineTopic = topics.of(Device.SUPERVISOR, Kind.ONLINE);
    COMMANDED.forEach(device -> place(device, Kind.COMMAND));
    TOLD.forEach(kind -> place(Device.SUPERVISOR, kind));
    port =
        broker.connect(
            "lockstep-" + site,
            topics.will(Device.BENCH),
            new Port.Listener() {
              @Override
              public void message(Message message) {
                news.add(new News(Optional.of(message), true));
              }

              @Override
              public void link(boolean up) {
                news.add(new News(Optional.empty(), up));
              }
            });
    // Exact topics: the bench speaks on others of this site itself, and need not hear that.
    places.keySet().stream().sorted().forEach(topic -> port.subscribe(topic, 1));
    port.subscribe(onlineTopic, 1);
    port.subscribe(scannedTopic, 1);
  }

  private void place(Device device, Kind kind) {
    places.put(topics.of(device, kind), places.size());
    kinds.put(topics.of(device, kind), kind);
  }

  /** Lets whoever waits here wait no longer. From any thread. */
  void stop() {
    stopped = true;
  }

  /**
   * Waits for a controller.
   *
   * @param startMicros the simulated instant at which the run begins
   * @param longest how long to wait, by the wall clock
   * @return its answer; empty when it has been stopped meanwhile
   * @throws SurroundingsException with a sentence, when the broker takes nobody in or no controller
   *     answers in time
   */
  Optional<Scanned> begin(long startMicros, Duration longest) throws SurroundingsException {
    awaitLink();
    long begun = System.nanoTime();
    long pause = FIRST_PAUSE_NANOS;
    while (!stopped) {
      call(StepCall.BEGIN, startMicros);
      long called = System.nanoTime();
      while (!stopped && System.nanoTime() - called < pause) {
        hear();
        insistOnLink(startMicros);
        if (answer.isPresent() && answer.get().step() == steps && !answer.get().name().isBlank()) {
          Scanned first = answer.get();
          forgetWhatCame();
          return Optional.of(first);
        }
      }
      if (System.nanoTime() - begun > longest.toNanos()) {
        throw new SurroundingsException(nobody(longest));
      }
      pause = Math.min(2 * pause, LONGEST_PAUSE_NANOS);
    }
    return Optional.empty();
  }

  private void awaitLink() throws SurroundingsException {
    long limit = System.nanoTime() + CONNECT_LIMIT_NANOS;
    while (!linkUp && !stopped) {
      hear();
      if (System.nanoTime() > limit) {
        throw new SurroundingsException(
            "The bench got no connection to the broker within 10 s. Look at the broker's limits and"
                + " access rules.");
      }
    }
  }

  private String nobody(Duration longest) {
    StringBuilder text =
        new StringBuilder("No controller has answered BEGIN on ")
            .append(topics.of(Device.BENCH, Kind.STEP))
            .append(" within ")
            .append(longest.toSeconds())
            .append(" s.");
    if (!unreadable.isEmpty()) {
      text.append(" What came on ").append(scannedTopic).append(" was: ").append(unreadable);
    } else if (answer.isPresent() && answer.get().name().isBlank()) {
      text.append(" What came on ").append(scannedTopic).append(" had an empty name.");
    }
    return text.append(
            " Start one that subscribes there and answers on "
                + scannedTopic
                + " (docs/own-controller.md).")
        .toString();
  }

  private void forgetWhatCame() {
    answer = Optional.empty();
    unreadable = "";
    come.clear();
    left = false;
    sent = 0;
    received = 0;
  }

  /** Sends a message to the controller. */
  void forward(Message message) {
    sent++;
    // Not retained, or it would outlive the run; at QoS 1, since no later one replaces it here.
    port.publish(
        new Message(
            message.topic(),
            message.payload(),
            1,
            false,
            0,
            message.responseTopic(),
            message.correlation()));
  }

  /**
   * Lets the controller scan, and waits until it has.
   *
   * @param atMicros the simulated instant
   * @return what it came to; empty when the run has been stopped meanwhile
   * @throws ControllerFailedException with a sentence, when it does not answer, or not as it should
   * @throws SurroundingsException with a sentence, when the bench has lost its own link
   */
  Optional<Answer> scan(long atMicros) throws ControllerFailedException, SurroundingsException {
    while (!news.isEmpty()) {
      hear();
    }
    insistOnLink(atMicros);
    insistOnPresence();
    if (!come.isEmpty() || answer.isPresent()) {
      String topic = answer.isPresent() ? scannedTopic : come.get(0).message().topic();
      throw new ControllerFailedException(
          "it spoke out of turn, on "
              + topic
              + "; allowed is to speak after a SCAN and before the answer to it",
          false);
    }
    call(StepCall.SCAN, atMicros);
    long limit = System.nanoTime() + patienceNanos;
    while (!stopped) {
      hear();
      insistOnLink(atMicros);
      if (!unreadable.isEmpty()) {
        throw new ControllerFailedException(
            "its answer to a SCAN cannot be read: " + unreadable, false);
      }
      if (answer.isPresent() && isWhole(answer.get())) {
        return Optional.of(taken(answer.get()));
      }
      insistOnPresence();
      if (System.nanoTime() > limit) {
        throw new ControllerFailedException(late(), false);
      }
    }
    return Optional.empty();
  }

  private boolean isWhole(Scanned scanned) throws ControllerFailedException {
    if (scanned.step() != steps) {
      throw new ControllerFailedException(
          "it answered step " + scanned.step() + "; asked was step " + steps, false);
    }
    if (received > scanned.messages()) {
      throw new ControllerFailedException(
          "it said that it has sent "
              + scanned.messages()
              + " messages, and "
              + received
              + " have come; count each one since BEGIN, online and scanned not counted",
          false);
    }
    return received == scanned.messages();
  }

  private Answer taken(Scanned scanned) {
    come.sort(Comparator.comparingInt(Placed::place));
    Answer taken =
        new Answer(
            come.stream().map(Placed::message).toList(), scanned.nextMs() * MICROS_PER_MILLI);
    come.clear();
    answer = Optional.empty();
    return taken;
  }

  private String late() {
    String within = " within " + Decimal.text(patienceNanos * 1e-9, 1) + " s";
    if (answer.isPresent()) {
      return "it said that it has sent "
          + answer.get().messages()
          + " messages, and "
          + received
          + " have come"
          + within
          + "; one was lost on its way (publish with QoS 1), or it counts wrongly";
    }
    return "it has not answered step "
        + steps
        + within
        + "; it hangs, or it still waits for the "
        + sent
        + " messages that the bench has sent (subscribe with QoS 1, count all but retained ones)";
  }

  private void insistOnPresence() throws ControllerFailedException {
    if (left) {
      throw new ControllerFailedException("it has left the broker", true);
    }
  }

  private void insistOnLink(long atMicros) throws SurroundingsException {
    if (!linkUp) {
      throw new SurroundingsException(
          "The bench has lost its link to the broker at step "
              + steps
              + " ("
              + IsoTime.text(atMicros)
              + " at the site); a run in lockstep cannot go on after that. Look whether the broker"
              + " still runs, and whether another bench is connected to it.");
    }
  }

  private void call(StepCall call, long atMicros) {
    port.publish(
        Message.of(
            topics.of(Device.BENCH, Kind.STEP),
            Step.LAYOUT.encode(new Step(++steps, atMicros, call, sent)),
            Kind.STEP.qos(),
            false));
  }

  /** Takes in what has come, or waits a little for the next. */
  private void hear() {
    try {
      News next = news.poll(LOOK_NANOS, TimeUnit.NANOSECONDS);
      if (next == null) {
        return;
      }
      if (next.message().isPresent()) {
        hear(next.message().get());
      } else {
        linkUp = next.linkUp();
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      stopped = true;
    }
  }

  private void hear(Message message) {
    if (message.retain() || message.payload().length == 0) {
      return; // from before this run
    }
    try {
      if (message.topic().equals(scannedTopic)) {
        answer = Optional.of(Scanned.LAYOUT.decode(message.payload()));
      } else if (message.topic().equals(onlineTopic)) {
        left = !Online.LAYOUT.decode(message.payload()).online();
      } else {
        Integer place = places.get(message.topic());
        Kind kind = kinds.get(message.topic());
        if (place != null && kind != null) {
          received++;
          come.add(new Placed(place, asInTheContract(kind, message)));
        }
      }
    } catch (MalformedException e) {
      unreadable = String.valueOf(e.getMessage());
    }
  }

  /**
   * What the broker has taken off, and how long it has kept it by the wall clock, must not matter
   * to the run: quality and retention are the contract's, and lifetimes are judged by the devices.
   */
  private static Message asInTheContract(Kind kind, Message message) {
    return new Message(
        message.topic(),
        message.payload(),
        kind.qos(),
        kind.retained(),
        0,
        message.responseTopic(),
        message.correlation());
  }

  /** Tells the controller that the run is over. */
  void end(long atMicros) {
    call(StepCall.END, atMicros);
  }

  @Override
  public void close() {
    port.close();
  }
}
