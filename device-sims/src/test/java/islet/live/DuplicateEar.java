package islet.live;

import java.util.concurrent.atomic.AtomicInteger;

/**
 * Listens to what a broker sends on one connection and counts the PUBLISH packets that are marked
 * as duplicates (OASIS MQTT Version 5.0, 2.1 and 3.3.1.1, from memory). The client library does not
 * pass this mark on, so it is read off the wire.
 */
final class DuplicateEar {

  private static final int PUBLISH = 3;
  private static final int DUP = 0x08;

  private final AtomicInteger duplicates;
  private boolean inHeader = true;
  private int shift;
  private long length;
  private long toSkip;

  DuplicateEar(AtomicInteger duplicates) {
    this.duplicates = duplicates;
  }

  void hear(int octet) {
    if (toSkip > 0) {
      toSkip--;
    } else if (inHeader) {
      if (octet >> 4 == PUBLISH && (octet & DUP) != 0) {
        duplicates.incrementAndGet();
      }
      inHeader = false;
      shift = 0;
      length = 0;
    } else {
      // 1.5.5: seven bits in each byte, the lowest first; the eighth says that more follow.
      length |= (long) (octet & 0x7F) << shift;
      shift += 7;
      if ((octet & 0x80) == 0) {
        inHeader = true;
        toSkip = length;
      }
    }
  }
}
