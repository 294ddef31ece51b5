package islet.cli;

import java.util.concurrent.Callable;
import picocli.CommandLine.Command;

@Command(name = "document", mixinStandardHelpOptions = true, description = "document")
final class DocumentCommand implements Callable<Integer> {
  @Override
  public Integer call() {
    return 0;
  }
}
