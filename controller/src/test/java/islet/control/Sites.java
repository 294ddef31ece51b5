package islet.control;

import islet.site.GridProfile;
import islet.site.GridProfile.EnterService;
import islet.site.Setting;
import islet.site.Site;
import islet.site.SiteReader;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** The demo site, as its file has it or with a few values of the test's own. */
final class Sites {

  private static final Path DEMO =
      Path.of(System.getProperty("islet.root"), "config/sites/ferry-landing.yaml");

  private Sites() {}

  /**
   * The demo site with some fields replaced.
   *
   * @param settings field, value, field, value…
   */
  static Site demo(String... settings) {
    return at(DEMO, settings);
  }

  /** Another site of the configuration, by its file's name. */
  static Site named(String name, String... settings) {
    return at(DEMO.resolveSibling(name + ".yaml"), settings);
  }

  private static Site at(Path file, String... settings) {
    List<Setting> list = new ArrayList<>();
    for (int i = 0; i < settings.length; i += 2) {
      list.add(new Setting(settings[i], settings[i + 1], "this test", 1));
    }
    return SiteReader.read(file, list);
  }

  /**
   * The same site under a profile with a shorter wait and ramp before entering service, so that
   * walks get on.
   */
  static Site hasty(Site site, double delayS) {
    GridProfile p = site.profile();
    EnterService e = p.enter();
    GridProfile hasty =
        new GridProfile(
            p.name(),
            p.source(),
            p.trips(),
            new EnterService(
                e.minimumPu(), e.maximumPu(), e.minimumHz(), e.maximumHz(), delayS, delayS),
            p.sync(),
            p.islandDetectionS(),
            p.cessationBelowPu());
    return new Site(
        site.id(),
        site.name(),
        site.place(),
        site.arrangement(),
        site.utility(),
        hasty,
        site.pv(),
        site.regulator(),
        site.battery(),
        site.charger(),
        site.inverter(),
        site.tie(),
        site.changeover(),
        site.circuits(),
        site.supervision(),
        site.tariff());
  }
}
