package islet.contract;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;

/** All layouts of the contract, and JSON for them that is written without the codec. */
final class Layouts {

  static final List<Layout<? extends Record>> ALL =
      List.of(
          RegulatorTelemetry.LAYOUT,
          InverterTelemetry.LAYOUT,
          TieTelemetry.LAYOUT,
          MeterTelemetry.LAYOUT,
          SupervisorTelemetry.LAYOUT,
          RegulatorCommand.LAYOUT,
          InverterCommand.LAYOUT,
          TieCommand.LAYOUT,
          MeterCommand.LAYOUT,
          SupervisorCommand.LAYOUT,
          Ack.LAYOUT,
          Alarm.LAYOUT,
          Event.LAYOUT,
          DeviceState.LAYOUT,
          Online.LAYOUT,
          Step.LAYOUT,
          Scanned.LAYOUT,
          BenchCommand.LAYOUT,
          BenchState.LAYOUT,
          BenchTelemetry.LAYOUT,
          BenchMargin.LAYOUT,
          BenchLedger.LAYOUT,
          BenchEvent.LAYOUT);

  private static final DateTimeFormatter MILLIS =
      DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss.SSS'Z'", Locale.ROOT)
          .withZone(ZoneOffset.UTC);

  /** One of the letters is a pair of surrogates. */
  private static final int MOST_CHARS = 2;

  private static final String[] LETTERS = {
    "a", "Z", "0", "-", ",", " ", "\"", "\\", "/", "\n", "\u0001", "°", "é", "世", "😀"
  };

  private Layouts() {}

  /** A value within a field's range, as JSON. */
  static String value(Field field, Random random) {
    return switch (field.type()) {
      case NUMBER -> number(field, random);
      case WHOLE -> {
        long most = (long) field.maximum();
        long least = (long) field.minimum();
        long some = least + Math.floorMod(random.nextLong(), most - least);
        yield Long.toString(random.nextBoolean() ? most : some);
      }
      case FLAG -> Boolean.toString(random.nextBoolean());
      case WORD -> '"' + field.words()[random.nextInt(field.words().length)] + '"';
      case TEXT -> {
        StringBuilder text = new StringBuilder();
        int letters = random.nextInt((int) Math.min(12, field.maximum() / MOST_CHARS + 1));
        for (int i = 0; i < letters; i++) {
          text.append(LETTERS[random.nextInt(LETTERS.length)]);
        }
        yield quoted(text.toString());
      }
      case INSTANT -> {
        long millis = Math.floorMod(random.nextLong(), IsoTime.MAXIMUM / 1000);
        yield '"' + MILLIS.format(Instant.ofEpochMilli(millis)) + '"';
      }
    };
  }

  private static String number(Field field, Random random) {
    int draw = random.nextInt(8);
    double value =
        switch (draw) {
          case 0 -> field.minimum();
          case 1 -> field.maximum();
          default -> field.minimum() + random.nextDouble() * (field.maximum() - field.minimum());
        };
    BigDecimal rounded =
        new BigDecimal(value).setScale(field.decimals(), RoundingMode.DOWN).stripTrailingZeros();
    return rounded.signum() == 0 ? "0" : rounded.toPlainString();
  }

  /** A JSON string with the shortest escapes (RFC 8259, section 7). */
  static String quoted(String text) {
    StringBuilder out = new StringBuilder("\"");
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      switch (c) {
        case '"' -> out.append("\\\"");
        case '\\' -> out.append("\\\\");
        case '\n' -> out.append("\\n");
        default -> {
          if (c < 0x20) {
            out.append(String.format(Locale.ROOT, "\\u%04X", (int) c));
          } else {
            out.append(c);
          }
        }
      }
    }
    return out.append('"').toString();
  }

  /** One value a field. */
  static List<String> values(Layout<?> layout, Random random) {
    List<String> values = new ArrayList<>();
    for (Field field : layout.fields()) {
      values.add(value(field, random));
    }
    return values;
  }

  /** The object with these values. */
  static String object(Layout<?> layout, List<String> values) {
    StringBuilder out = new StringBuilder("{");
    for (int i = 0; i < values.size(); i++) {
      out.append(i == 0 ? "\"" : ",\"").append(layout.fields().get(i).name()).append("\":");
      out.append(values.get(i));
    }
    return out.append('}').toString();
  }

  static byte[] utf8(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
