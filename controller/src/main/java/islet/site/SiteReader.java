package islet.site;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;

/**
 * Reads and checks a site file. Ranges are those of the sites Islet is made for: banks of 12 V to
 * 400 V and converters to 100 kW. A value outside is taken for a slip of the pen.
 */
public final class SiteReader {
  /** One segment of an MQTT topic, without its wildcards. */
  static final Pattern ID = Pattern.compile("[a-z0-9][a-z0-9-]{0,62}");

  static final String ID_FORM = "lower-case letters, digits and hyphens";

  private SiteReader() {}

  /**
   * Reads a site file and the profile that it names.
   *
   * @throws InputException with everything that is wrong in the two files
   */
  public static Site read(Path file) {
    return read(file, List.of());
  }

  /**
   * The same with some fields' values replaced before anything is checked.
   *
   * @throws InputException with everything that is wrong in the two files and in the settings
   */
  public static Site read(Path file, List<Setting> settings) {
    return Section.read(file, settings, SiteReader::site);
  }

  private static Site site(Section s) {
    String id = s.text("id", ID, ID_FORM, "It becomes part of every MQTT topic, so keep it short.");
    String name = s.text("name", "the site's name", "");
    Site.Place place = s.section("place", "", PartsReader::place);
    Site.Arrangement arrangement = s.choice("arrangement", Site.Arrangement.class, "");
    Site.Utility utility = s.section("utility", "", PartsReader::utility);
    Optional<GridProfile> profile = profile(s);
    Site.Pv pv = s.section("pv", "", PartsReader::pv);
    Site.Regulator regulator = s.section("regulator", "", PartsReader::regulator);
    Site.Battery battery = s.section("battery", "", BatteryReader::battery);
    Site.Inverter inverter = s.section("inverter", "", PartsReader::inverter);
    Site.Tie tie = s.section("tie", "", PartsReader::tie);
    List<Site.Circuit> circuits = s.sections("circuits", "", CircuitReader::circuit);
    Site.Supervision supervision = s.section("supervision", "", SupervisionReader::supervision);
    Site.Tariff tariff = s.section("tariff", "", TariffReader::tariff);
    Site site =
        new Site(
            id,
            name,
            place,
            arrangement,
            utility,
            profile.orElse(NO_PROFILE),
            pv,
            regulator,
            battery,
            inverter,
            tie,
            circuits,
            supervision,
            tariff);
    new SiteChecks(s, site).all();
    return site;
  }

  /** Stands in for a profile that could not be read, so that the rest is still checked. */
  private static final GridProfile NO_PROFILE =
      new GridProfile(
          "",
          "",
          List.of(),
          new GridProfile.EnterService(
              Double.NaN, Double.NaN, Double.NaN, Double.NaN, Double.NaN, Double.NaN),
          new GridProfile.SyncLimits(Double.NaN, Double.NaN, Double.NaN),
          Double.NaN,
          Double.NaN);

  private static Optional<GridProfile> profile(Section s) {
    Optional<Path> file =
        s.existingFile("profile", "Name one of the files in config/profiles, or your own.");
    return file.flatMap(f -> s.problems().gather(() -> ProfileReader.read(f)));
  }
}
