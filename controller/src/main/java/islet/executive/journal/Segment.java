package islet.executive.journal;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/**
 * What one file of the journal holds.
 *
 * @param entries the sound notes, in order
 * @param strangeBytes bytes in front of sound notes that belong to none: torn or damaged ones
 */
record Segment(List<Entry> entries, int strangeBytes) {

  /** Each file begins with this line. */
  static final byte[] TITLE = "ISLET JOURNAL 1\n".getBytes(StandardCharsets.US_ASCII);

  static Segment of(byte[] file) {
    List<Entry> entries = new ArrayList<>();
    int offset = startsWithTitle(file) ? TITLE.length : 0;
    int inFront = 0;
    int strange = 0;
    while (offset < file.length) {
      Optional<Entry> entry = Frame.at(file, offset);
      if (entry.isPresent()) {
        entries.add(entry.get());
        inFront += strange;
        strange = 0;
        offset += Frame.lengthAt(file, offset);
      } else {
        strange++;
        offset++;
      }
    }
    return new Segment(List.copyOf(entries), inFront);
  }

  private static boolean startsWithTitle(byte[] file) {
    return file.length >= TITLE.length
        && Arrays.equals(file, 0, TITLE.length, TITLE, 0, TITLE.length);
  }
}
