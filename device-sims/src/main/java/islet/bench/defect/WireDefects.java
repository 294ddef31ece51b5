package islet.bench.defect;

import static islet.bench.defect.Defect.Part.AUTHORITY;

import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.Port;
import islet.control.SiteSupervisor;
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
              (honest, site) -> new TwoSessions(honest)));

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
}
