package islet.contract;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.core.io.JsonStringEncoder;
import java.io.IOException;
import java.util.Arrays;
import java.util.List;
import java.util.function.Function;

/**
 * How one kind of message is written as a flat JSON object and read back: the list of its fields,
 * in order, with the two small functions that take a record apart and put it together.
 *
 * <p>Writing gives the same bytes on every JDK (numbers have a fixed count of decimals). Reading
 * ignores unknown fields and throws {@link MalformedException} for anything missing, doubled,
 * non-finite, out of range or of the wrong type.
 *
 * @param <T> the record
 */
public final class Layout<T> {

  /** The longest payload that is read, in bytes. */
  public static final int LONGEST = 16_384;

  // One a layout: a reader finds names fastest among few.
  private final JsonFactory json =
      JsonFactory.builder()
          .streamReadConstraints(
              StreamReadConstraints.builder()
                  .maxNestingDepth(16)
                  .maxStringLength(4096)
                  .maxNameLength(256)
                  .maxNumberLength(64)
                  .build())
          .disable(JsonFactory.Feature.CHARSET_DETECTION) // the contract's payloads are UTF-8
          .enable(StreamReadFeature.USE_FAST_DOUBLE_PARSER)
          .build();

  private static final byte[] NOTHING = {};
  private static final byte[] TRUE = {'t', 'r', 'u', 'e'};
  private static final byte[] FALSE = {'f', 'a', 'l', 's', 'e'};

  /** Takes a record apart into its values, in the order of the fields. */
  @FunctionalInterface
  public interface Taker<T> {
    void take(T message, Values values);
  }

  private final String name;
  private final Field[] fields;
  private final byte[][] keys;
  private final byte[][][] words;
  private final Taker<T> taker;
  private final Function<Values, T> maker;

  // One buffer a thread: live runs encode on several threads, and a run in virtual time on one.
  private final ThreadLocal<Scratch<T>> scratch = ThreadLocal.withInitial(this::newScratch);

  Layout(String name, Taker<T> taker, Function<Values, T> maker, Field... fields) {
    this.name = name;
    this.taker = taker;
    this.maker = maker;
    this.fields = fields.clone();
    this.keys = new byte[fields.length][];
    this.words = new byte[fields.length][][];
    for (int i = 0; i < fields.length; i++) {
      keys[i] = fields[i].key(i == 0);
      words[i] = quoted(fields[i].words());
    }
    if (fields.length > 62) {
      throw new IllegalArgumentException(name + " has more fields than the reader can tick off");
    }
  }

  private static byte[][] quoted(String[] words) {
    byte[][] out = new byte[words.length][];
    for (int i = 0; i < words.length; i++) {
      out[i] = ("\"" + words[i] + "\"").getBytes(java.nio.charset.StandardCharsets.UTF_8);
    }
    return out;
  }

  private Scratch<T> newScratch() {
    return new Scratch<>(fields.length);
  }

  private static final class Scratch<T> {
    // The last payload read and what it was: one message goes to several receivers, who all read
    // the same array.
    byte[] payload = NOTHING;
    List<T> decoded;

    final Values values;
    byte[] buffer = new byte[512];
    int length;

    Scratch(int fields) {
      values = new Values(fields);
      decoded = List.of();
    }

    void ensure(int more) {
      if (buffer.length - length < more) {
        buffer = Arrays.copyOf(buffer, Math.max(buffer.length * 2, length + more));
      }
    }

    void append(byte[] bytes) {
      ensure(bytes.length);
      System.arraycopy(bytes, 0, buffer, length, bytes.length);
      length += bytes.length;
    }
  }

  /** The message's name, for people and documents. */
  public String name() {
    return name;
  }

  @Override
  public String toString() {
    return name;
  }

  /** The fields in the order in which they are written. */
  public List<Field> fields() {
    return List.of(fields);
  }

  /**
   * Writes a message.
   *
   * @throws IllegalArgumentException when a number is not finite: the sender must not send what the
   *     reader refuses
   */
  public byte[] encode(T message) {
    Scratch<T> s = scratch.get();
    taker.take(message, s.values.rewind());
    s.length = 0;
    for (int i = 0; i < fields.length; i++) {
      s.append(keys[i]);
      Field field = fields[i];
      switch (field.type()) {
        case NUMBER -> {
          s.ensure(Decimal.LONGEST);
          s.length = Decimal.write(s.values.numbers[i], field.decimals(), s.buffer, s.length);
        }
        case WHOLE -> {
          s.ensure(Decimal.LONGEST);
          s.length = Decimal.write(s.values.wholes[i], s.buffer, s.length);
        }
        case FLAG -> s.append(s.values.wholes[i] != 0 ? TRUE : FALSE);
        case WORD -> s.append(words[i][(int) s.values.wholes[i]]);
        case TEXT -> {
          s.append(QUOTE);
          s.append(JsonStringEncoder.getInstance().quoteAsUTF8(s.values.texts[i]));
          s.append(QUOTE);
        }
        case INSTANT -> {
          s.append(QUOTE);
          s.ensure(IsoTime.LENGTH);
          IsoTime.write(s.values.wholes[i], s.buffer, s.length);
          s.length += IsoTime.LENGTH;
          s.append(QUOTE);
        }
      }
    }
    s.append(END);
    return Arrays.copyOf(s.buffer, s.length);
  }

  private static final byte[] QUOTE = {'"'};
  private static final byte[] END = {'}'};

  /**
   * Reads a message. The array must not be changed afterwards: reading it again gives the same
   * record without looking.
   *
   * @throws MalformedException when the payload is not such a message; says what was found and what
   *     is allowed
   */
  public T decode(byte[] payload) throws MalformedException {
    if (payload.length > LONGEST) {
      throw new MalformedException(
          name + ": found " + payload.length + " bytes, allowed are at most " + LONGEST);
    }
    Scratch<T> s = scratch.get();
    if (s.payload == payload && !s.decoded.isEmpty()) {
      return s.decoded.get(0);
    }
    T message = read(payload, s.values);
    s.payload = payload;
    s.decoded = List.of(message);
    return message;
  }

  private T read(byte[] payload, Values values) throws MalformedException {
    long seen = 0;
    try (JsonParser parser = json.createParser(payload)) {
      if (parser.nextToken() != JsonToken.START_OBJECT) {
        throw new MalformedException(name + ": found no JSON object");
      }
      int expected = 0;
      while (parser.nextToken() == JsonToken.FIELD_NAME) {
        int i = position(parser.currentName(), expected);
        JsonToken token = parser.nextToken();
        if (i < 0) {
          parser.skipChildren();
          continue;
        }
        if ((seen & 1L << i) != 0) {
          throw bad(fields[i], "it twice");
        }
        seen |= 1L << i;
        read(parser, token, i, values);
        expected = i + 1;
      }
      if (parser.currentToken() != JsonToken.END_OBJECT || parser.nextToken() != null) {
        throw new MalformedException(name + ": found more than one flat JSON object");
      }
    } catch (IOException e) {
      throw new MalformedException(name + ": found no valid JSON (" + firstLine(e) + ")");
    }
    if (seen != (1L << fields.length) - 1) {
      for (int i = 0; i < fields.length; i++) {
        if ((seen & 1L << i) == 0) {
          throw new MalformedException(name + ": the field " + fields[i].name() + " is missing");
        }
      }
    }
    return maker.apply(values.rewind());
  }

  private static String firstLine(IOException e) {
    String message = String.valueOf(e.getMessage());
    int end = message.indexOf('\n');
    return end < 0 ? message : message.substring(0, end);
  }

  private int position(String found, int expected) {
    if (expected < fields.length && fields[expected].name().equals(found)) {
      return expected;
    }
    for (int i = 0; i < fields.length; i++) {
      if (fields[i].name().equals(found)) {
        return i;
      }
    }
    return -1;
  }

  private void read(JsonParser parser, JsonToken token, int i, Values values)
      throws IOException, MalformedException {
    Field field = fields[i];
    switch (field.type()) {
      case NUMBER -> {
        if (!token.isNumeric()) {
          throw bad(field, parser.getText());
        }
        double value = parser.getDoubleValue();
        // Written so that a NaN fails as well; an overflow reads as infinite and fails too.
        if (!(value >= field.minimum() && value <= field.maximum())) {
          throw bad(field, parser.getText());
        }
        values.numbers[i] = value;
      }
      case WHOLE -> {
        if (token != JsonToken.VALUE_NUMBER_INT) {
          throw bad(field, parser.getText());
        }
        long value = parser.getLongValue();
        if (value < (long) field.minimum() || value > (long) field.maximum()) {
          throw bad(field, parser.getText());
        }
        values.wholes[i] = value;
      }
      case FLAG -> {
        if (!token.isBoolean()) {
          throw bad(field, parser.getText());
        }
        values.wholes[i] = token == JsonToken.VALUE_TRUE ? 1 : 0;
      }
      case WORD -> values.wholes[i] = word(parser, token, field);
      case TEXT -> {
        if (token != JsonToken.VALUE_STRING || parser.getTextLength() > field.maximum()) {
          throw bad(field, token.name());
        }
        values.texts[i] = paired(parser.getText(), field);
      }
      case INSTANT -> {
        long micros =
            token == JsonToken.VALUE_STRING
                ? IsoTime.read(
                    parser.getTextCharacters(), parser.getTextOffset(), parser.getTextLength())
                : -1;
        if (micros < 0) {
          throw bad(field, parser.getText());
        }
        values.wholes[i] = micros;
      }
    }
  }

  private static int word(JsonParser parser, JsonToken token, Field field)
      throws IOException, MalformedException {
    if (token == JsonToken.VALUE_STRING) {
      char[] text = parser.getTextCharacters();
      int offset = parser.getTextOffset();
      int length = parser.getTextLength();
      String[] words = field.words();
      for (int w = 0; w < words.length; w++) {
        if (same(words[w], text, offset, length)) {
          return w;
        }
      }
    }
    throw bad(field, parser.getText());
  }

  /** Half a surrogate pair can be escaped in JSON, but neither written as UTF-8 nor sent on. */
  private static String paired(String text, Field field) throws MalformedException {
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      if (Character.isSurrogate(c)) {
        if (i + 1 == text.length() || !Character.isSurrogatePair(c, text.charAt(i + 1))) {
          throw bad(field, "half a surrogate pair");
        }
        i++;
      }
    }
    return text;
  }

  private static boolean same(String word, char[] text, int offset, int length) {
    if (word.length() != length) {
      return false;
    }
    for (int i = 0; i < length; i++) {
      if (word.charAt(i) != text[offset + i]) {
        return false;
      }
    }
    return true;
  }

  private static MalformedException bad(Field field, String found) {
    String shown = found.length() > 40 ? found.substring(0, 40) + "…" : found;
    return new MalformedException(
        "field " + field.name() + ": found " + shown + ", allowed is " + allowed(field));
  }

  /** What a field allows, in words. */
  public static String allowed(Field field) {
    return switch (field.type()) {
      case NUMBER ->
          "a number from "
              + Decimal.text(field.minimum(), 0)
              + " to "
              + Decimal.text(field.maximum(), 0);
      case WHOLE ->
          "a whole number from " + (long) field.minimum() + " to " + (long) field.maximum();
      case FLAG -> "true or false";
      case WORD -> "one of " + String.join(", ", field.words());
      case TEXT -> "a text of at most " + (long) field.maximum() + " characters";
      case INSTANT -> "an instant such as 2026-01-14T21:00:00.000Z";
    };
  }
}
