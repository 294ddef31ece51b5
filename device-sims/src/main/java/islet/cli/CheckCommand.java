package islet.cli;

import islet.bench.check.Assumptions;
import islet.bench.check.CheckJson;
import islet.bench.check.CheckText;
import islet.bench.check.SiteCheck;
import islet.site.Dimension;
import islet.site.InputFile;
import islet.site.Quantity;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Reads a site's settings as a commissioning technician would. */
@Command(
    name = "check",
    mixinStandardHelpOptions = true,
    description = {
      "Reads a site's settings as an experienced commissioning technician would: the figures one"
          + " asks first, then what is wrong or doubtful, why, by what source, and what to do.",
      "Nothing is run. Exit code 0 when nothing is worse than doubtful, 1 when something is wrong or"
          + " dangerous, 2 when the file can't be read. A clean check replaces no test that local"
          + " codes and licensed practice require."
    })
final class CheckCommand implements Callable<Integer> {

  /** How the check is printed. */
  enum Format {
    TEXT,
    JSON
  }

  private static final String SET = "--set";
  private static final String OUTAGE = "--outage";
  private static final String COLDEST = "--coldest";
  private static final String HOTTEST = "--hottest";

  @Parameters(paramLabel = "SITE", description = "a site file")
  private Path file = Path.of("");

  @Option(
      names = "--format",
      paramLabel = "text|json",
      description = "how it is printed (default: ${DEFAULT-VALUE})",
      defaultValue = "text")
  private Format format = Format.TEXT;

  @Option(
      names = SET,
      paramLabel = "KEY=VALUE",
      description =
          "a setting in the place of the file's own, such as supervision.reserve=60%%; may be given"
              + " several times")
  private List<String> sets = List.of();

  @Option(
      names = OUTAGE,
      paramLabel = "TIME",
      description = "the longest outage that the reserve shall bear, such as \"8 h\"")
  private String outage = "";

  @Option(
      names = COLDEST,
      paramLabel = "TEMPERATURE",
      description = "air on the coldest sunny morning (default: ${DEFAULT-VALUE})",
      defaultValue = "-25 degC")
  private String coldest = "";

  @Option(
      names = HOTTEST,
      paramLabel = "TEMPERATURE",
      description = "air at the hottest noon (default: ${DEFAULT-VALUE})",
      defaultValue = "40 degC")
  private String hottest = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws IOException {
    Assumptions assumptions =
        new Assumptions(
            quantity(COLDEST, coldest, Dimension.TEMPERATURE, -60, 20, "-60 degC to 20 degC"),
            quantity(HOTTEST, hottest, Dimension.TEMPERATURE, 10, 60, "10 degC to 60 degC"),
            outage.isEmpty()
                ? OptionalDouble.empty()
                : OptionalDouble.of(
                    quantity(OUTAGE, outage, Dimension.TIME, 1, 30 * 86_400, "1 s to 720 h")));
    SiteCheck check =
        SiteCheck.of(file, VarySetting.all(sets, SET, spec.commandLine()), assumptions);
    PrintWriter print = spec.commandLine().getOut();
    String shown = InputFile.shown(file);
    switch (format) {
      case TEXT -> print.print(CheckText.of(check, shown));
      case JSON -> print.print(CheckJson.of(check, shown, Version.text()));
    }
    return check.passed() ? Main.PASSED : Main.FAILED;
  }

  private double quantity(
      String option,
      String text,
      Dimension dimension,
      double minimum,
      double maximum,
      String allowed) {
    double value = Quantity.parse(text.strip(), dimension).map(Quantity::value).orElse(Double.NaN);
    if (!(value >= minimum && value <= maximum)) {
      throw new ParameterException(
          spec.commandLine(),
          option + ": found \"" + text + "\"; allowed is " + allowed + ", with its unit.");
    }
    return value;
  }
}
