package islet.app;

import islet.contract.IsoTime;
import islet.control.SiteSupervisor;
import islet.executive.Clock;
import islet.executive.Duty;
import islet.executive.Notices;
import islet.executive.Turn;
import islet.executive.journal.BackgroundJournal;
import islet.executive.journal.Entry;
import islet.executive.journal.FileJournal;
import islet.executive.journal.Journal;
import islet.executive.journal.JournalFolder;
import islet.executive.wall.FixedCycle;
import islet.executive.wall.WallClock;
import islet.executive.wall.Watchdog;
import islet.mqtt.Access;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import islet.site.Site;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.concurrent.Executor;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Consumer;

/** One site under the controller, from the opening of its journal to the farewell. */
final class SiteShift implements AutoCloseable {

  private final Site site;
  private final Path siteFile;
  private final JournalFolder.Past past;
  private final Journal journal;
  private final FixedCycle cycle;
  private final Clock clock = WallClock.witnessed();
  private final String tag;
  private final Executor thinker;
  private final PrintWriter out;
  private final PrintWriter err;

  /**
   * Opens the journal.
   *
   * @param tag stands before every line that is told; empty when there is one site only
   * @param thinker thinks beside the scans; may be one for many sites
   * @throws IOException when the journal cannot be used
   */
  SiteShift(
      Site site,
      Path siteFile,
      Path folder,
      String tag,
      Executor thinker,
      PrintWriter out,
      PrintWriter err)
      throws IOException {
    this.site = site;
    this.siteFile = siteFile;
    this.tag = tag;
    this.thinker = thinker;
    this.out = out;
    this.err = err;
    JournalFolder files = new JournalFolder(folder);
    past = files.past();
    journal = new BackgroundJournal(new FileJournal(files, past));
    cycle = new FixedCycle(site.supervision().scanS());
  }

  /** Lets the scans end; from any thread. */
  void stop() {
    cycle.stop();
  }

  /**
   * Supervises on the calling thread until {@link #stop}.
   *
   * @param bites what the watchdog says when a scan does not come back; ends the process
   * @return whether it ended in good order
   */
  boolean run(
      String broker, Access access, boolean observe, MetricsDesk desk, Consumer<String> bites)
      throws IOException, InterruptedException {
    String instance = Instance.name();
    Map<String, String> start = new LinkedHashMap<>();
    start.put("version", Instance.version());
    start.put("site", site.id());
    start.put("settings", Instance.digest(siteFile));
    start.put("instance", instance);
    tellOfPast(start);
    var unused = journal.note(Entry.Kind.START, clock.micros(), start, true);
    AtomicBoolean over = new AtomicBoolean();
    new Watchdog(
            cycle,
            sentence -> {
              if (!over.get()) {
                bites.accept(tag + sentence);
              }
            })
        .start(Thread.currentThread());
    boolean good = true;
    try (PahoBroker paho = new PahoBroker(broker, PahoSettings.USUAL.with(access))) {
      Duty duty =
          new Duty(
              site,
              SiteSupervisor::new,
              cycle.over(paho),
              clock,
              instance,
              journal,
              past.keepsake().map(Entry::fields).orElse(Map.of()),
              observe);
      duty.thinkWith(thinker);
      Notices notices = new Notices(duty, cycle::overruns, this::tell);
      out.println(instance + " supervises " + site.name() + " at " + broker + ".");
      if (!desk.sentence().isEmpty()) {
        out.println(desk.sentence());
      }
      try {
        Turn turn = duty.andThen(() -> notices.look(clock.micros()));
        cycle.run(desk.measure(turn, clock::micros, site, duty, journal, cycle, paho, start));
      } catch (RuntimeException e) {
        good = false;
        err.println(tag + "The controller failed and ends; the devices go on by themselves.");
        e.printStackTrace(err);
      }
      over.set(true);
      unused =
          journal.note(
              Entry.Kind.STOP,
              clock.micros(),
              Map.of("why", good ? "told to end" : "failed"),
              true);
      duty.close();
    }
    journal.close();
    return good;
  }

  private void tellOfPast(Map<String, String> start) {
    if (past.damaged()) {
      out.println(
          tag
              + "Notes of the journal are damaged behind what is restored. Compare the holds that"
              + " hang with those that should.");
    }
    String before = past.start().map(s -> s.text("settings")).orElse("");
    if (!before.isEmpty() && !before.equals(start.get("settings"))) {
      out.println(tag + "The site file has changed since the last start.");
    }
  }

  private void tell(String line) {
    out.println(IsoTime.text(clock.micros()) + "  " + tag + line);
    out.flush();
  }

  @Override
  public void close() throws IOException {
    journal.close();
  }
}
