package islet.cli;

import java.io.IOException;
import java.io.InputStream;
import java.util.Properties;
import picocli.CommandLine;

/** The version of this build. */
final class Version implements CommandLine.IVersionProvider {

  private static final String FILE = "version.properties";

  @Override
  public String[] getVersion() {
    return new String[] {"islet " + text()};
  }

  /** The version as the build wrote it down. */
  static String text() {
    Properties properties = new Properties();
    try (InputStream in = Version.class.getResourceAsStream(FILE)) {
      if (in != null) {
        properties.load(in);
      }
    } catch (IOException e) {
      throw new IllegalStateException("the build's own " + FILE + " cannot be read", e);
    }
    return properties.getProperty("version", "unknown");
  }
}
