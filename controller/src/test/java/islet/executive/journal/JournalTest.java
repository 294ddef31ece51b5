package islet.executive.journal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Judged by what was noted: whatever byte the file ends at, every note that was whole by then is
 * read back as it was; whatever bit is turned, every other note is.
 */
class JournalTest {

  private static final Map<String, String> KEPT = Map.of("hold 1", "dockmaster ✓");

  @TempDir private Path folder = Path.of("");

  private JournalFolder journal() {
    return new JournalFolder(folder);
  }

  private FileJournal open() throws IOException {
    return new FileJournal(journal(), journal().past());
  }

  private void note(Journal to, int count) {
    for (int i = 0; i < count; i++) {
      var unused = to.note(Entry.Kind.EVENT, 1_000L * i, Map.of("what", "number " + i), false);
    }
  }

  private byte[] small() throws IOException {
    try (FileJournal journal = open()) {
      note(journal, 3);
      var unused = journal.note(Entry.Kind.KEEPSAKE, 9, KEPT, true);
      note(journal, 2);
    }
    return Files.readAllBytes(journal().files().get(0));
  }

  @Test
  void whatWasNotedIsReadBackInOrder() throws IOException {
    byte[] unused = small();
    List<Entry> entries = journal().entries();
    assertEquals(6, entries.size());
    assertEquals(List.of(1L, 2L, 3L, 4L, 5L, 6L), entries.stream().map(Entry::seq).toList());
    assertEquals(new Entry(2, 1_000, Entry.Kind.EVENT, Map.of("what", "number 1")), entries.get(1));
    assertEquals(KEPT, entries.get(3).fields());
  }

  @Test
  void aFileThatEndsAtAnyByteGivesEveryNoteThatWasWholeByThen() throws IOException {
    byte[] whole = small();
    List<Entry> all = Segment.of(whole).entries();
    List<Integer> ends = ends(whole);
    for (int length = 0; length <= whole.length; length++) {
      int end = length;
      long due = ends.stream().filter(e -> e <= end).count();
      Segment read = Segment.of(Arrays.copyOf(whole, length));
      assertEquals(all.subList(0, (int) due), read.entries(), "cut at byte " + length);
      assertEquals(0, read.strangeBytes(), "a torn end is no damage, cut at byte " + length);
    }
  }

  @Test
  void aTurnedBitCostsTheNoteThatItHitAndNoOther() throws IOException {
    byte[] whole = small();
    List<Entry> all = Segment.of(whole).entries();
    List<Integer> ends = ends(whole);
    for (int bit = 0; bit < whole.length * 8; bit++) {
      byte[] turned = whole.clone();
      turned[bit / 8] ^= (byte) (1 << bit % 8);
      List<Entry> due = new ArrayList<>(all);
      int begin = Segment.TITLE.length;
      for (int i = 0; i < all.size(); i++) {
        if (bit / 8 >= begin && bit / 8 < ends.get(i)) {
          due.remove(all.get(i));
        }
        begin = ends.get(i);
      }
      assertEquals(due, Segment.of(turned).entries(), "bit " + bit);
    }
  }

  private static List<Integer> ends(byte[] file) {
    List<Integer> ends = new ArrayList<>();
    for (int at = Segment.TITLE.length; at < file.length; ) {
      at += Frame.lengthAt(file, at);
      ends.add(at);
    }
    return ends;
  }

  @Test
  void aNewWriterGoesOnBehindATornEndAndLosesNothing() throws IOException {
    byte[] whole = small();
    Path file = journal().files().get(0);
    for (int cut = 1; cut < 90; cut++) {
      Files.write(file, Arrays.copyOf(whole, whole.length - cut));
      int left = Segment.of(Files.readAllBytes(file)).entries().size();
      try (FileJournal again = open()) {
        var unused = again.note(Entry.Kind.EVENT, 77, Map.of("what", "after"), true);
      }
      List<Entry> entries = journal().entries();
      assertEquals(left + 1, entries.size(), "cut by " + cut);
      assertEquals("after", entries.get(left).text("what"));
      assertFalse(journal().past().damaged(), "a torn end is no damage, cut by " + cut);
    }
  }

  @Test
  void theNextStartFindsTheLastKeepsake() throws IOException {
    byte[] unused = small();
    JournalFolder.Past past = journal().past();
    assertEquals(Optional.of(KEPT), past.keepsake().map(Entry::fields));
    assertEquals(6, past.lastSeq());
    assertFalse(past.damaged());
  }

  @Test
  void damageBehindTheLastKeepsakeIsToldAndATornEndIsNone() throws IOException {
    byte[] whole = small();
    Path file = journal().files().get(0);
    Files.write(file, Arrays.copyOf(whole, whole.length - 3));
    assertFalse(journal().past().damaged());
    byte[] hit = whole.clone();
    hit[ends(whole).get(3) + Frame.HEAD + 5] ^= 1; // the note behind the keepsake
    Files.write(file, hit);
    assertTrue(journal().past().damaged());
  }

  @Test
  void aFullFileIsFollowedByOneThatCanBeReadAlone() throws IOException {
    try (FileJournal journal = new FileJournal(journal(), journal().past(), 2_000, 3)) {
      var unused = journal.note(Entry.Kind.START, 1, Map.of("version", "1"), false);
      unused = journal.note(Entry.Kind.KEEPSAKE, 2, KEPT, false);
      note(journal, 500);
    }
    List<Path> files = journal().files();
    assertEquals(3, files.size(), "the oldest are gone");
    for (Path file : files) {
      List<Entry> entries = Segment.of(Files.readAllBytes(file)).entries();
      assertEquals(Entry.Kind.START, entries.get(0).kind());
      assertEquals(KEPT, entries.get(1).fields());
      assertTrue(Files.size(file) < 2_200, "no file grows far beyond its limit");
    }
    JournalFolder.Past past = journal().past();
    assertEquals(Optional.of(KEPT), past.keepsake().map(Entry::fields));
    assertEquals(Optional.of("1"), past.start().map(e -> e.text("version")));
  }

  @Test
  void aSecondWriterIsRefused() throws IOException {
    FileJournal first = open();
    IOException e = assertThrows(IOException.class, this::open);
    assertTrue(e.toString().contains("another controller"), e.toString());
    first.close();
    open().close();
  }

  @Test
  void aNoteThatMustBeOnDiskIsSoSoonAndTheOthersWithinASecond() throws Exception {
    try (BackgroundJournal journal = new BackgroundJournal(open())) {
      long ticket = journal.note(Entry.Kind.KEEPSAKE, 1, KEPT, true);
      assertTrue(comes(journal, ticket), "not durable");
      assertEquals(1, journal().entries().size());
      long later = journal.note(Entry.Kind.EVENT, 2, Map.of(), false);
      assertTrue(comes(journal, later), "not durable");
    }
    assertEquals(2, journal().entries().size());
  }

  private static boolean comes(Journal journal, long ticket) throws InterruptedException {
    for (int i = 0; i < 200 && journal.durable() < ticket; i++) {
      Thread.sleep(10);
    }
    return journal.durable() >= ticket;
  }

  @Test
  void aDiskThatFailsIsToldAndForgottenOnceAKeepsakeStandsAgain() throws IOException {
    Path full = Path.of("/dev/full");
    assumeTrue(Files.isWritable(full), "this machine has no device that is always full");
    try (FileJournal journal = new FileJournal(journal(), journal().past(), 50, 3)) {
      long kept = journal.note(Entry.Kind.KEEPSAKE, 1, KEPT, true);
      assertEquals(kept, journal.durable());
      Path second = journal().file(2);
      Files.createSymbolicLink(second, full);
      long lost = journal.note(Entry.Kind.EVENT, 1, Map.of("what", "lost"), true);
      assertTrue(journal.failing());
      assertTrue(journal.durable() < lost);
      Files.delete(second);
      note(journal, 1);
      assertTrue(journal.failing(), "what was lost may have been a keepsake");
      long again = journal.note(Entry.Kind.KEEPSAKE, 2, KEPT, true);
      assertFalse(journal.failing());
      assertEquals(again, journal.durable());
    }
    assertEquals(Optional.of(KEPT), journal().past().keepsake().map(Entry::fields));
  }

  @Test
  void aFullDiskAtTheStartIsAnErrorAtOnce() throws IOException {
    Path full = Path.of("/dev/full");
    assumeTrue(Files.isWritable(full), "this machine has no device that is always full");
    JournalFolder.Past nothing = journal().past();
    Files.createSymbolicLink(journal().file(1), full);
    assertThrows(IOException.class, () -> new FileJournal(journal(), nothing));
  }
}
