package islet.cli;

import islet.bench.RunFolder;
import islet.bench.RunFolderException;
import islet.bench.RunRecord;
import islet.bench.Scenario;
import islet.bench.Timing;
import islet.bench.guided.GuidedRun;
import islet.bench.guided.Seal;
import islet.bench.report.Report;
import islet.control.SupervisorMaker;
import islet.live.SurroundingsException;
import islet.live.page.LatestWire;
import islet.live.page.LetterBox;
import islet.live.page.PageOffer;
import islet.live.page.PageServer;
import islet.live.page.RehearsalDesk;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.util.HexFormat;
import java.util.Map;
import java.util.Optional;

/**
 * A guided rehearsal that asks on a page in the browser. Run, rules for answers and record are
 * those of the terminal's.
 */
final class GuidedPage {

  private static final int SECRET_BYTES = 32;
  private static final String RECORD_PAGE = "/" + RunFolder.RECORD_PAGE;
  private static final String RECORD_JSON = "/" + RunFolder.RECORD_JSON;

  private final Scenario scenario;
  private final SupervisorMaker maker;
  private final Path folder;
  private final PrintWriter out;
  private final Clock clock;
  private final RehearsalDesk desk;
  private final String secret = secret();
  private long runNanos;

  /**
   * One rehearsal.
   *
   * @param folder where the run folder goes, checked already
   * @param out what the person reads in the terminal
   * @param clock the present time, for the record's dates
   */
  GuidedPage(Scenario scenario, SupervisorMaker maker, Path folder, PrintWriter out, Clock clock) {
    this.scenario = scenario;
    this.maker = maker;
    this.folder = folder;
    this.out = out;
    this.clock = clock;
    this.desk = new RehearsalDesk(scenario, secret);
  }

  private static String secret() {
    byte[] bytes = new byte[SECRET_BYTES];
    new SecureRandom().nextBytes(bytes);
    return HexFormat.of().formatHex(bytes);
  }

  /**
   * Serves the page, runs, asks and writes the folder; stays until the person leaves.
   *
   * @param port of the page; 0 for one that is free
   * @param resume whether answers that are in the folder shall be gone on with
   * @param signal Ctrl-C, after which nobody is asked any more
   * @return the exit code; {@link Main#FAILED} too when the answers ended before the record was
   *     signed
   * @throws SurroundingsException when the port cannot be had; nothing was written then
   */
  int run(int port, boolean resume, StopSignal signal)
      throws SurroundingsException, RunFolderException, IOException {
    PageOffer offer =
        new PageOffer(
            "/rehearsal.html",
            Optional.empty(),
            Map.of("/description.json", desk::description, "/rehearsal.json", desk::now),
            Map.of(
                RECORD_PAGE, () -> desk.paper(RunFolder.RECORD_PAGE),
                RECORD_JSON, () -> desk.paper(RunFolder.RECORD_JSON)),
            Optional.of(new LetterBox("/answer.json", secret, desk::take)));
    try (PageServer page = PageServer.start(port, offer)) {
      GuidedRun run = GuidedRun.begin(scenario, maker, folder, resume, clock.instant());
      signal.stops(desk::stop);
      out.println(scenario.title());
      out.println(
          "The page is at " + page.url() + "  Ctrl-C breaks off; what was answered is kept.");
      out.flush();
      return guide(run);
    }
  }

  private int guide(GuidedRun run) throws RunFolderException, IOException {
    LatestWire wire = new LatestWire("islet/v1/" + scenario.site().id() + "/");
    run.listen(wire);
    try {
      desk.begin(run.answers());
      Optional<GuidedRun.Standing> open = next(run);
      while (open.isPresent()) {
        GuidedRun.Standing standing = open.get();
        long micros = standing.sight().micros();
        desk.ask(
            standing,
            run.civil(micros),
            run.look(),
            wire.at(micros),
            given -> run.answer(standing, given, clock.instant()));
        open = next(run);
      }
      return end(run);
    } catch (RehearsalDesk.Ended e) {
      out.println(
          GuidedEnd.brokenOff(
              run.answers().size(),
              scenario.stops().size(),
              folder,
              "rehearse --guided --resume --page PORT"));
      out.flush();
      return Main.FAILED;
    }
  }

  private Optional<GuidedRun.Standing> next(GuidedRun run) throws RunFolderException {
    long begun = System.nanoTime();
    Optional<GuidedRun.Standing> open = run.next(desk::ran);
    runNanos += System.nanoTime() - begun;
    return open;
  }

  private int end(GuidedRun run) throws RunFolderException, IOException, RehearsalDesk.Ended {
    long begun = System.nanoTime();
    RunRecord record = run.finish(desk::ran, Version.text());
    runNanos += System.nanoTime() - begun;
    RehearsalDesk.Hand hand = desk.sign(record.result().passed());
    GuidedEnd end =
        new GuidedEnd(
            record,
            run.sign(record, Report::html, hand.name(), hand.text(), clock.instant()),
            folder);
    Map<String, byte[]> files = end.files();
    end.write(new Timing(runNanos * 1e-9, run.steps()), files);
    end.tell(out);
    out.println("The page shows it until it is closed there, or Ctrl-C.");
    out.flush();
    byte[] json = files.getOrDefault(RunFolder.RECORD_JSON, new byte[0]);
    desk.signed(end.record(), Seal.digest(json), files);
    desk.untilLeft();
    return end.code();
  }
}
