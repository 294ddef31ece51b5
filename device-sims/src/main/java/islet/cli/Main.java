package islet.cli;

import islet.app.ControllerCommand;
import islet.app.HealthCommand;
import islet.app.JournalCommand;
import islet.bench.RunFolderException;
import islet.bench.plug.SupervisorCrash;
import islet.live.SurroundingsException;
import islet.metrics.MetricsUnavailableException;
import islet.mqtt.BrokerUnreachableException;
import islet.site.InputException;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import picocli.AutoComplete;
import picocli.CommandLine;
import picocli.CommandLine.Command;

/** The entrance to all commands. */
@Command(
    name = "islet",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description = {
      "Rehearses a PV and battery site with its supervisor before anything touches hardware.",
      "",
      "Islet rehearses; certified device protection protects. Work on live equipment follows local"
          + " codes and is for licensed persons."
    },
    subcommands = {
      RehearseCommand.class,
      CampaignCommand.class,
      CheckCommand.class,
      CompareCommand.class,
      ReplayCommand.class,
      LiveCommand.class,
      WatchCommand.class,
      ControllerCommand.class,
      JournalCommand.class,
      DevicesCommand.class,
      HealthCommand.class,
      AccountCommand.class,
      ReferencesCommand.class,
      DocumentCommand.class,
      AutoComplete.GenerateCompletion.class
    },
    exitCodeListHeading = "%nExit codes:%n",
    exitCodeList = {
      "0:done and passed",
      "1:a verdict failed",
      "2:the input is wrong; nothing was written",
      "3:the surroundings are wrong: broker unreachable, port taken, no JDK, a judge missing"
    })
public final class Main {

  /** Done and passed. */
  static final int PASSED = 0;

  /** A verdict failed. */
  static final int FAILED = 1;

  /** The input is wrong. */
  static final int BAD_INPUT = 2;

  /** The surroundings are wrong. */
  static final int BAD_SURROUNDINGS = 3;

  private Main() {}

  /** Runs a command and leaves with its exit code. */
  public static void main(String[] args) {
    System.exit(run(args, utf8(System.out), utf8(System.err)));
  }

  private static PrintWriter utf8(java.io.OutputStream stream) {
    return new PrintWriter(stream, true, StandardCharsets.UTF_8);
  }

  /** Runs a command and returns its exit code. */
  static int run(String[] args, PrintWriter out, PrintWriter err) {
    CommandLine line = new CommandLine(new Main());
    line.setOut(out);
    line.setErr(err);
    line.setCaseInsensitiveEnumValuesAllowed(true);
    line.setExecutionExceptionHandler((e, command, parse) -> explain(e, err));
    int code = line.execute(args);
    out.flush();
    err.flush();
    return code;
  }

  private static int explain(Exception e, PrintWriter err) throws Exception {
    if (e instanceof InputException input) {
      input.problems().forEach(err::println);
      return BAD_INPUT;
    }
    if (e instanceof RunFolderException) {
      err.println(e.getMessage());
      return BAD_INPUT;
    }
    if (e instanceof SupervisorCrash crash) {
      err.println(
          "--supervisor: found one that fails before its first scan: "
              + crash.sentence()
              + "; allowed is one that keeps and restores what it remembers. Mend its keep().");
      return BAD_INPUT;
    }
    if (e instanceof SurroundingsException
        || e instanceof BrokerUnreachableException
        || e instanceof MetricsUnavailableException) {
      err.println(e.getMessage());
      return BAD_SURROUNDINGS;
    }
    if (e instanceof IOException) {
      err.println(
          "The machine did not let a file be written or read: "
              + e
              + ". Look at the disk's room and at permissions.");
      return BAD_SURROUNDINGS;
    }
    throw e;
  }
}
