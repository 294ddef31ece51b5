package islet.cli.document;

import islet.contract.Field;
import islet.contract.Layout;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Messages with one thing changed, by chance from a seed: a value for another, a field away, twice,
 * renamed or added, the text cut, a byte turned. Works on the text alone and knows neither the
 * reader nor the schema.
 */
final class Mutations {

  /** Values of every kind, and those around which readers differ. */
  private static final List<String> VALUES =
      List.of(
          "null",
          "true",
          "false",
          "0",
          "-0",
          "-1",
          "1.0",
          "1e2",
          "1E-2",
          "0.5",
          "1e999",
          "-1e999",
          "9007199254740992",
          "9007199254740993",
          "9223372036854775808",
          "00",
          "+1",
          ".5",
          "1.",
          "NaN",
          "Infinity",
          "\"\"",
          "\"1\"",
          "\"NONE\"",
          "\"none\"",
          "\"ACCEPTED\"",
          "\"2026-02-29T00:00:00.000Z\"",
          "\"2024-02-29T23:59:59.999Z\"",
          "\"2100-02-29T00:00:00.000Z\"",
          "\"2400-02-29T00:00:00.000Z\"",
          "\"1969-12-31T23:59:59.999Z\"",
          "\"1970-01-01T00:00:00.000Z\"",
          "\"9999-12-31T23:59:59.999Z\"",
          "\"2026-04-31T00:00:00.000Z\"",
          "\"2026-13-01T00:00:00.000Z\"",
          "\"2026-01-14T24:00:00.000Z\"",
          "\"2026-01-14T21:60:00.000Z\"",
          "\"2026-01-14T21:00:60.000Z\"",
          "\"2026-01-14T21:00:00Z\"",
          "\"2026-01-14T21:00:00.000+00:00\"",
          "\"2026-01-14t21:00:00.000z\"",
          "\"2026-01-14T21:00:00.000Z\\n\"",
          "\"2026-01-14T21:00:00.0٠0Z\"",
          "\"half \\ud83d\"",
          "\"whole \\ud83d\\ude00\"",
          "\"\\u0000\"",
          "\"\t\"",
          "[]",
          "[1]",
          "{}",
          "{\"a\":1}",
          "");

  /** A name and a value without nesting; texts of these messages hold no quotes. */
  private static final Pattern PAIR =
      Pattern.compile("\"([A-Za-z]+)\":(\"(?:[^\"\\\\]|\\\\.)*\"|[^,\"{}]+)");

  private final Random random;

  Mutations(long seed) {
    random = new Random(seed);
  }

  /** A message of this layout with something changed, or, now and then, nothing. */
  byte[] of(String message, Layout<?> layout) {
    List<String> names = new ArrayList<>();
    List<String> values = new ArrayList<>();
    Matcher pair = PAIR.matcher(message);
    while (pair.find()) {
      names.add(pair.group(1));
      values.add(pair.group(2));
    }
    int i = random.nextInt(names.size());
    Field field = layout.fields().get(random.nextInt(layout.fields().size()));
    switch (random.nextInt(14)) {
      case 0, 1, 2 -> values.set(i, VALUES.get(random.nextInt(VALUES.size())));
      case 3, 4 -> set(names, values, field, near(field));
      case 5 -> {
        names.remove(i);
        values.remove(i);
      }
      case 6 -> {
        names.add(names.get(i));
        values.add(random.nextBoolean() ? values.get(i) : "0");
      }
      case 7 -> names.set(i, names.get(i) + "x");
      case 8 -> {
        names.add(random.nextInt(names.size()), "other" + random.nextInt(100));
        values.add(random.nextInt(values.size()), unknown());
      }
      case 9 -> values.set(i, text(random.nextInt(600)));
      case 10 -> {
        return cut(joined(names, values));
      }
      case 11 -> {
        return turned(joined(names, values));
      }
      case 12 -> {
        String around = random.nextBoolean() ? " \n" : "x";
        return utf8(joined(names, values) + around);
      }
      default -> {
        String space = random.nextBoolean() ? " " : "\r\n\t ";
        return utf8(joined(names, values).replace(":", space + ":" + space));
      }
    }
    return utf8(joined(names, values));
  }

  private static void set(List<String> names, List<String> values, Field field, String value) {
    int at = names.indexOf(field.name());
    if (at >= 0) {
      values.set(at, value);
    }
  }

  /** Just inside, on or just outside what a field allows. */
  private String near(Field field) {
    return switch (field.type()) {
      case NUMBER, WHOLE -> {
        long bound = (long) (random.nextBoolean() ? field.minimum() : field.maximum());
        yield switch (random.nextInt(6)) {
          case 0 -> Long.toString(bound - 1);
          case 1 -> Long.toString(bound + 1);
          case 2 -> bound + ".0";
          case 3 -> bound + ".000000000000000000001";
          case 4 -> bound + "e0";
          default -> Long.toString(bound);
        };
      }
      case TEXT -> text((int) field.maximum() - 1 + random.nextInt(3));
      case WORD ->
          "\""
              + field.words()[random.nextInt(field.words().length)]
              + (random.nextInt(4) == 0 ? " \"" : "\"");
      case FLAG -> random.nextBoolean() ? "true" : "True";
      case INSTANT -> "\"20" + (10 + random.nextInt(90)) + "-02-29T00:00:00.000Z\"";
    };
  }

  /** A text of so many UTF-16 units, now and then of pairs of them. */
  private String text(int units) {
    boolean pairs = random.nextInt(3) == 0;
    StringBuilder text = new StringBuilder("\"");
    while (text.length() <= units) {
      text.append(pairs && text.length() < units ? "😀" : "a");
    }
    return text.append('"').toString();
  }

  private String unknown() {
    return switch (random.nextInt(5)) {
      case 0 -> "[".repeat(20) + "]".repeat(20);
      case 1 -> "\"" + "a".repeat(5000) + "\"";
      case 2 -> "1".repeat(80);
      case 3 -> "\"" + "a".repeat(3000) + "\",\"b\":\"" + "b".repeat(4000) + "\"";
      default -> "{\"deep\":[1,{\"er\":null}]}";
    };
  }

  private static String joined(List<String> names, List<String> values) {
    StringBuilder text = new StringBuilder("{");
    for (int i = 0; i < names.size(); i++) {
      text.append(i == 0 ? "\"" : ",\"").append(names.get(i)).append("\":").append(values.get(i));
    }
    return text.append('}').toString();
  }

  private byte[] cut(String text) {
    byte[] whole = utf8(text);
    return Arrays.copyOf(whole, random.nextInt(whole.length));
  }

  private byte[] turned(String text) {
    byte[] bytes = utf8(text);
    bytes[random.nextInt(bytes.length)] = (byte) random.nextInt(256);
    return bytes;
  }

  private static byte[] utf8(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
