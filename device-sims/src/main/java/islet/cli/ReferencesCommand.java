package islet.cli;

import java.util.concurrent.Callable;
import picocli.CommandLine.Command;

@Command(name = "references", mixinStandardHelpOptions = true, description = "references")
final class ReferencesCommand implements Callable<Integer> {
  @Override
  public Integer call() {
    return 0;
  }
}
