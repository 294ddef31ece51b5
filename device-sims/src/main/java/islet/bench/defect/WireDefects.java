package islet.bench.defect;

import static islet.bench.defect.Defect.Part.AUTHORITY;

import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.Topics;
import islet.control.SiteSupervisor;
import islet.executive.Duty;
import islet.site.Site;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.function.Consumer;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** What can go wrong between the orders and the wire. */
final class WireDefects {

  static final List<Defect> ALL =
      List.of(
          Defect.saying(
              "lifetime-in-milliseconds",
              "Lifetime of commands in the wrong unit",
              "A command's lifetime is written in milliseconds where the contract asks for seconds:"
                  + " an order of 3 s is good for 50 minutes.",
              AUTHORITY,
              site -> WireDefects::longLived),
          new Defect(
              "two-sessions",
              "Two sessions at the broker",
              "The link is opened a second time under another name before the first one is closed,"
                  + " and commands go out over whichever is free: to the devices these are two"
                  + " supervisors.",
              AUTHORITY,
              SiteSupervisor::new,
              (honest, site) -> new TwoSessions(honest)),
          new Defect(
              "second-does-not-wait",
              "A second supervisor does not stay silent",
              "A second supervisor listens on a filter that the first one's words do not match, so"
                  + " it takes command at once, and under a name of its own the broker lets it.",
              AUTHORITY,
              SiteSupervisor::new,
              DeafSecond::new));

  private static final Pattern LIFETIME = Pattern.compile("\"lifetimeS\":([0-9.]+)");
  private static final int PER_SECOND = 1000;

  private WireDefects() {}

  private static void longLived(Message message, Consumer<Message> wire) {
    String payload = new String(message.payload(), StandardCharsets.UTF_8);
    Matcher lifetime = LIFETIME.matcher(payload);
    if (!lifetime.find()) {
      wire.accept(message);
      return;
    }
    BigDecimal longer = new BigDecimal(lifetime.group(1)).multiply(BigDecimal.valueOf(PER_SECOND));
    String spoilt = lifetime.replaceFirst("\"lifetimeS\":" + longer.toPlainString());
    wire.accept(
        new Message(
            message.topic(),
            spoilt.getBytes(StandardCharsets.UTF_8),
            message.qos(),
            message.retain(),
            message.expirySeconds() * PER_SECOND,
            message.responseTopic(),
            message.correlation()));
  }

  /** Commands go out over the one session and the other in turn. */
  private record TwoSessions(Port.Broker honest) implements Port.Broker {

    private static final String COMMAND = "/" + Kind.COMMAND.segment();
    private static final Message NO_WILL = Message.of("", new byte[0], 0, false);
    private static final Port.Listener DEAF =
        new Port.Listener() {
          @Override
          public void message(Message message) {}

          @Override
          public void link(boolean up) {}
        };

    @Override
    public Port connect(String clientId, Message will, Port.Listener listener) {
      Port second = honest.connect(clientId + "-again", NO_WILL, DEAF);
      return new InTurn(second).over(honest.connect(clientId, will, listener));
    }

    private static final class InTurn implements Mouth {
      private final Port second;
      private boolean turn;

      InTurn(Port second) {
        this.second = second;
      }

      @Override
      public void say(Message message, Consumer<Message> wire) {
        turn ^= message.topic().endsWith(COMMAND);
        if (turn && message.topic().endsWith(COMMAND)) {
          second.publish(message);
        } else {
          wire.accept(message);
        }
      }
    }
  }

  /** Who comes second does not hear the supervisor's own topics. */
  private static final class DeafSecond implements Port.Broker {

    private final Port.Broker honest;
    private final String first;
    private final String told;
    private final String online;
    private boolean firstIsThere;

    DeafSecond(Port.Broker honest, Site site) {
      this.honest = honest;
      first = Duty.clientId(site);
      Topics topics = new Topics(site.id());
      told = topics.of(Device.SUPERVISOR, Kind.TELEMETRY);
      online = topics.of(Device.SUPERVISOR, Kind.ONLINE);
    }

    @Override
    public Port connect(String clientId, Message will, Port.Listener listener) {
      if (!firstIsThere && clientId.equals(first)) {
        firstIsThere = true;
        return honest.connect(clientId, will, listener);
      }
      String own = clientId.equals(first) ? first + "-too" : clientId;
      return honest.connect(own, will, deaf(listener));
    }

    private Port.Listener deaf(Port.Listener listener) {
      return new Port.Listener() {
        @Override
        public void message(Message message) {
          if (!message.topic().equals(told) && !message.topic().equals(online)) {
            listener.message(message);
          }
        }

        @Override
        public void link(boolean up) {
          listener.link(up);
        }

        @Override
        public boolean wants(String topic) {
          return listener.wants(topic);
        }
      };
    }
  }
}
