package islet.cli;

import islet.bench.ResolvedScenario;
import islet.bench.RunFolderException;
import islet.bench.Scenario;
import islet.bench.campaign.Campaign;
import islet.bench.campaign.CampaignException;
import islet.bench.campaign.CampaignReader;
import islet.bench.campaign.CampaignRun;
import islet.bench.campaign.CampaignText;
import islet.bench.campaign.CaseRow;
import islet.bench.campaign.ResultStore;
import islet.bench.campaign.Shrinker;
import islet.bench.campaign.Tally;
import islet.bench.defect.Defects;
import islet.bench.report.CampaignPage;
import islet.control.SupervisorMaker;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.atomic.AtomicBoolean;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Runs many cases: mishaps in every mode, drawn ones, or searches for the smallest margin. */
@Command(
    name = "campaign",
    mixinStandardHelpOptions = true,
    description = {
      "Runs many cases of a few courses, each with mishaps at instants of the campaign's choice, and"
          + " judges every hazard in each.",
      "Results grow in one SQLite file, a row a case; a campaign that was stopped or killed goes on"
          + " with --resume. At its end: a page with maps of mishaps against modes and hazards, JUnit"
          + " XML, and each kind of failure as a scenario with the fewest events that still fails.",
      "Exit code 1 when a case failed, or when the campaign was stopped before its end."
    })
final class CampaignCommand implements Callable<Integer> {

  /** Kinds of failures that are shrunk; a broken supervisor would fail in all of them. */
  private static final int MOST_SHRUNK = 40;

  @Parameters(paramLabel = "CAMPAIGN", description = "a file such as config/campaigns/smoke.yaml")
  private Path file = Path.of("");

  @Option(
      names = "--out",
      paramLabel = "DIR",
      description = "the folder for results and reports (default: runs/campaign-NAME)")
  private Path out = Path.of("");

  @Option(
      names = "--jobs",
      paramLabel = "N",
      description = "how many cases run at once (default: one for each core)")
  private int jobs = Runtime.getRuntime().availableProcessors();

  @Option(
      names = "--limit",
      paramLabel = "N",
      description =
          "at most so many cases, spread evenly over all of them; of a search, as many whole searches"
              + " as fit, but one at least (default: all)")
  private long limit;

  @Option(names = "--resume", description = "goes on with the results in the folder")
  private boolean resume;

  @Mixin private final SupervisorOptions supervisors = new SupervisorOptions();

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws RunFolderException, IOException, InterruptedException {
    if (jobs < 1 || limit < 0) {
      throw new ParameterException(
          spec.commandLine(),
          (jobs < 1 ? "--jobs: found " + jobs : "--limit: found " + limit)
              + "; allowed is a whole number from 1.");
    }
    SupervisorMaker maker = supervisors.chosen(spec);
    Campaign campaign = CampaignReader.read(file);
    CampaignFolder folder = CampaignFolder.at(place(), resume);
    CampaignRun run = new CampaignRun(campaign, maker, Defects::named, Version.text(), limit);
    AtomicBoolean stop = new AtomicBoolean();
    try (StopSignal signal = new StopSignal();
        ResultStore store = folder.open(run.about())) {
      signal.stops(() -> stop.set(true));
      CampaignProgress progress = new CampaignProgress(spec.commandLine().getErr());
      boolean complete = run.run(store, jobs, progress, stop::get);
      progress.end();
      int code = tell(campaign, run, maker, store, folder, complete);
      signal.leaveWith(code);
      return code;
    } catch (CampaignException e) {
      throw new RunFolderException(String.valueOf(e.getMessage()));
    }
  }

  private Path place() {
    String name = String.valueOf(file.getFileName()).replaceFirst("\\.ya?ml$", "");
    return out.toString().isEmpty() ? Path.of("runs", "campaign-" + name) : out;
  }

  private int tell(
      Campaign campaign,
      CampaignRun run,
      SupervisorMaker maker,
      ResultStore store,
      CampaignFolder folder,
      boolean complete)
      throws IOException {
    Tally tally = run.tally(store);
    List<String> shrunk =
        campaign.method() instanceof Campaign.Planted
            ? List.of()
            : shrink(tally, run, maker, store, folder);
    String text = CampaignText.of(tally, complete, run.count());
    folder.write(
        CampaignPage.html(tally, complete, maker.name(), Version.text(), shrunk),
        text,
        tally,
        store);
    PrintWriter print = spec.commandLine().getOut();
    print.print(text);
    shrunk.forEach(name -> print.println("Shrunk: " + place().resolve(name)));
    if (!complete) {
      print.println("Stopped. Go on with --resume; what is done is kept in " + place() + ".");
    }
    print.println("Page: " + folder.page());
    return complete && tally.failed() == 0 ? Main.PASSED : Main.FAILED;
  }

  /** Writes one scenario for each kind of failure. */
  private static List<String> shrink(
      Tally tally, CampaignRun run, SupervisorMaker maker, ResultStore store, CampaignFolder folder)
      throws IOException {
    List<String> files = new ArrayList<>();
    Shrinker shrinker = new Shrinker(run, maker);
    for (CaseRow row : tally.kinds()) {
      Optional<Scenario> failing =
          files.size() < MOST_SHRUNK && !row.hazard().isEmpty()
              ? run.scenario(row, store)
              : Optional.empty();
      Optional<Scenario> least = failing.flatMap(s -> shrinker.shrink(s, row.hazard()));
      if (least.isPresent()) {
        String name = String.format(Locale.ROOT, "case-%07d-%s.yaml", row.id(), row.hazard());
        files.add(folder.write(name, ResolvedScenario.write(least.get())));
      }
    }
    return files;
  }
}
