package islet.contract;

import java.util.Arrays;

/** A message's values by the position of their field: the step between a record and its JSON. */
public final class Values {

  final double[] numbers;
  final long[] wholes;
  final String[] texts;
  private int next;

  Values(int fields) {
    numbers = new double[fields];
    wholes = new long[fields];
    texts = new String[fields];
    Arrays.fill(texts, "");
  }

  Values rewind() {
    next = 0;
    return this;
  }

  /** Puts the next field's number. */
  public Values put(double value) {
    numbers[next++] = value;
    return this;
  }

  /** Puts the next field's whole number or instant. */
  public Values put(long value) {
    wholes[next++] = value;
    return this;
  }

  /** Puts the next field's flag. */
  public Values put(boolean value) {
    wholes[next++] = value ? 1 : 0;
    return this;
  }

  /** Puts the next field's word. */
  public Values put(Enum<?> value) {
    wholes[next++] = value.ordinal();
    return this;
  }

  /** Puts the next field's text. */
  public Values put(String value) {
    texts[next++] = value;
    return this;
  }

  /** Takes the next field's number. */
  public double number() {
    return numbers[next++];
  }

  /** Takes the next field's whole number or instant. */
  public long whole() {
    return wholes[next++];
  }

  /** Takes the next field's flag. */
  public boolean flag() {
    return wholes[next++] != 0;
  }

  /** Takes the next field's word from the given constants. */
  public <E extends Enum<E>> E word(E[] constants) {
    return constants[(int) wholes[next++]];
  }

  /** Takes the next field's text. */
  public String text() {
    return texts[next++];
  }
}
