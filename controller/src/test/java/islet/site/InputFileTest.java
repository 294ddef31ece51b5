package islet.site;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Path;
import org.junit.jupiter.api.Test;

/** Judged by what a person at the named working directory would type. */
class InputFileTest {

  private static final Path ROOT = Path.of("").toAbsolutePath().getRoot();

  @Test
  void aPathIsToldFromWhereOneIsButFromTheRootItStaysWhole() {
    Path site = ROOT.resolve("etc/islet/../islet/sites/site.yaml");
    Path whole = ROOT.resolve("etc/islet/sites/site.yaml");
    assertEquals(Path.of("sites/site.yaml"), InputFile.tidy(site, ROOT.resolve("etc/islet")));
    assertEquals(whole, InputFile.tidy(site, ROOT.resolve("home")));
    assertEquals(whole, InputFile.tidy(site, ROOT), "a service runs there");
    assertEquals(ROOT.resolve("etc"), InputFile.tidy(ROOT.resolve("etc"), ROOT.resolve("etc")));
  }
}
