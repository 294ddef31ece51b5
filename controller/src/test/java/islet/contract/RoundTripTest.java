package islet.contract;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.lang.reflect.RecordComponent;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Every message against JSON text that was put together without the codec, by RFC 8259, {@code
 * BigDecimal} and {@code java.time}.
 */
class RoundTripTest {

  private static final long SEED = 20260114;

  static Stream<Layout<? extends Record>> layouts() {
    return Layouts.ALL.stream();
  }

  @ParameterizedTest
  @MethodSource("layouts")
  void everyMessageReadsAndWritesAnyValueInItsRange(Layout<? extends Record> layout)
      throws Exception {
    Random random = new Random(SEED);
    for (int i = 0; i < 500; i++) {
      List<String> values = Layouts.values(layout, random);
      String json = Layouts.object(layout, values);
      assertEquals(json, rewritten(layout, json));
      assertComponents(layout, layout.decode(Layouts.utf8(json)), values);
    }
  }

  private static <T extends Record> String rewritten(Layout<T> layout, String json)
      throws MalformedException {
    byte[] bytes = layout.encode(layout.decode(Layouts.utf8(json)));
    return new String(bytes, StandardCharsets.UTF_8);
  }

  /** A field that stood under another's name would still come back as the same text. */
  private static void assertComponents(Layout<?> layout, Record message, List<String> values)
      throws ReflectiveOperationException {
    RecordComponent[] components = message.getClass().getRecordComponents();
    assertEquals(layout.fields().size(), components.length);
    for (int i = 0; i < components.length; i++) {
      Field field = layout.fields().get(i);
      assertEquals(field.name(), components[i].getName());
      String text = values.get(i);
      String inside = text.startsWith("\"") ? text.substring(1, text.length() - 1) : text;
      Object expected =
          switch (field.type()) {
            case NUMBER -> Double.valueOf(text);
            case WHOLE -> Long.valueOf(text);
            case FLAG -> Boolean.valueOf(text);
            case WORD -> inside;
            case TEXT -> text;
            case INSTANT -> Instant.parse(inside).toEpochMilli() * 1000;
          };
      Object found = components[i].getAccessor().invoke(message);
      assertEquals(
          expected,
          found instanceof Enum<?> word
              ? word.name()
              : found instanceof String string ? Layouts.quoted(string) : found);
    }
  }

  @ParameterizedTest
  @MethodSource("layouts")
  void theOrderOfFieldsDoesNotMatterAndUnknownOnesAreIgnored(Layout<? extends Record> layout)
      throws MalformedException {
    Random random = new Random(SEED);
    for (int i = 0; i < 50; i++) {
      List<String> values = Layouts.values(layout, random);
      List<String> pairs = new ArrayList<>();
      for (int f = 0; f < values.size(); f++) {
        pairs.add('"' + layout.fields().get(f).name() + "\":" + values.get(f));
      }
      pairs.add("\"later\":{\"a\":[1,{\"b\":null}],\"c\":\"}\"}");
      pairs.add("\"firmware\":\"2.1\"");
      pairs.add("\"busVoltageMv\":1e999");
      Collections.shuffle(pairs, random);
      String json = "{ " + String.join(" ,\n ", pairs) + " }";
      assertEquals(Layouts.object(layout, values), rewritten(layout, json));
    }
  }

  @Test
  void aNumberThatIsNotFiniteIsNotSent() {
    MeterCommand endless = new MeterCommand(1, 0, Double.POSITIVE_INFINITY, "");
    assertThrows(IllegalArgumentException.class, () -> MeterCommand.LAYOUT.encode(endless));
    MeterCommand unknown = new MeterCommand(1, 0, Double.NaN, "");
    assertThrows(IllegalArgumentException.class, () -> MeterCommand.LAYOUT.encode(unknown));
  }
}
