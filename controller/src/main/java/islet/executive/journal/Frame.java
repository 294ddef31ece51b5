package islet.executive.journal;

import java.nio.ByteBuffer;
import java.util.Optional;
import java.util.zip.CRC32C;

/**
 * How a note lies in a file, big-endian: a mark of four bytes, the payload's length in four, the
 * note's number in eight, a checksum in four, the payload. The checksum (CRC-32C, Castagnoli's
 * polynomial, as in RFC 3720) covers length, number and payload.
 *
 * <p>The mark's first byte never occurs in UTF-8 (RFC 3629), so no payload can hold a frame: after
 * damage a reader looks for the next mark and loses nothing but what was hit.
 */
final class Frame {

  static final int HEAD = 20;

  /** No note is longer, bytes. */
  static final int MOST_PAYLOAD = 64 * 1024;

  private static final int MARK = 0xF5_49_4A_52;
  private static final int CHECKED_HEAD = 12;

  private Frame() {}

  static ByteBuffer of(long seq, byte[] payload) {
    if (payload.length > MOST_PAYLOAD) {
      throw new IllegalArgumentException(
          "A note of "
              + payload.length
              + " bytes was to be journalled; at most "
              + MOST_PAYLOAD
              + " are allowed.");
    }
    ByteBuffer frame = ByteBuffer.allocate(HEAD + payload.length);
    frame.putInt(MARK).putInt(payload.length).putLong(seq);
    frame.putInt(checksum(frame.array(), 4, payload, 0, payload.length));
    frame.put(payload);
    return frame.flip();
  }

  /** The note that begins at an offset; empty when none does, or a damaged one. */
  static Optional<Entry> at(byte[] file, int offset) {
    if (file.length - offset < HEAD) {
      return Optional.empty();
    }
    ByteBuffer bytes = ByteBuffer.wrap(file, offset, file.length - offset);
    int mark = bytes.getInt();
    int length = bytes.getInt();
    long seq = bytes.getLong();
    int told = bytes.getInt();
    if (mark != MARK || length < 0 || length > Math.min(MOST_PAYLOAD, bytes.remaining())) {
      return Optional.empty();
    }
    return told == checksum(file, offset + 4, file, offset + HEAD, length)
        ? Entry.of(seq, file, offset + HEAD, length)
        : Optional.empty();
  }

  /** How many bytes the sound note at an offset takes. */
  static int lengthAt(byte[] file, int offset) {
    return HEAD + ByteBuffer.wrap(file).getInt(offset + 4);
  }

  private static int checksum(byte[] head, int headAt, byte[] payload, int at, int length) {
    CRC32C crc = new CRC32C();
    crc.update(head, headAt, CHECKED_HEAD);
    crc.update(payload, at, length);
    return (int) crc.getValue();
  }
}
