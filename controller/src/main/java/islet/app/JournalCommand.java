package islet.app;

import islet.contract.IsoTime;
import islet.executive.journal.Entry;
import islet.executive.journal.JournalFolder;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Prints a controller's journal, a line a note. */
@Command(
    name = "journal",
    mixinStandardHelpOptions = true,
    description =
        "Prints a controller's journal, a line a note: number, instant in UTC, kind, fields. Also"
            + " while the controller runs.")
public final class JournalCommand implements Callable<Integer> {

  private static final int DONE = 0;
  private static final int BAD_INPUT = 2;
  private static final int BAD_SURROUNDINGS = 3;

  @Parameters(arity = "1", paramLabel = "DIR", description = "the folder of the journal")
  private Path folder = Path.of("");

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() {
    PrintWriter out = spec.commandLine().getOut();
    PrintWriter err = spec.commandLine().getErr();
    if (!Files.isDirectory(folder)) {
      err.println(
          "DIR: found \"" + folder + "\", which is no folder; allowed is the folder of a journal.");
      return BAD_INPUT;
    }
    try {
      long next = 0;
      for (Entry entry : new JournalFolder(folder).entries()) {
        if (next > 0 && entry.seq() != next) {
          out.println("  (" + (entry.seq() - next) + " notes are missing here)");
        }
        next = entry.seq() + 1;
        out.println(line(entry));
      }
      return DONE;
    } catch (IOException e) {
      err.println("The journal in " + folder + " cannot be read (" + e + ").");
      return BAD_SURROUNDINGS;
    }
  }

  private static String line(Entry entry) {
    StringBuilder text =
        new StringBuilder()
            .append(entry.seq())
            .append("  ")
            .append(IsoTime.text(entry.atMicros()))
            .append("  ")
            .append(entry.kind());
    for (Map.Entry<String, String> field : entry.fields().entrySet()) {
      text.append("  ").append(field.getKey()).append(": ").append(field.getValue());
    }
    return text.toString();
  }
}
