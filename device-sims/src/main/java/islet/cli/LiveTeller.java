package islet.cli;

import islet.bench.EventLog;
import islet.contract.Decimal;
import islet.contract.SupervisorTelemetry;
import islet.live.LinkBudget;
import islet.live.LiveRun;
import islet.live.RealTimeDriver;
import java.io.PrintWriter;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Optional;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.stream.Collectors;

/**
 * Tells a person what happens in a live run: each event as it comes, now and then how things stand,
 * and in words when the machine or the link is too slow for the chosen speed. It prints on a thread
 * of its own, since a terminal may be stopped and the run must not be.
 */
final class LiveTeller implements AutoCloseable {

  private static final long LOOK_MILLIS = 100;

  /** Looks between two lines of status. */
  private static final int STATUS_LOOKS = 10;

  /** The run is late when it is behind by more than this, s of wall time. */
  private static final double LATE_S = 1;

  private static final int STATUS_WIDTH = 78;

  private static final DateTimeFormatter CLOCK =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm:ss.SSS");
  private static final DateTimeFormatter SECONDS =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm:ss");

  private final PrintWriter out;
  private final PrintWriter err;
  private final ZoneId zone;
  private final LinkBudget budget;
  private final boolean beside;
  private final ConcurrentLinkedQueue<Heard> heard = new ConcurrentLinkedQueue<>();
  private final boolean terminal = Boolean.getBoolean("islet.terminal");
  private Optional<Thread> thread = Optional.empty();
  private volatile boolean closed;
  private boolean late;
  private boolean slowTold;
  private boolean statusShown;

  private record Heard(int site, EventLog.Row row) {}

  /** For a run of one site. */
  LiveTeller(PrintWriter out, PrintWriter err, ZoneId zone, LinkBudget budget) {
    this(out, err, zone, budget, false);
  }

  /**
   * For a run of one site or two.
   *
   * @param beside whether a second site runs beside the first, so that each line says whose it is
   */
  LiveTeller(PrintWriter out, PrintWriter err, ZoneId zone, LinkBudget budget, boolean beside) {
    this.beside = beside;
    this.out = out;
    this.err = err;
    this.zone = zone;
    this.budget = budget;
  }

  /** What a site is called beside another one: A, B. */
  static String letter(int site) {
    return String.valueOf((char) ('A' + site));
  }

  /** Takes an event of a run of one site, from any thread; never waits. */
  void hear(EventLog.Row row) {
    hear(0, row);
  }

  /** Takes an event, from any thread; never waits. */
  void hear(int site, EventLog.Row row) {
    heard.add(new Heard(site, row));
  }

  /** Begins to tell. */
  void follow(LiveRun run) {
    Thread telling = new Thread(() -> tell(run), "islet-teller");
    telling.setDaemon(true);
    telling.start();
    thread = Optional.of(telling);
  }

  private void tell(LiveRun run) {
    try {
      for (int look = 0; !closed; look++) {
        tellEvents();
        tellLag(run);
        if (terminal && look % STATUS_LOOKS == 0) {
          status(run);
        }
        Thread.sleep(LOOK_MILLIS);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    tellEvents();
    tellLag(run);
    wipe();
  }

  private void tellEvents() {
    for (Heard one = heard.poll(); one != null; one = heard.poll()) {
      say(line(one));
    }
  }

  private String line(Heard one) {
    EventLog.Row row = one.row();
    StringBuilder text = new StringBuilder(at(row.micros(), CLOCK));
    text.append(beside ? "  " + letter(one.site()) : "")
        .append("  ")
        .append(padded(row.source(), 15))
        .append(' ')
        .append(padded(row.kind(), 9));
    text.append(' ');
    if (row.from().isEmpty() || row.to().isEmpty()) {
      text.append(row.from()).append(row.to());
    } else {
      text.append(row.from()).append(" → ").append(row.to());
    }
    if (!row.reason().isEmpty()) {
      text.append(": ").append(row.reason());
    }
    return text.toString();
  }

  private static String padded(String word, int width) {
    return word + " ".repeat(Math.max(0, width - word.length()));
  }

  private String at(long micros, DateTimeFormatter form) {
    Instant instant =
        Instant.ofEpochSecond(
            Math.floorDiv(micros, 1_000_000L), Math.floorMod(micros, 1_000_000L) * 1_000);
    return form.format(instant.atZone(zone));
  }

  private void tellLag(LiveRun run) {
    RealTimeDriver.Lag lag = run.lag();
    double speed = run.speed();
    boolean behind = lag.seconds() / speed > LATE_S;
    if (behind && !late) {
      late = true;
      say(
          "Machine or link do not keep up with speed "
              + Decimal.text(speed, 3)
              + ": the run is "
              + Decimal.text(lag.seconds(), 0)
              + " s of site time behind the wall clock. No scan is skipped, everything comes late;"
              + " choose a lower speed.");
    } else if (late && lag.seconds() / speed < LATE_S / 2) {
      late = false;
      say("The run has caught up with the wall clock.");
    }
    double slowestS = run.delay().worstS();
    if (!slowTold && slowestS > budget.messageS()) {
      slowTold = true;
      say(
          "A message took "
              + Decimal.text(slowestS, 3)
              + " s of site time. Above "
              + Decimal.text(budget.messageS(), 3)
              + " s, "
              + budget.timeout()
              + " ("
              + Decimal.text(budget.timeoutS(), 3)
              + " s) may run out for no fault of the site's; what fails from here on may do so for"
              + " the speed alone.");
    }
  }

  private void status(LiveRun run) {
    double behindS = run.lag().seconds();
    double speed = run.speed();
    String text =
        at(run.now(), SECONDS)
            + "  "
            + run.pictures().stream().map(LiveTeller::picture).collect(Collectors.joining(" | "))
            + "  speed "
            + Decimal.text(speed, 3)
            + (behindS / speed > LATE_S
                ? ", " + Decimal.text(behindS, 0) + " s behind"
                : ", on time");
    err.print("\r" + padded(text, STATUS_WIDTH));
    err.flush();
    statusShown = true;
  }

  private static String picture(Optional<SupervisorTelemetry> picture) {
    return picture
        .map(p -> p.mode() + "  SoC " + Decimal.text(p.soc() * 100, 0) + " %")
        .orElse("no word from the supervisor yet");
  }

  private void wipe() {
    if (statusShown) {
      err.print("\r" + " ".repeat(STATUS_WIDTH) + "\r");
      err.flush();
      statusShown = false;
    }
  }

  private void say(String sentence) {
    wipe();
    out.println(sentence);
  }

  /** Tells what is left and ends. */
  @Override
  public void close() {
    closed = true;
    thread.ifPresent(
        telling -> {
          try {
            telling.join();
          } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
          }
        });
  }
}
