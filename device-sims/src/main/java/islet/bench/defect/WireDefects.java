package islet.bench.defect;

import static islet.bench.defect.Defect.Part.AUTHORITY;

import islet.contract.Message;
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
              site -> WireDefects::longLived));

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
}
