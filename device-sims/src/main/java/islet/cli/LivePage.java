package islet.cli;

import islet.bench.EventLog;
import islet.bench.Judges;
import islet.bench.RunFolder;
import islet.bench.RunFolderException;
import islet.bench.RunRecord;
import islet.bench.Scenario;
import islet.bench.Timing;
import islet.bench.report.Report;
import islet.cli.document.LessonList;
import islet.control.SupervisorMaker;
import islet.live.LinkBudget;
import islet.live.LiveRun;
import islet.live.LiveSession;
import islet.live.Repertoire;
import islet.live.SurroundingsException;
import islet.live.page.Describer;
import islet.live.page.HistoryJson;
import islet.live.page.PageServer;
import islet.live.page.SignIn;
import islet.mqtt.Access;
import java.io.IOException;
import java.io.PrintWriter;
import java.net.URI;
import java.nio.file.Path;
import java.util.Map;
import java.util.Optional;

/**
 * Live runs with the page: tells in the terminal what happens, as without it, and keeps the verdict
 * of the last run for the exit code.
 */
final class LivePage implements LiveSession.Audience {

  private final PrintWriter out;
  private final PrintWriter err;
  private final Path folder;
  private Optional<LiveTeller> teller = Optional.empty();
  private Optional<RunRecord> last = Optional.empty();
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
      Scenario scenario,
      Path file,
      SupervisorMaker maker,
      String url,
      Access access,
      double speed,
      int port,
      SignIn signIn,
      StopSignal signal)
      throws SurroundingsException, RunFolderException, IOException {
    Repertoire repertoire = new Repertoire(file);
    LiveSession session =
        new LiveSession(
            scenario, Repertoire.nameOf(file), repertoire, maker, url, access, speed, this);
    Describer describer = new Describer(signIn, repertoire, LessonList.lessons());
    try (PageServer page =
        PageServer.start(
            port,
            URI.create(signIn.url()),
            Map.of(
                "/description.json", () -> describer.json(session.present()),
                "/history.json", () -> HistoryJson.of(session)))) {
      out.println("The page is at " + page.url() + "\n");
      out.flush();
      signal.stops(session::stop);
      session.run();
    }
    RunRecord record = last.orElseThrow();
    if (!folder.toString().isEmpty()) {
      RunFolder.write(folder, record, new Timing(wallS, steps), Report::html);
      out.println("The last run is in " + folder + ".");
      out.flush();
    }
    return record.result().passed() ? Main.PASSED : Main.FAILED;
  }

  @Override
  public void begins(LiveRun run, LiveSession.Present present) {
    begun = System.nanoTime();
    told = false;
    if (present.run() > 1) {
      out.println("\nRun " + present.run() + ": " + present.scenario().title() + "\n");
    }
    LiveTeller telling =
        new LiveTeller(
            out,
            err,
            present.scenario().site().place().zone(),
            LinkBudget.of(present.scenario().site()));
    telling.follow(run);
    teller = Optional.of(telling);
  }

  @Override
  public void happens(EventLog.Row row) {
    teller.ifPresent(telling -> telling.hear(row));
  }

  @Override
  public void ended(LiveRun run, Judges judges) {
    tell(run, judges);
    out.println("The run stands at its end. Go back or load another from the page; Ctrl-C ends.");
    out.flush();
  }

  @Override
  public void leaves(LiveRun run, Judges judges) {
    if (!told) {
      tell(run, judges);
    }
  }

  private void tell(LiveRun run, Judges judges) {
    told = true;
    wallS = (System.nanoTime() - begun) * 1e-9;
    steps = run.steps();
    teller.ifPresent(LiveTeller::close);
    teller = Optional.empty();
    RunRecord record = judges.record(Version.text());
    last = Optional.of(record);
    out.print("\n" + VerdictText.of(record.result()));
    out.flush();
  }
}
