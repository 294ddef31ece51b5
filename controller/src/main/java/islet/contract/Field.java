package islet.contract;

import java.nio.charset.StandardCharsets;

/**
 * One field of a message: its JSON name (with the unit), its type and its range.
 *
 * @param name JSON name, unit included
 * @param type how the value is written
 * @param decimals digits after the point, for numbers
 * @param minimum smallest value, for numbers; inclusive
 * @param maximum largest value, for numbers; longest text, for texts; inclusive
 * @param words the allowed words, for words
 * @param meaning for people
 */
@SuppressWarnings("ArrayRecordComponent") // a constant of the contract, never compared
public record Field(
    String name,
    Type type,
    int decimals,
    double minimum,
    double maximum,
    String[] words,
    String meaning) {

  private static final String[] NONE = {};

  /** How a value is written in JSON. */
  public enum Type {
    /** A number with a fixed count of decimals. */
    NUMBER,
    /** A whole number. */
    WHOLE,
    /** true or false. */
    FLAG,
    /** One of a few upper-case words. */
    WORD,
    /** Free text. */
    TEXT,
    /** ISO 8601 in UTC with milliseconds. */
    INSTANT
  }

  static Field number(String name, int decimals, double minimum, double maximum, String meaning) {
    return new Field(name, Type.NUMBER, decimals, minimum, maximum, NONE, meaning);
  }

  static Field whole(String name, long minimum, long maximum, String meaning) {
    return new Field(name, Type.WHOLE, 0, minimum, maximum, NONE, meaning);
  }

  static Field flag(String name, String meaning) {
    return new Field(name, Type.FLAG, 0, 0, 1, NONE, meaning);
  }

  static <E extends Enum<E>> Field word(String name, Class<E> words, String meaning) {
    E[] constants = words.getEnumConstants();
    String[] names = new String[constants.length];
    for (int i = 0; i < names.length; i++) {
      names[i] = constants[i].name();
    }
    return new Field(name, Type.WORD, 0, 0, names.length - 1, names, meaning);
  }

  static Field text(String name, int longest, String meaning) {
    return new Field(name, Type.TEXT, 0, 0, longest, NONE, meaning);
  }

  static Field seq() {
    return whole("seq", 0, 1L << 53, "counts the sender's messages of this kind");
  }

  static Field at() {
    return instant("at", "the instant of sending, by the sender's clock");
  }

  static Field instant(String name, String meaning) {
    return new Field(name, Type.INSTANT, 0, 0, IsoTime.MAXIMUM, NONE, meaning);
  }

  byte[] key(boolean first) {
    return ((first ? "{\"" : ",\"") + name + "\":").getBytes(StandardCharsets.UTF_8);
  }
}
