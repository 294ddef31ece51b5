package islet.executive;

import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Online;
import islet.contract.Port;
import islet.contract.Topics;
import islet.control.Supervisor;
import islet.executive.journal.Entry;
import islet.executive.journal.Journal;
import islet.site.Site;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Executor;
import java.util.function.Function;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * One supervisor at a time. Every instance begins as an observer: it listens and thinks, and says
 * nothing. It takes command when nobody has it, and goes back to observing when another takes it.
 *
 * <p><b>Never two at once</b> is the broker's promise, not a matter of timing: who commands is
 * connected under the one client id that a site's supervisor has, and a broker has at most one
 * client of a name (OASIS MQTT Version 5.0, 3.1.4, from memory). Of two that start in the same
 * instant the later connection ends the earlier one.
 *
 * <p><b>When it takes command</b>: at its start, when the broker's retained word says that no
 * supervisor is there; or when the one that it has heard, or that is said to be there, has been
 * silent on a standing link for the site's link time-out, after which the devices are on their own.
 *
 * <p><b>When its link is lost</b> it does not know whether the link broke or another took its name,
 * for not every broker says so. It never comes back under that name unasked, or two would throw
 * each other out for ever: it listens under a name of its own first, to the devices too. When
 * another speaks it observes; when nobody does it goes on as if nothing had been. After the link
 * time-out it does not go on but observes, since another may have commanded meanwhile.
 *
 * <p>Whoever takes command starts as after a restart: what the field cannot tell comes from the
 * observer's own memory, the rest from telemetry.
 */
public final class Duty implements Turn {

  /** Whether an instance commands. */
  public enum Role {
    /** Listens and thinks, says nothing. */
    OBSERVING,
    /** Commands the devices. */
    COMMANDING,
    /** Has commanded until its link was lost, and listens whether another does now. */
    DOUBTING
  }

  private static final Logger LOG = LoggerFactory.getLogger(Duty.class);

  /** So long a new link is listened to before its silence means anything. */
  private static final long LISTEN_MICROS = 500_000;

  /** Who commands is heard at each heartbeat; two may be lost. */
  private static final double PATIENCE_HEARTBEATS = 2.5;

  private static final Message NO_WILL = Message.of("", new byte[0], 0, false);

  private static final long NEVER = Long.MIN_VALUE / 2;

  private final Site site;
  private final Function<Site, Supervisor> logic;
  private final Port.Broker broker;
  private final Clock clock;
  private final String instance;
  private final Journal journal;
  private final boolean onlyObserves;
  private final long timeoutMicros;
  private final long patienceMicros;
  private final Topics topics;
  private final String telemetryTopic;
  private final String onlineTopic;

  private Executor thinker = Runnable::run;
  private Role role = Role.OBSERVING;
  private Optional<Port> ear = Optional.empty();
  private Executive executive;
  private long upSince = NEVER;
  private boolean wasUp;
  private long since;
  private long heardAt = NEVER;
  private boolean online;
  private int connections;
  private int leaving;
  private Optional<Executive> former = Optional.empty();

  /**
   * Begins to observe.
   *
   * @param logic makes a supervisor that has not scanned yet
   * @param instance a name that no other instance at this broker has: letters, digits, hyphens
   * @param past what the predecessor wanted kept; empty for none
   * @param onlyObserves whether it never takes command
   */
  @SuppressWarnings("this-escape") // the port calls back later, on the scan's own thread
  public Duty(
      Site site,
      Function<Site, Supervisor> logic,
      Port.Broker broker,
      Clock clock,
      String instance,
      Journal journal,
      Map<String, String> past,
      boolean onlyObserves) {
    this.site = site;
    this.logic = logic;
    this.broker = broker;
    this.clock = clock;
    this.instance = instance;
    this.journal = journal;
    this.onlyObserves = onlyObserves;
    timeoutMicros = Math.round(site.supervision().linkTimeoutS() * 1e6);
    patienceMicros = Math.round(site.supervision().heartbeatS() * PATIENCE_HEARTBEATS * 1e6);
    topics = new Topics(site.id());
    telemetryTopic = topics.of(Device.SUPERVISOR, Kind.TELEMETRY);
    onlineTopic = topics.of(Device.SUPERVISOR, Kind.ONLINE);
    since = clock.micros();
    executive = observer(past);
  }

  /** The client id under which a site's supervisor commands. */
  public static String clientId(Site site) {
    return new Topics(site.id()).of(Device.SUPERVISOR, Kind.STATE).replace('/', '-');
  }

  private Executive observer(Map<String, String> past) {
    return make(clientId(site) + "-" + instance, past, true);
  }

  private Executive make(String clientId, Map<String, String> past, boolean observes) {
    Executive made =
        new Executive(
            site, logic.apply(site), this::connect, clock, clientId, journal, past, observes);
    made.thinkWith(thinker);
    return made;
  }

  /** Who thinks beside the scans, instead of between two of them. */
  public void thinkWith(Executor other) {
    thinker = other;
    executive.thinkWith(other);
  }

  private Port connect(String clientId, Message will, Port.Listener listener) {
    return broker.connect(clientId, will, overhearing(listener, ++connections));
  }

  /**
   * Hears what another supervisor says, before the executive does. What still comes over a
   * connection that has been left concerns nobody.
   */
  private Port.Listener overhearing(Port.Listener listener, int connection) {
    return new Port.Listener() {
      @Override
      public void message(Message message) {
        if (connection == connections) {
          hear(message);
          listener.message(message);
        } else if (connection == leaving) {
          listener.message(message);
        }
      }

      @Override
      public boolean wants(String topic) {
        return topic.equals(telemetryTopic) || topic.equals(onlineTopic) || listener.wants(topic);
      }

      @Override
      public void link(boolean up) {
        if (connection == connections) {
          upSince = up ? clock.micros() : NEVER;
          wasUp |= up;
          listener.link(up);
        }
      }
    };
  }

  private void hear(Message message) {
    if (role == Role.COMMANDING) {
      return;
    }
    if (message.topic().equals(telemetryTopic)) {
      heardAt = clock.micros();
    } else if (message.topic().equals(onlineTopic)) {
      try {
        online = Online.LAYOUT.decode(message.payload()).online();
        if (online && !message.retain()) {
          heardAt = clock.micros();
        }
      } catch (MalformedException e) {
        LOG.debug("an unreadable message on {}", onlineTopic, e);
      }
    }
  }

  /** One scan, all of it, and a change of role when it is time. */
  public void scan() {
    act();
    tell();
  }

  /** One scan up to its orders, and a change of role when it is time. */
  @Override
  public void act() {
    long now = clock.micros();
    switch (role) {
      case OBSERVING -> {
        if (mayTake(now)) {
          take(now);
        }
      }
      case COMMANDING -> {
        if (wasUp) {
          letGo();
        }
        boolean broken = wasUp && upSince == NEVER;
        if (broken || (!wasUp && now - since > patienceMicros)) {
          doubt(now);
        }
      }
      case DOUBTING -> resolve(now);
    }
    executive.act();
  }

  @Override
  public void tell() {
    executive.tell();
  }

  @Override
  public boolean urgent() {
    return role == Role.COMMANDING && executive.urgent();
  }

  private boolean mayTake(long now) {
    if (onlyObserves || upSince == NEVER || now - upSince < LISTEN_MICROS) {
      return false;
    }
    boolean nobody = heardAt == NEVER && !online;
    return nobody || now - Math.max(heardAt, upSince) > timeoutMicros;
  }

  private void take(long now) {
    String why =
        heardAt == NEVER ? "no other supervisor is there" : "the other supervisor has gone silent";
    Map<String, String> past = executive.keepsake();
    Executive observer = executive;
    int heardOver = connections;
    become(Role.COMMANDING, why, now);
    executive = make(clientId(site), past, false);
    executive.inherit(observer);
    // Telemetry comes once a second; none is to be missed while the new link comes up.
    leaving = heardOver;
    former = Optional.of(observer);
    executive.announce(
        "duty", Role.OBSERVING.name(), Role.COMMANDING.name(), why + ", " + instance);
  }

  /** The observer that this instance was until its new link stood. */
  private void letGo() {
    former.ifPresent(Executive::giveWay);
    former = Optional.empty();
    leaving = 0;
  }

  private void doubt(long now) {
    letGo();
    executive.giveWay();
    become(Role.DOUBTING, "the link is lost", now);
    Port listening = connect(clientId(site) + "-" + instance, NO_WILL, devices(executive));
    listening.subscribe(topics.fromAll(Kind.TELEMETRY), 0);
    listening.subscribe(topics.fromAll(Kind.ONLINE), 1);
    ear = Optional.of(listening);
  }

  /**
   * What the devices say meanwhile, so that whoever goes on does not order by a picture that has
   * grown old: the first order would be to stop charging.
   */
  private static Port.Listener devices(Executive listens) {
    return new Port.Listener() {
      @Override
      public void message(Message message) {
        listens.message(message);
      }

      @Override
      public void link(boolean up) {}

      @Override
      public boolean wants(String topic) {
        return listens.wants(topic);
      }
    };
  }

  private void resolve(long now) {
    boolean nobody =
        upSince != NEVER
            && (online ? now - upSince > patienceMicros : now - upSince >= LISTEN_MICROS);
    if (heardAt != NEVER) {
      leave(now, "another supervisor has taken command");
    } else if (now - since > timeoutMicros) {
      leave(now, "the link has been lost for too long");
    } else if (nobody) {
      closeEar();
      become(Role.COMMANDING, "no other supervisor has taken command", now);
      executive.comeBack();
    }
  }

  private void leave(long now, String why) {
    Map<String, String> past = executive.keepsake();
    closeEar();
    become(Role.OBSERVING, why, now);
    executive = observer(past);
  }

  private void closeEar() {
    ear.ifPresent(Port::close);
    ear = Optional.empty();
  }

  private void become(Role next, String why, long now) {
    var unused =
        journal.note(
            Entry.Kind.EVENT,
            now,
            Notes.fields("what", "duty", "from", role.name(), "to", next.name(), "why", why),
            false);
    role = next;
    upSince = NEVER;
    since = now;
    wasUp = false;
    heardAt = NEVER;
    online = false;
    LOG.info("{} is {} now: {}.", instance, next, why);
  }

  /** Whether this instance commands at present. */
  public Role role() {
    return role;
  }

  /** Whether the present link stands. */
  public boolean linked() {
    return upSince != NEVER;
  }

  /** The executive of the present role. */
  public Executive executive() {
    return executive;
  }

  /** Leaves in good order; another may take command at once it starts. */
  public void close() {
    letGo();
    closeEar();
    executive.close();
  }
}
