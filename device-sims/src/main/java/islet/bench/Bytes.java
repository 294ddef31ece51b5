package islet.bench;

import islet.contract.Decimal;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;

/** Text on its way into a file, as UTF-8 bytes in a buffer that grows. */
final class Bytes {

  private byte[] buffer;
  private int length;

  Bytes(int capacity) {
    buffer = new byte[Math.max(64, capacity)];
  }

  Bytes number(double value, int decimals) {
    ensure(Decimal.LONGEST);
    length = Decimal.write(value, decimals, buffer, length);
    return this;
  }

  Bytes digits(long value, int count) {
    ensure(count);
    long rest = value;
    for (int i = length + count - 1; i >= length; i--) {
      buffer[i] = (byte) ('0' + rest % 10);
      rest /= 10;
    }
    length += count;
    return this;
  }

  Bytes put(char ascii) {
    ensure(1);
    buffer[length++] = (byte) ascii;
    return this;
  }

  Bytes put(byte[] bytes) {
    ensure(bytes.length);
    System.arraycopy(bytes, 0, buffer, length, bytes.length);
    length += bytes.length;
    return this;
  }

  Bytes text(String text) {
    return put(text.getBytes(StandardCharsets.UTF_8));
  }

  /** A field of a CSV file (RFC 4180): quoted when it holds a comma, a quote or a line break. */
  Bytes field(String text) {
    boolean quoted = false;
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      quoted |= c == ',' || c == '"' || c == '\n' || c == '\r';
    }
    return text(quoted ? '"' + text.replace("\"", "\"\"") + '"' : text);
  }

  /** The end of a line of a CSV file (RFC 4180). */
  Bytes endOfRecord() {
    return put('\r').put('\n');
  }

  byte[] toArray() {
    return Arrays.copyOf(buffer, length);
  }

  private void ensure(int more) {
    if (buffer.length - length < more) {
      buffer = Arrays.copyOf(buffer, Math.max(buffer.length * 2, length + more));
    }
  }
}
