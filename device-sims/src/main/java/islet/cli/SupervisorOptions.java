package islet.cli;

import islet.bench.defect.Defects;
import islet.bench.plug.Supervisors;
import islet.control.SupervisorMaker;
import java.nio.file.Path;
import java.util.List;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** Whose logic runs the site. */
final class SupervisorOptions {

  @Option(
      names = "--supervisor",
      paramLabel = "NAME",
      description =
          "whose logic is judged: islet, or one that --plug brings (docs/own-supervisor.md), or"
              + " defect:NAME for Islet's own with a planted defect (docs/defects.md; default:"
              + " islet)")
  private String name = "";

  @Option(
      names = "--plug",
      paramLabel = "JAR_OR_FOLDER",
      description = "a jar or a folder of classes that offers a supervisor; may be repeated")
  private List<Path> plugs = List.of();

  /** Whether a supervisor is named. */
  boolean isAsked() {
    return !name.isEmpty();
  }

  /** The maker that is asked for. */
  SupervisorMaker chosen(CommandSpec spec) {
    if (name.isEmpty() && plugs.isEmpty()) {
      return Supervisors.OWN;
    }
    Supervisors found = Supervisors.in(plugs);
    if (Defects.means(name)) {
      return Defects.named(name);
    }
    if (name.isEmpty()) {
      // Else somebody takes the verdict on Islet's logic for one on their own.
      throw new ParameterException(
          spec.commandLine(),
          "--plug: found no --supervisor beside it; allowed is "
              + String.join(", ", found.names())
              + ". Say whose logic shall be judged.");
    }
    return found.named(name);
  }

  /** The maker of a name that a file asks for; what {@code --plug} brings may be asked for too. */
  SupervisorMaker named(String asked) {
    return Defects.means(asked) ? Defects.named(asked) : Supervisors.in(plugs).named(asked);
  }
}
