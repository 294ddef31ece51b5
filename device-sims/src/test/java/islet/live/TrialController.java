package islet.live;

import islet.control.SiteSupervisor;
import islet.executive.Duty;
import islet.executive.journal.BackgroundJournal;
import islet.executive.journal.FileJournal;
import islet.executive.journal.Journal;
import islet.executive.journal.JournalFolder;
import islet.executive.wall.FixedCycle;
import islet.executive.wall.Thinker;
import islet.executive.wall.WallClock;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import islet.site.Site;
import islet.site.SiteReader;
import java.io.IOException;
import java.nio.file.Path;
import java.util.Map;
import java.util.concurrent.Executor;
import java.util.concurrent.atomic.AtomicLong;

/**
 * One controller as it ships, less the command line: duty, fixed cycle, journal on disk, port. A
 * process may have many.
 */
final class TrialController implements AutoCloseable {

  private final FixedCycle cycle;
  private final PahoBroker paho;
  private final Journal journal;
  private final Thread thread;
  private final Duty duty;
  private volatile String failure = "";
  private final AtomicLong scans = new AtomicLong();

  TrialController(Path siteFile, Path journalFolder, String url) throws IOException {
    this(siteFile, journalFolder, url, Thinker.beside());
  }

  /**
   * Starts it.
   *
   * @param thinker may be one for many
   */
  TrialController(Path siteFile, Path journalFolder, String url, Executor thinker)
      throws IOException {
    Site site = SiteReader.read(siteFile);
    JournalFolder files = new JournalFolder(journalFolder);
    journal = new BackgroundJournal(new FileJournal(files, files.past()));
    cycle = new FixedCycle(site.supervision().scanS());
    paho = new PahoBroker(url, PahoSettings.USUAL);
    duty =
        new Duty(
            site,
            SiteSupervisor::new,
            cycle.over(paho),
            WallClock.witnessed(),
            "trial",
            journal,
            Map.of(),
            false);
    duty.thinkWith(thinker);
    thread = new Thread(this::run, "scan-" + site.id());
    thread.start();
  }

  private void run() {
    try {
      cycle.run(duty.andThen(scans::incrementAndGet));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (RuntimeException e) {
      failure = String.valueOf(e);
    }
    duty.close();
  }

  FixedCycle cycle() {
    return cycle;
  }

  PahoBroker.Counts drops() {
    return paho.counts();
  }

  /** Scans done so far. */
  long scans() {
    return scans.get();
  }

  /** What ended it; empty for nothing. */
  String failure() {
    return failure;
  }

  /** For looking at counters while it runs, and at everything when it has ended. */
  Duty duty() {
    return duty;
  }

  @Override
  public void close() {
    cycle.stop();
    try {
      thread.join(5_000);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    paho.close();
    journal.close();
  }
}
