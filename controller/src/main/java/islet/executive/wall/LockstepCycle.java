package islet.executive.wall;

import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.Scanned;
import islet.contract.Step;
import islet.contract.StepCall;
import islet.contract.Topics;
import islet.control.Supervisor;
import islet.executive.Executive;
import islet.site.Site;
import java.util.ArrayDeque;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.function.Function;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Scans when a bench calls for it, instead of by the wall clock. Between two calls simulated time
 * stands still, so it does not matter how long a scan takes. The instant of the call is the clock.
 *
 * <p>The bench's messages are counted, and a scan waits until as many have come as the call says.
 * What the scan had to say is counted too, and the answer says how much it was.
 */
public final class LockstepCycle implements Port.Listener {

  /** Ends the run of a thread that waits. */
  private static final Message NOTHING = Message.of("", new byte[0], 0, false);

  /** What a bench sends; our own words come back as well, and do not count. */
  private static final List<Device> DEVICES =
      List.of(Device.REGULATOR, Device.INVERTER, Device.CHARGER, Device.TIE, Device.METER);

  private static final List<Kind> TOLD = List.of(Kind.TELEMETRY, Kind.STATE, Kind.ONLINE, Kind.ACK);

  private static final Logger LOG = LoggerFactory.getLogger(LockstepCycle.class);

  private static final double MILLIS_PER_SECOND = 1_000;

  private final Site site;
  private final Function<Site, Supervisor> logic;
  private final String name;
  private final Topics topics;
  private final String stepTopic;
  private final Set<String> fromBench = new HashSet<>();
  private final String clientId;
  private final Port port;
  private final LinkedBlockingQueue<Message> queue = new LinkedBlockingQueue<>();
  private final ArrayDeque<Message> come = new ArrayDeque<>();
  private volatile boolean stopped;

  private Optional<Step> called = Optional.empty();
  private Optional<Executive> executive = Optional.empty();
  private Port.Listener listener = this;
  private long now;
  private long heard;
  private long sent;
  private long answers;

  /**
   * Connects under the supervisor's name.
   *
   * @param logic makes a supervisor that has not scanned yet
   * @param name whose logic it is, for the verdict
   */
  @SuppressWarnings("this-escape") // the port's thread only fills a queue
  public LockstepCycle(
      Site site, Function<Site, Supervisor> logic, String name, Port.Broker broker) {
    this.site = site;
    this.logic = logic;
    this.name = name;
    topics = new Topics(site.id());
    stepTopic = topics.of(Device.BENCH, Kind.STEP);
    for (Device device : DEVICES) {
      for (Kind kind : TOLD) {
        fromBench.add(topics.of(device, kind));
      }
    }
    fromBench.add(topics.of(Device.SUPERVISOR, Kind.COMMAND));
    clientId = topics.of(Device.SUPERVISOR, Kind.STATE).replace('/', '-');
    port = broker.connect(clientId, topics.will(Device.SUPERVISOR), this);
    // One subscription at QoS 1 for all: with several that overlap a broker may send copies.
    port.subscribe(topics.everything(), 1);
  }

  @Override
  public void message(Message message) {
    queue.add(message);
  }

  @Override
  public void link(boolean up) {
    LOG.info("The link to the broker is {}.", up ? "up" : "down");
  }

  /**
   * Scans at each call until the bench ends the run or {@link #stop} is called.
   *
   * @return whether the bench ended it
   */
  public boolean run() throws InterruptedException {
    while (!stopped) {
      take(queue.take());
      if (called.isPresent() && heard >= called.get().messages()) {
        Step step = called.get();
        called = Optional.empty();
        if (!obey(step)) {
          return true;
        }
      }
    }
    return false;
  }

  private void take(Message message) {
    String topic = message.topic();
    if (message.retain() || topic.isEmpty()) {
      return; // from before the run, or only to wake this thread
    }
    if (topic.equals(stepTopic)) {
      try {
        called = Optional.of(Step.LAYOUT.decode(message.payload()));
        if (called.get().call() == StepCall.BEGIN) {
          heard = 0;
        }
      } catch (MalformedException e) {
        LOG.warn("dropped a message on {}: {}", topic, e.getMessage());
      }
    } else if (fromBench.contains(topic)) {
      heard++;
      come.add(message);
    }
  }

  /** Whether there is more to come. */
  private boolean obey(Step step) {
    now = step.at();
    switch (step.call()) {
      case BEGIN -> {
        come.clear();
        sent = 0;
        executive =
            Optional.of(new Executive(site, logic.apply(site), counting(), () -> now, clientId));
        listener.link(true);
        answer(step);
      }
      case SCAN -> {
        while (!come.isEmpty()) {
          listener.message(come.remove());
        }
        executive.ifPresent(Executive::scan);
        answer(step);
      }
      case END -> {
        return false;
      }
    }
    return true;
  }

  private void answer(Step step) {
    long nextMs = Math.round(site.supervision().scanS() * MILLIS_PER_SECOND);
    Scanned scanned = new Scanned(answers++, now, step.seq(), sent, nextMs, name);
    port.publish(
        Message.of(
            topics.of(Device.SUPERVISOR, Kind.SCANNED),
            Scanned.LAYOUT.encode(scanned),
            Kind.SCANNED.qos(),
            false));
  }

  /** The executive's way out: everything is counted but presence, which is no matter of a scan. */
  private Port.Broker counting() {
    String online = topics.of(Device.SUPERVISOR, Kind.ONLINE);
    return (client, will, executivesListener) -> {
      listener = executivesListener;
      return new Port() {
        @Override
        public void publish(Message message) {
          if (!message.topic().equals(online)) {
            sent++;
          }
          // At QoS 1: the bench counts, and a lost one would end the run.
          port.publish(
              new Message(
                  message.topic(),
                  message.payload(),
                  1,
                  message.retain(),
                  message.expirySeconds(),
                  message.responseTopic(),
                  message.correlation()));
        }

        @Override
        public void subscribe(String filter, int qos) {
          // Everything of the site is subscribed to already.
        }

        @Override
        public boolean connected() {
          return port.connected();
        }

        @Override
        public void close() {
          // The cycle's own port closes.
        }
      };
    };
  }

  /** Ends after the scan at hand. From any thread. */
  public void stop() {
    stopped = true;
    queue.add(NOTHING);
  }

  /** Leaves the broker in good order. */
  public void close() {
    executive.ifPresent(Executive::close);
    port.close();
  }
}
