package islet.cli.document;

import islet.bench.check.Assumptions;
import islet.bench.check.CheckText;
import islet.bench.check.SiteCheck;
import islet.site.Setting;
import java.nio.file.Path;
import java.util.List;

/** What the check says of the demo site with two slips in its settings. */
final class CheckExample {

  private static final String SITE = "sites/ferry-landing.yaml";

  private CheckExample() {}

  /** The terminal's text, as a block of a document. */
  static String text(Path config) {
    List<Setting> slips =
        List.of(
            new Setting("battery.charge.floatVoltage", "55.2 V", "--set", 0),
            new Setting("supervision.coordination", "none", "--set", 0));
    SiteCheck check = SiteCheck.of(config.resolve(SITE), slips, Assumptions.USUAL);
    // The findings of the file itself are left out: they would name the folder of this build.
    SiteCheck shown =
        new SiteCheck(
            check.site(),
            check.assumptions(),
            check.figures(),
            check.findings().stream().filter(finding -> finding.line() == 0).toList(),
            check.rules(),
            List.of());
    return "```\n" + CheckText.of(shown, "config/" + SITE) + "```\n";
  }
}
