package islet.bench;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/**
 * The ferry landing without a utility, made of the one that is charged from it: the same place and
 * loads, so that it may run beside the others.
 */
public final class AloneLanding {

  private AloneLanding() {}

  /** Writes its site file, with the id {@code landing-alone}, into a folder. */
  public static Path write(Path folder) throws IOException {
    Path config = Path.of(System.getProperty("islet.root"), "config");
    String text =
        Files.readString(config.resolve("sites/ferry-landing-charger-only.yaml"))
            .replace("../", config + "/")
            .replace("id: ferry-landing-charger-only", "id: landing-alone")
            .replace("arrangement: charger-only", "arrangement: standalone")
            .replace(
                "  startTime: 2 s",
                "  outputVoltage: 240 V\n  outputFrequency: 60 Hz\n  startTime: 2 s")
            .replaceAll("(?m)^(utility|charger|tariff):\n(?: .*\n|\n)+", "\n")
            .replaceAll("(?m)^profile:.*\n", "")
            .replaceAll("(?m)^  chargeWindows:\n(?:    .*\n)+", "");
    Path file = folder.resolve("landing-alone.yaml");
    Files.writeString(file, text);
    return file;
  }
}
