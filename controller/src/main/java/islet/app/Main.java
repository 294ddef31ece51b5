package islet.app;

import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import picocli.CommandLine;
import picocli.CommandLine.Command;

/** The entrance to what ships to a site. */
@Command(
    name = "islet",
    mixinStandardHelpOptions = true,
    description = "Supervises a PV and battery site over MQTT.",
    subcommands = {ControllerCommand.class, JournalCommand.class, HealthCommand.class})
public final class Main {

  /** Where logging looks for its settings, unless somebody named others on the command line. */
  private static final String LOGGING = "logback.configurationFile";

  private Main() {}

  /** Runs a command and leaves with its exit code. */
  public static void main(String[] args) {
    if (System.getProperty(LOGGING) == null) {
      System.setProperty(LOGGING, "islet/app/logging.xml");
    }
    CommandLine line = new CommandLine(new Main());
    line.setOut(new PrintWriter(System.out, true, StandardCharsets.UTF_8));
    line.setErr(new PrintWriter(System.err, true, StandardCharsets.UTF_8));
    System.exit(line.execute(args));
  }
}
