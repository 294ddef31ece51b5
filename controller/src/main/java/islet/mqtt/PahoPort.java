package islet.mqtt;

import islet.contract.Message;
import islet.contract.Port;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ScheduledThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * One client of a real broker. All fields but the volatile and atomic ones belong to its thread.
 */
final class PahoPort implements Port {

  private static final Logger LOG = LoggerFactory.getLogger(PahoPort.class);

  /** A link that has stood this long counts as good, and the next pause is the first one again. */
  private static final long STEADY_SECONDS = 5;

  /** How long a farewell may take before the socket is closed on it. */
  private static final long FAREWELL_SECONDS = 2;

  private final BrokerUrl url;
  private final PahoSettings settings;
  private final String clientId;
  private final Message will;
  private final Listener listener;
  private final BackOff backOff;
  private final Drops drops;
  private final ScheduledThreadPoolExecutor thread;
  private final Map<String, Integer> filters = new LinkedHashMap<>();
  private final AtomicBoolean closing = new AtomicBoolean();

  /** Held while the listener is told something, so that it hears one thing at a time. */
  private final Object hearing = new Object();

  /** The attempt that has become a link, while the link stands. */
  private volatile Optional<PahoAttempt> live = Optional.empty();

  private Optional<PahoAttempt> current = Optional.empty();
  private boolean firstConnect = true;
  private boolean finished;

  PahoPort(
      BrokerUrl url,
      PahoSettings settings,
      String clientId,
      Message will,
      Listener listener,
      BackOff backOff,
      Drops drops) {
    this.url = url;
    this.settings = settings;
    this.clientId = clientId;
    this.will = will;
    this.listener = listener;
    this.backOff = backOff;
    this.drops = drops;
    thread = new ScheduledThreadPoolExecutor(1, work -> daemon("islet-mqtt-" + clientId, work));
    thread.setExecuteExistingDelayedTasksAfterShutdownPolicy(false);
    thread.setRemoveOnCancelPolicy(true);
  }

  private static Thread daemon(String name, Runnable work) {
    Thread made = new Thread(work, name);
    made.setDaemon(true);
    return made;
  }

  void open() {
    run(this::attempt);
  }

  @Override
  public void publish(Message message) {
    if (message.payload().length > PahoBroker.PAYLOAD_LIMIT) {
      drops.oversized.increment();
      return;
    }
    Optional<PahoAttempt> link = live;
    if (closing.get() || link.isEmpty() || !link.get().publish(message)) {
      drops.unsent.increment();
    }
  }

  @Override
  public void subscribe(String filter, int qos) {
    run(
        () -> {
          filters.put(filter, qos);
          live.ifPresent(link -> link.subscribe(filter, qos, true));
        });
  }

  @Override
  public boolean connected() {
    return live.isPresent() && !closing.get();
  }

  @Override
  public void close() {
    if (closing.compareAndSet(false, true)) {
      run(this::leave);
    }
  }

  void awaitClosed(Duration longest) {
    try {
      if (!thread.awaitTermination(longest.toMillis(), TimeUnit.MILLISECONDS)) {
        LOG.warn("The MQTT port of {} has not closed within {} s.", clientId, longest.toSeconds());
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  // From the client library's threads.

  /** Puts work in the port's thread; after the port has closed there is none to do. */
  void run(Runnable work) {
    try {
      thread.execute(() -> guarded(work));
    } catch (RejectedExecutionException e) {
      LOG.debug("Late news for the closed MQTT port of {}.", clientId, e);
    }
  }

  private void later(Runnable work, long millis) {
    var unused = thread.schedule(() -> guarded(work), millis, TimeUnit.MILLISECONDS);
  }

  /** The executor would keep an exception to itself. */
  private void guarded(Runnable work) {
    try {
      work.run();
    } catch (RuntimeException e) {
      LOG.error("The MQTT port of {} failed.", clientId, e);
    }
  }

  void arrived(PahoAttempt attempt, Message message) {
    if (message.payload().length > PahoBroker.PAYLOAD_LIMIT) {
      drops.oversized.increment();
    } else if (!listener.wants(message.topic())) {
      drops.strange.increment();
    } else if (!handOverAtOnce(attempt, message)) {
      switch (attempt.mailbox().put(message)) {
        case TAKEN -> run(() -> handOver(attempt));
        case TAKEN_FOR_AN_OLDER, REFUSED -> drops.overflow.increment();
      }
    }
  }

  /**
   * On a standing link with nothing waiting a message need not change threads once more, which
   * costs a tenth of a millisecond, and on a busy machine much more (measured).
   */
  private boolean handOverAtOnce(PahoAttempt attempt, Message message) {
    synchronized (hearing) {
      Optional<PahoAttempt> link = live;
      boolean stands = link.isPresent() && link.get() == attempt && !closing.get();
      if (!stands || attempt.mailbox().size() > 0) {
        return false;
      }
      hear(message);
      return true;
    }
  }

  /** The broker has said no to a subscription. */
  void deaf(String filter, int reasonCode) {
    drops.refused.increment();
    LOG.warn(
        "The broker lets {} hear nothing of {} (reason code {}). Look at its access list.",
        clientId,
        filter,
        reasonCode);
  }

  /** The broker has said no to a message that was sent. */
  void refused(String topic, int reasonCode) {
    if (drops.refused.sum() == 0) {
      LOG.warn(
          "The broker refuses what {} publishes to {} (reason code {}). Look at its access list and"
              + " limits; more of this is only counted.",
          clientId,
          topic,
          reasonCode);
    }
    drops.refused.increment();
  }

  // On the port's thread.

  private void attempt() {
    if (finished || closing.get()) {
      return;
    }
    PahoAttempt attempt = new PahoAttempt(this, url, clientId);
    current = Optional.of(attempt);
    try {
      attempt.start(settings, will, firstConnect);
      later(() -> tooLong(attempt), settings.connectSeconds() * 1_000L);
    } catch (MqttException e) {
      lost(attempt, PahoBroker.reason(e), false);
    }
  }

  private void tooLong(PahoAttempt attempt) {
    if (isCurrent(attempt) && live.isEmpty()) {
      lost(attempt, "no answer within " + settings.connectSeconds() + " s", false);
    }
  }

  private boolean isCurrent(PahoAttempt attempt) {
    return current.isPresent() && current.get() == attempt;
  }

  /** The broker has taken the client in, or a message shows that it has. */
  void up(PahoAttempt attempt) {
    if (!isCurrent(attempt) || live.isPresent() || closing.get()) {
      return;
    }
    LOG.info("{} is connected to the broker at {}.", clientId, url);
    // Before anybody may publish: what the client sends itself shall reach its own subscriptions.
    // Retain handling 0 the first time, 1 later: on a resumed session only new subscriptions bring
    // retained messages (OASIS MQTT Version 5.0, 3.8.3.1, from memory).
    filters.forEach((filter, qos) -> attempt.subscribe(filter, qos, firstConnect));
    firstConnect = false;
    later(() -> steady(attempt), STEADY_SECONDS * 1_000);
    synchronized (hearing) {
      live = current;
      tell(true); // before a message is handed over
    }
  }

  private void steady(PahoAttempt attempt) {
    if (isCurrent(attempt)) {
      backOff.reset();
    }
  }

  /** An attempt has failed or a link is gone. */
  void lost(PahoAttempt attempt, String reason, boolean takenOver) {
    if (!isCurrent(attempt) || closing.get()) {
      return;
    }
    boolean wasUp = live.isPresent();
    noLonger();
    current = Optional.empty();
    drops.unsent.add(attempt.giveUpQueue());
    drops.unacknowledged.add(attempt.underWay());
    discard(attempt);
    finished = takenOver;
    if (takenOver) {
      LOG.warn(
          "Another client took the place of {} at {}; this one stays away, since two with one"
              + " client id would throw each other out for ever.",
          clientId,
          url);
    } else {
      long pause = backOff.pauseMillis();
      LOG.info("{} has no link to {} ({}); next attempt in {} ms.", clientId, url, reason, pause);
      later(this::attempt, pause);
    }
    if (wasUp) {
      tell(false);
    }
  }

  private void handOver(PahoAttempt attempt) {
    up(attempt);
    if (!closing.get() && isCurrent(attempt)) {
      synchronized (hearing) {
        // There is one turn for each message that waits.
        var unused = attempt.mailbox().deliver(this::hear);
      }
    }
  }

  private void hear(Message message) {
    try {
      listener.message(message);
    } catch (RuntimeException e) {
      drops.failed.increment();
      LOG.error("The listener of {} failed on a message to {}.", clientId, message.topic(), e);
    }
  }

  /** From here on nothing is handed over at once. */
  private void noLonger() {
    synchronized (hearing) {
      live = Optional.empty();
    }
  }

  private void tell(boolean isUp) {
    try {
      synchronized (hearing) {
        listener.link(isUp);
      }
    } catch (RuntimeException e) {
      LOG.error("The listener of {} failed on news of its link.", clientId, e);
    }
  }

  private void leave() {
    finished = true;
    Optional<PahoAttempt> link = live;
    noLonger();
    if (link.isPresent()) {
      later(this::end, FAREWELL_SECONDS * 1_000);
      link.get().farewell(FAREWELL_SECONDS);
    } else {
      end();
    }
  }

  /** The farewell has been said, or is given up. */
  void end() {
    current.ifPresent(PahoPort::discard);
    current = Optional.empty();
    thread.shutdown();
  }

  /** On a thread of its own, since the client library may wait for its threads here. */
  private static void discard(PahoAttempt attempt) {
    daemon("islet-mqtt-disposal", attempt::discard).start();
  }
}
