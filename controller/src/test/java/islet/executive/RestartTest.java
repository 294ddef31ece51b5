package islet.executive;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.OperatorOrder;
import islet.contract.Port;
import islet.contract.SupervisorCommand;
import islet.contract.TieCommand;
import islet.contract.TieOrder;
import islet.contract.TieTelemetry;
import islet.contract.TieTrip;
import islet.contract.Topics;
import islet.control.SiteSupervisor;
import islet.executive.journal.Entry;
import islet.executive.journal.FileJournal;
import islet.executive.journal.Journal;
import islet.executive.journal.JournalFolder;
import islet.site.Site;
import islet.site.SiteReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Judged by the operator: what was acknowledged holds after a restart, what was not on disk was not
 * acknowledged, and a padlock hangs until its own key takes it off.
 */
class RestartTest {

  private static final Site SITE =
      SiteReader.read(Path.of(System.getProperty("islet.root"), "config/sites/ferry-landing.yaml"));
  private static final Topics TOPICS = new Topics("ferry-landing");
  private static final long SCAN = 100_000;

  @TempDir private Path folder = Path.of("");

  private final List<Message> sent = new ArrayList<>();
  private long now = 1_768_424_400_000_000L;

  private final Port port =
      new Port() {
        @Override
        public void publish(Message message) {
          sent.add(message);
        }

        @Override
        public void subscribe(String filter, int qos) {}

        @Override
        public boolean connected() {
          return true;
        }

        @Override
        public void close() {}
      };

  /** A disk that is slow or broken as the test says. */
  private static final class Disk implements Journal {
    final List<Entry.Kind> noted = new ArrayList<>();
    long durable;
    boolean failing;

    @Override
    public long note(Entry.Kind kind, long atMicros, Map<String, String> fields, boolean atOnce) {
      noted.add(kind);
      return noted.size();
    }

    @Override
    public long durable() {
      return durable;
    }

    @Override
    public boolean failing() {
      return failing;
    }

    @Override
    public void close() {}
  }

  private Executive executive(Journal journal, Map<String, String> past) {
    return new Executive(
        SITE,
        new SiteSupervisor(SITE),
        (id, will, listener) -> port,
        () -> now,
        "supervisor",
        journal,
        past,
        false);
  }

  /** Starts, lets a test do something, and is gone without a farewell. */
  private void life(Consumer<Executive> deed) throws IOException {
    sent.clear();
    JournalFolder journal = new JournalFolder(folder);
    JournalFolder.Past past = journal.past();
    try (FileJournal file = new FileJournal(journal, past)) {
      deed.accept(executive(file, past.keepsake().map(Entry::fields).orElse(Map.of())));
    }
  }

  private void scans(Executive executive, int number) {
    for (int i = 0; i < number; i++) {
      now += SCAN;
      executive.scan();
    }
  }

  private void ask(Executive executive, OperatorOrder order, String key) {
    ask(executive, order, key, 0);
  }

  private void ask(Executive executive, OperatorOrder order, String key, double forS) {
    executive.message(
        new Message(
            TOPICS.of(Device.SUPERVISOR, Kind.COMMAND),
            SupervisorCommand.LAYOUT.encode(new SupervisorCommand(7, now, 10, order, key, forS)),
            1,
            false,
            10,
            TOPICS.of(Device.SUPERVISOR, Kind.ACK),
            "7".getBytes(StandardCharsets.US_ASCII)));
    scans(executive, 1);
  }

  private void tie(Executive executive, boolean held) {
    executive.message(
        Message.of(
            TOPICS.of(Device.TIE, Kind.TELEMETRY),
            TieTelemetry.LAYOUT.encode(
                new TieTelemetry(1, now, false, false, 1, 60, 0, 0, 0, TieTrip.NONE, held, false)),
            0,
            false));
  }

  private List<Ack> acks() {
    return on(Device.SUPERVISOR, Kind.ACK).stream().map(m -> read(m, Ack.LAYOUT)).toList();
  }

  private List<String> holdsTold() {
    return on(Device.TIE, Kind.COMMAND).stream()
        .map(m -> read(m, TieCommand.LAYOUT))
        .filter(c -> c.order() == TieOrder.HOLD || c.order() == TieOrder.RELEASE)
        .map(c -> c.order() + " " + c.key())
        .toList();
  }

  private static <T> T read(Message message, islet.contract.Layout<T> layout) {
    try {
      return layout.decode(message.payload());
    } catch (MalformedException e) {
      throw new IllegalStateException(e);
    }
  }

  private List<Message> on(Device device, Kind kind) {
    return sent.stream().filter(m -> m.topic().equals(TOPICS.of(device, kind))).toList();
  }

  private List<Long> commandNumbers() {
    return on(Device.TIE, Kind.COMMAND).stream()
        .map(m -> read(m, TieCommand.LAYOUT).seq())
        .toList();
  }

  /** Else an answer to the former life's command could be taken for the answer to this one's. */
  @Test
  void noCommandNumberComesTwiceOverARestart() {
    List<Long> former = new ArrayList<>();
    for (int start = 0; start < 3; start++) {
      sent.clear();
      now += SCAN;
      Executive executive = executive(new Disk(), Map.of());
      for (String key : List.of("line crew", "dockmaster", "visitor")) {
        ask(executive, OperatorOrder.HOLD, key);
        scans(executive, 1);
      }
      assertEquals(3, commandNumbers().size());
      assertTrue(former.stream().noneMatch(commandNumbers()::contains), former.toString());
      former.addAll(commandNumbers());
    }
  }

  @Test
  void anOrderIsAnsweredOnlyOnceItsConsequenceIsOnDisk() {
    Disk disk = new Disk();
    Executive executive = executive(disk, Map.of());
    ask(executive, OperatorOrder.HOLD, "line crew");
    assertEquals(List.of(Entry.Kind.ORDER, Entry.Kind.EVENT, Entry.Kind.KEEPSAKE), disk.noted);
    assertEquals(List.of("HOLD line crew"), holdsTold(), "the padlock does not wait for the disk");
    scans(executive, 5);
    assertEquals(List.of(), acks());
    disk.durable = disk.noted.size();
    scans(executive, 1);
    assertEquals(AckResult.ACCEPTED, acks().get(0).result());
    assertEquals("", acks().get(0).reason());
  }

  @Test
  void onABrokenDiskAnOrderIsInForceAndItsGiverIsToldThatItWillNotOutliveARestart() {
    Disk disk = new Disk();
    disk.failing = true;
    Executive executive = executive(disk, Map.of());
    ask(executive, OperatorOrder.HOLD, "line crew");
    assertEquals(AckResult.ACCEPTED, acks().get(0).result());
    assertTrue(acks().get(0).reason().contains("will not outlive a restart"));
    assertEquals(List.of("HOLD line crew"), holdsTold());
    assertTrue(
        on(Device.SUPERVISOR, Kind.ALARM).stream()
            .anyMatch(m -> m.text().contains("JOURNAL_FAILED")));
    disk.failing = false;
    scans(executive, 1);
    assertTrue(
        on(Device.SUPERVISOR, Kind.ALARM).stream().anyMatch(m -> m.text().contains("RETURNED")));
  }

  @Test
  void aDiskThatHangsHoldsNoAnswerForLongerThanTwoSeconds() {
    Executive executive = executive(new Disk(), Map.of());
    ask(executive, OperatorOrder.HOLD, "line crew");
    scans(executive, 19);
    assertEquals(List.of(), acks());
    scans(executive, 2);
    assertTrue(acks().get(0).reason().contains("will not outlive a restart"));
  }

  @Test
  void aHoldOutlivesRestartsAndTheTieIsToldAgainUntilItsOwnKeyTakesItOff() throws IOException {
    life(
        first -> {
          ask(first, OperatorOrder.HOLD, "line crew");
          ask(first, OperatorOrder.HOLD, "electrician");
          assertEquals(2, acks().size());
        });
    for (int i = 0; i < 3; i++) {
      life(
          next -> {
            tie(next, true);
            scans(next, 700); // past the start's time-out, after which the tie is told
            assertEquals(List.of("HOLD electrician", "HOLD line crew"), holdsTold());
          });
    }
    life(
        next -> {
          ask(next, OperatorOrder.RELEASE, "line crew");
          ask(next, OperatorOrder.RELEASE, "nobody");
          assertEquals(List.of("RELEASE line crew"), holdsTold());
        });
    life(
        last -> {
          tie(last, true);
          scans(last, 700);
          assertEquals(List.of("HOLD electrician"), holdsTold());
          assertFalse(last.keepsake().containsValue("line crew"));
        });
  }

  @Test
  void theWishToStayIslandedOutlivesARestart() throws IOException {
    life(first -> ask(first, OperatorOrder.ISLAND, ""));
    life(next -> assertEquals("true", next.keepsake().get("island asked")));
    life(next -> ask(next, OperatorOrder.RECONNECT, ""));
    life(next -> assertEquals("false", next.keepsake().get("island asked")));
  }

  @Test
  void whatIsShelvedStaysShelvedOverARestart() throws IOException {
    life(
        first -> {
          ask(first, OperatorOrder.SHELVE, "BAD_MESSAGE", 3_600);
          assertEquals(AckResult.ACCEPTED, acks().get(0).result());
        });
    life(
        next -> {
          assertEquals("SHELVED", next.keepsake().get("alarm BAD_MESSAGE"));
          next.message(Message.of(TOPICS.of(Device.TIE, Kind.TELEMETRY), new byte[] {1}, 0, false));
          scans(next, 10);
          assertFalse(
              on(Device.SUPERVISOR, Kind.ALARM).stream()
                  .anyMatch(m -> m.text().contains("UNACKNOWLEDGED")));
        });
  }

  @Test
  void aPadlockThatOnlyTheTieKnowsOfIsTakenOffByTheTie() {
    Executive executive = executive(Journal.NONE, Map.of());
    tie(executive, true);
    ask(executive, OperatorOrder.RELEASE, "forgotten");
    assertEquals(List.of("RELEASE forgotten"), holdsTold());
  }
}
