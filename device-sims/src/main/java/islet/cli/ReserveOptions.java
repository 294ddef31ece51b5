package islet.cli;

import islet.bench.HourStates;
import islet.bench.IslandLife;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.reserve.ReserveCurve;
import islet.bench.reserve.ReserveStudy;
import islet.site.Dimension;
import islet.site.InputException;
import islet.site.InputFile;
import islet.site.Problem;
import islet.site.Quantity;
import islet.site.Setting;
import islet.site.Site;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.regex.Pattern;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** What a reserve curve is asked for. */
final class ReserveOptions {

  /** The reserves that are tried; the option itself stands with the command. */
  static final String RESERVES = "--reserves";

  /** One reserve and the scenario with it put in. */
  record Case(String reserve, Scenario scenario) {}

  private static final String OUTAGE = "--outage";
  private static final String JOBS = "--jobs";
  private static final String REHEARSE = "--rehearse-outages";
  private static final String PATH = "supervision.reserve";
  private static final String USUAL_OUTAGE = "8 h";
  private static final int MOST_JOBS = 256;
  private static final int MOST_REHEARSED = 1000;

  /** Two hours are the least in which one outage can be begun and watched. */
  private static final long SHORTEST_SPAN = 2 * HourStates.HOUR;

  private static final Pattern WHOLE = Pattern.compile("\\d{1,6}");

  @Option(
      names = OUTAGE,
      paramLabel = "TIME",
      description =
          "with --reserves: the outage that shall be survived (default: " + USUAL_OUTAGE + ")")
  private String outage = "";

  @Option(
      names = JOBS,
      paramLabel = "N",
      description = "with --reserves: how many runs go on at once (default: one for each core)")
  private String jobs = "";

  @Option(
      names = REHEARSE,
      paramLabel = "N",
      description =
          "with --reserves: rehearse so many outages whole, at hours drawn by the seed, and set them"
              + " beside the account of energy (default: 0)")
  private String rehearsed = "";

  /** Without reserves these options mean nothing. */
  void refuseAlone(CommandLine command) {
    List<String> names = List.of(OUTAGE, JOBS, REHEARSE);
    List<String> values = List.of(outage, jobs, rehearsed);
    for (int i = 0; i < names.size(); i++) {
      if (!values.get(i).isEmpty()) {
        throw new ParameterException(
            command,
            names.get(i)
                + ": found no "
                + RESERVES
                + " beside it; allowed is only with it, for example "
                + RESERVES
                + " 20%,50%,90%.");
      }
    }
  }

  /** Reads the scenario once for each reserve, and refuses what the curve can't be drawn for. */
  List<Case> cases(String text, List<Path> things, List<Setting> set, CommandLine command) {
    List<String> reserves = List.of(text.split(",", -1)).stream().map(String::strip).toList();
    List<Double> shares = new ArrayList<>();
    for (String reserve : reserves) {
      Optional<Quantity> share = Quantity.parse(reserve, Dimension.RATIO);
      share.map(Quantity::value).filter(v -> v >= 0 && v <= 1).ifPresent(shares::add);
    }
    if (shares.size() != reserves.size() || shares.stream().distinct().count() != shares.size()) {
      throw new ParameterException(
          command,
          RESERVES
              + ": found \""
              + text
              + "\"; allowed are different states of charge from 0 % to 100 % with commas between,"
              + " for example 20%,30%,50%,70%,90%.");
    }
    if (things.size() != 1 || Files.isDirectory(things.get(0))) {
      throw new ParameterException(
          command,
          RESERVES
              + ": found "
              + (things.size() == 1 ? "the run folder " + things.get(0) : things.size() + " things")
              + "; allowed is one scenario file.");
    }
    // Read here, so that a wrong one is told before the first run begins.
    outageMicros(command);
    jobs(command);
    rehearsed(command);
    List<Case> cases = new ArrayList<>();
    for (String reserve : reserves) {
      List<Setting> settings = new ArrayList<>(set);
      settings.removeIf(setting -> setting.path().equals(PATH));
      settings.add(new VarySetting(PATH, reserve).setting(RESERVES));
      Scenario scenario = ScenarioReader.read(things.get(0), OptionalLong.empty(), settings);
      refuse(scenario);
      cases.add(new Case(reserve, scenario));
    }
    return cases;
  }

  private static void refuse(Scenario scenario) {
    Site site = scenario.site();
    List<Problem> problems = new ArrayList<>();
    if (!site.arrangement().hasUtility()) {
      problems.add(
          problem(
              scenario.siteFile(),
              "arrangement",
              "standalone",
              "a site with a utility that can go",
              "Without one there is no outage; rehearse the scenario itself."));
    }
    if (site.changeover().map(Site.Changeover::manual).orElse(false)) {
      problems.add(
          problem(
              scenario.siteFile(),
              "changeover",
              "a switch moved by hand",
              "a site that takes its panel over by itself",
              "The panel is dark until somebody moves the switch, whatever the reserve."));
    }
    if (!scenario.events().isEmpty()) {
      problems.add(
          problem(
              scenario.file(),
              "events",
              scenario.events().size() + " events",
              "a scenario in which nothing happens",
              "Take the events out; the curve begins its own outages."));
    }
    if (scenario.durationMicros() < SHORTEST_SPAN) {
      problems.add(
          problem(
              scenario.file(),
              "duration",
              "less than two hours",
              "two hours or more",
              "Give a span that is worth a curve: a month, or P365D for a year."));
    }
    if (!problems.isEmpty()) {
      throw new InputException(problems);
    }
  }

  private static Problem problem(
      Path file, String field, String found, String allowed, String doThis) {
    return new Problem(InputFile.shown(file), 0, field, found, allowed, doThis);
  }

  /** Works the curve out. */
  ReserveCurve work(List<Case> cases, CommandLine command) {
    CurveProgress progress = new CurveProgress(command.getErr());
    try {
      return ReserveStudy.of(
          cases.stream().map(Case::reserve).toList(),
          cases.stream().map(Case::scenario).toList(),
          Version.text(),
          outageMicros(command),
          rehearsed(command),
          jobs(command),
          progress);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException("The study was interrupted; nothing was written.", e);
    } finally {
      progress.end();
    }
  }

  private long outageMicros(CommandLine command) {
    String text = outage.isEmpty() ? USUAL_OUTAGE : outage;
    double longest = IslandLife.LONGEST / 1e6;
    OptionalDouble seconds =
        Quantity.parse(text.strip(), Dimension.TIME).stream()
            .mapToDouble(Quantity::value)
            .filter(s -> s >= 60 && s <= longest)
            .findFirst();
    if (seconds.isEmpty()) {
      throw new ParameterException(
          command,
          OUTAGE
              + ": found \""
              + text
              + "\"; allowed is 1 min to 168 h, with its unit, for example \"8 h\".");
    }
    return Math.round(seconds.getAsDouble() * 1e6);
  }

  private int jobs(CommandLine command) {
    int cores = Math.min(MOST_JOBS, Runtime.getRuntime().availableProcessors());
    return whole(JOBS, jobs, 1, MOST_JOBS, command).orElse(cores);
  }

  private int rehearsed(CommandLine command) {
    return whole(REHEARSE, rehearsed, 0, MOST_REHEARSED, command).orElse(0);
  }

  private static OptionalInt whole(
      String option, String text, int least, int most, CommandLine command) {
    if (text.isEmpty()) {
      return OptionalInt.empty();
    }
    int value = WHOLE.matcher(text).matches() ? Integer.parseInt(text) : -1;
    if (value < least || value > most) {
      throw new ParameterException(
          command,
          option
              + ": found \""
              + text
              + "\"; allowed is a whole number from "
              + least
              + " to "
              + most
              + ".");
    }
    return OptionalInt.of(value);
  }
}
