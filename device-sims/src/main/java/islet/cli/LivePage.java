package islet.cli;

import islet.bench.EventLog;
import islet.bench.Judges;
import islet.bench.RunFolder;
import islet.bench.RunFolderException;
import islet.bench.RunRecord;
import islet.bench.Timing;
import islet.bench.report.Report;
import islet.cli.document.LessonList;
import islet.control.SupervisorMaker;
import islet.live.BesideSite;
import islet.live.LinkBudget;
import islet.live.LiveRun;
import islet.live.LiveSession;
import islet.live.Repertoire;
import islet.live.SurroundingsException;
import islet.live.page.Describer;
import islet.live.page.HistoryJson;
import islet.live.page.PageOffer;
import islet.live.page.PageServer;
import islet.live.page.SignIn;
import islet.mqtt.Access;
import java.io.IOException;
import java.io.PrintWriter;
import java.net.URI;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;

/**
 * Live runs with the page: tells in the terminal what happens, as without it, and keeps the verdict
 * of the last run for the exit code.
 */
final class LivePage implements LiveSession.Audience {

  private final PrintWriter out;
  private final PrintWriter err;
  private final Path folder;
  private Optional<LiveTeller> teller = Optional.empty();
  private List<RunRecord> last = List.of();
  private List<Path> lastFolders = List.of();
  private long begun;
  private double wallS;
  private long steps;
  private boolean told;

  /**
   * A terminal's end of it.
   *
   * @param folder the last run's folder; empty for none
   */
  LivePage(PrintWriter out, PrintWriter err, Path folder) {
    this.out = out;
    this.err = err;
    this.folder = folder;
  }

  /**
   * Plays until the signal comes.
   *
   * @return the exit code
   */
  int run(
      LiveSession.Present first,
      Optional<BesideSite> beside,
      Repertoire repertoire,
      SupervisorMaker maker,
      String url,
      Access access,
      double speed,
      int port,
      SignIn signIn,
      StopSignal signal)
      throws SurroundingsException, RunFolderException, IOException {
    LiveSession session =
        new LiveSession(first, beside, repertoire, maker, url, access, speed, this);
    Describer describer = new Describer(signIn, repertoire, LessonList.lessons());
    URI broker = URI.create(signIn.url());
    Map<String, Supplier<byte[]>> made =
        Map.of(
            "/description.json", () -> describer.json(session.present()),
            "/history.json", () -> HistoryJson.of(session));
    PageOffer offer =
        beside.isPresent() ? PageOffer.beside(broker, made) : PageOffer.live(broker, made);
    try (PageServer page = PageServer.start(port, offer)) {
      out.println("The page is at " + page.url() + "\n");
      out.flush();
      signal.stops(session::stop);
      session.run();
    }
    if (!folder.toString().isEmpty()) {
      for (int i = 0; i < last.size(); i++) {
        RunFolder.write(lastFolders.get(i), last.get(i), new Timing(wallS, steps), Report::html);
        out.println("The last run is in " + lastFolders.get(i) + ".");
      }
      out.flush();
    }
    boolean passed = last.stream().allMatch(record -> record.result().passed());
    return passed ? Main.PASSED : Main.FAILED;
  }

  /** Where a run of one site or two is written: two stand in the folder, each by its site's id. */
  static List<Path> folders(Path folder, LiveSession.Present present) {
    return present.beside().isEmpty()
        ? List.of(folder)
        : present.sites().stream().map(s -> folder.resolve(s.site().id())).toList();
  }

  @Override
  public void begins(LiveRun run, LiveSession.Present present) {
    begun = System.nanoTime();
    told = false;
    if (present.run() > 1) {
      out.println("\nRun " + present.run() + ": " + present.scenario().title() + "\n");
    }
    lastFolders = folders(folder, present);
    LiveTeller telling =
        new LiveTeller(
            out,
            err,
            present.scenario().site().place().zone(),
            LinkBudget.of(present.scenario().site()),
            present.beside().isPresent());
    telling.follow(run);
    teller = Optional.of(telling);
  }

  @Override
  public void happens(int site, EventLog.Row row) {
    teller.ifPresent(telling -> telling.hear(site, row));
  }

  @Override
  public void ended(LiveRun run, List<Judges> judges) {
    tell(run, judges);
    out.println("The run stands at its end. Go back or load another from the page; Ctrl-C ends.");
    out.flush();
  }

  @Override
  public void leaves(LiveRun run, List<Judges> judges) {
    if (!told) {
      tell(run, judges);
    }
  }

  private void tell(LiveRun run, List<Judges> judges) {
    told = true;
    wallS = (System.nanoTime() - begun) * 1e-9;
    steps = run.steps();
    teller.ifPresent(LiveTeller::close);
    teller = Optional.empty();
    last = judges.stream().map(judging -> judging.record(Version.text())).toList();
    last.forEach(record -> out.print("\n" + VerdictText.of(record.result())));
    out.flush();
  }
}
