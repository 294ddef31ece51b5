package islet.contract;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.fail;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Whatever comes off the wire, a reader answers with a message or with {@link MalformedException}:
 * judged by the contract, which asks for UTF-8, one flat JSON object (RFC 8259), and every field
 * once, finite and in its range.
 */
class BadPayloadTest {

  private static final long SEED = 7;

  static Stream<Layout<? extends Record>> layouts() {
    return Layouts.ALL.stream();
  }

  private static void refused(Layout<?> layout, byte[] payload) {
    try {
      fail(
          "took " + new String(payload, StandardCharsets.UTF_8) + " for " + layout.decode(payload));
    } catch (MalformedException e) {
      assertFalse(String.valueOf(e.getMessage()).isEmpty());
    } catch (RuntimeException e) {
      fail("threw past the port on " + new String(payload, StandardCharsets.UTF_8), e);
    }
  }

  private static void refused(Layout<?> layout, String payload) {
    refused(layout, Layouts.utf8(payload));
  }

  private static String sample(Layout<?> layout) {
    return Layouts.object(layout, Layouts.values(layout, new Random(SEED)));
  }

  @ParameterizedTest
  @MethodSource("layouts")
  void cutShortAnywhere(Layout<? extends Record> layout) {
    byte[] whole = Layouts.utf8(sample(layout));
    for (int length = 0; length < whole.length; length++) {
      refused(layout, Arrays.copyOf(whole, length));
    }
  }

  @ParameterizedTest
  @MethodSource("layouts")
  void aByteChangedAnywhereIsReadOrRefused(Layout<? extends Record> layout) {
    byte[] whole = Layouts.utf8(sample(layout));
    Random random = new Random(SEED);
    for (int i = 0; i < 4000; i++) {
      byte[] changed = whole.clone();
      changed[random.nextInt(changed.length)] = (byte) random.nextInt(256);
      try {
        reencoded(layout, changed);
      } catch (MalformedException e) {
        assertFalse(String.valueOf(e.getMessage()).isEmpty());
      }
    }
  }

  /** What was read can be sent on: a supervisor passes keys and names from one topic to another. */
  private static <T extends Record> void reencoded(Layout<T> layout, byte[] payload)
      throws MalformedException {
    T message = layout.decode(payload);
    assertEquals(message, layout.decode(layout.encode(message)));
  }

  @ParameterizedTest
  @MethodSource("layouts")
  void eachFieldMissingOrTwice(Layout<? extends Record> layout) {
    List<String> values = Layouts.values(layout, new Random(SEED));
    for (int i = 0; i < values.size(); i++) {
      String pair = '"' + layout.fields().get(i).name() + "\":" + values.get(i);
      String whole = Layouts.object(layout, values);
      refused(layout, whole.replace(pair, "\"other\":0"));
      refused(layout, whole.replace("}", "," + pair + "}"));
    }
  }

  @ParameterizedTest
  @MethodSource("layouts")
  void eachFieldOfAnotherType(Layout<? extends Record> layout) {
    List<String> values = Layouts.values(layout, new Random(SEED));
    for (int i = 0; i < values.size(); i++) {
      for (String wrong : wrong(layout.fields().get(i))) {
        List<String> changed = new ArrayList<>(values);
        changed.set(i, wrong);
        refused(layout, Layouts.object(layout, changed));
      }
    }
  }

  private static List<String> wrong(Field field) {
    List<String> wrong = new ArrayList<>(List.of("null", "{}", "[]", "[1]", "{\"v\":1}", "", "x"));
    switch (field.type()) {
      case NUMBER ->
          wrong.addAll(
              List.of(
                  "true",
                  "\"1\"",
                  "NaN",
                  "Infinity",
                  "-Infinity",
                  "\"NaN\"",
                  "1e999",
                  "-1e999",
                  "0x1",
                  "+1",
                  ".5",
                  "01",
                  "1.",
                  "1" + "0".repeat(400),
                  below(field),
                  above(field)));
      case WHOLE ->
          wrong.addAll(
              List.of(
                  "true",
                  "\"1\"",
                  "1.0",
                  "1e3",
                  "NaN",
                  "-1",
                  Long.toString((1L << 53) + 1),
                  "9223372036854775807",
                  "9223372036854775808",
                  "1" + "0".repeat(60)));
      case FLAG -> wrong.addAll(List.of("0", "1", "\"true\"", "TRUE"));
      case WORD ->
          wrong.addAll(
              List.of(
                  "0",
                  "true",
                  "\"\"",
                  "\"NO_SUCH_WORD\"",
                  '"' + field.words()[0].toLowerCase(java.util.Locale.ROOT) + '"',
                  '"' + field.words()[0] + " \""));
      case TEXT ->
          wrong.addAll(
              List.of(
                  "0",
                  "true",
                  '"' + "x".repeat((int) field.maximum() + 1) + '"',
                  "\"\n\"",
                  "\"\\q\"",
                  "\"\\ud800\"",
                  "\"a\\udc00b\""));
      case INSTANT ->
          wrong.addAll(
              List.of(
                  "0",
                  "1768424400000",
                  "\"\"",
                  "\"2026-01-14T21:00:00Z\"",
                  "\"2026-01-14T21:00:00.000+01:00\"",
                  "\"2026-01-14 21:00:00.000Z\"",
                  "\"2026-02-29T21:00:00.000Z\"",
                  "\"2100-02-29T21:00:00.000Z\"",
                  "\"2026-13-01T21:00:00.000Z\"",
                  "\"2026-00-01T21:00:00.000Z\"",
                  "\"2026-04-31T21:00:00.000Z\"",
                  "\"2026-01-00T21:00:00.000Z\"",
                  "\"2026-01-14T24:00:00.000Z\"",
                  "\"2026-01-14T21:60:00.000Z\"",
                  "\"2026-01-14T21:00:60.000Z\"",
                  "\"2026-01-14T21:00:-1.000Z\"",
                  "\"1969-12-31T23:59:59.999Z\"",
                  "\"+026-01-14T21:00:00.000Z\"",
                  "\"٢٠٢٦-01-14T21:00:00.000Z\""));
    }
    return wrong;
  }

  private static String below(Field field) {
    return Double.toString(Math.nextDown(field.minimum()));
  }

  private static String above(Field field) {
    return Double.toString(Math.nextUp(field.maximum()));
  }

  @ParameterizedTest
  @MethodSource("layouts")
  void anythingButOneFlatObjectOfReasonableSize(Layout<? extends Record> layout) {
    String whole = sample(layout);
    refused(layout, "");
    refused(layout, " ");
    refused(layout, "null");
    refused(layout, "1");
    refused(layout, "\"" + "a".repeat(100) + "\"");
    refused(layout, "{}");
    refused(layout, "[]");
    refused(layout, "[" + whole + "]");
    refused(layout, "{\"" + layout.name() + "\":" + whole + "}");
    refused(layout, whole + whole);
    refused(layout, whole + ",");
    refused(layout, whole + "}");
    refused(layout, "//\n" + whole);
    refused(layout, whole.replace("}", ",}"));
    refused(layout, whole.replace("}", ",\"deep\":" + "[".repeat(5000) + "]".repeat(5000) + "}"));
    refused(layout, whole.replace("}", ",\"" + "n".repeat(300) + "\":1}"));
    refused(layout, whole.replace("}", " ".repeat(Layout.LONGEST) + "}"));
  }

  @ParameterizedTest
  @MethodSource("layouts")
  void anythingButUtf8(Layout<? extends Record> layout) {
    String whole = sample(layout);
    refused(layout, whole.getBytes(StandardCharsets.UTF_16BE));
    refused(layout, whole.getBytes(StandardCharsets.UTF_16LE));
    refused(layout, whole.getBytes(StandardCharsets.UTF_16));
    refused(layout, whole.getBytes(java.nio.charset.Charset.forName("UTF-32BE")));
    for (int[] bytes :
        new int[][] {{0xFF}, {0xC3, '"'}, {0x80}, {0xE2, 0x82}, {0xED, 0xA0, 0x80}}) {
      for (int i = 0; i < layout.fields().size(); i++) {
        if (layout.fields().get(i).type() == Field.Type.TEXT) {
          List<String> values = Layouts.values(layout, new Random(SEED));
          values.set(i, "\"~\"");
          refused(layout, with(Layouts.object(layout, values), bytes));
        }
      }
      refused(layout, with(whole.replace("}", ",\"harbour~s\":1}"), bytes));
    }
  }

  private static byte[] with(String text, int[] bytes) {
    byte[] around = Layouts.utf8(text);
    int place = text.substring(0, text.indexOf('~')).getBytes(StandardCharsets.UTF_8).length;
    byte[] out = new byte[around.length - 1 + bytes.length];
    System.arraycopy(around, 0, out, 0, place);
    for (int i = 0; i < bytes.length; i++) {
      out[place + i] = (byte) bytes[i];
    }
    System.arraycopy(around, place + 1, out, place + bytes.length, around.length - place - 1);
    return out;
  }
}
