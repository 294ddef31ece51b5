package islet.site;

import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
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
    Site.Arrangement named = s.choice("arrangement", Site.Arrangement.class, "");
    Site.Arrangement arrangement = s.isWrong("arrangement") ? likely(s) : named;
    Optional<Site.Utility> served =
        arrangement.hasUtility()
            ? Optional.of(s.section("utility", "", u -> PartsReader.utility(u, arrangement)))
            : Optional.empty();
    Optional<GridProfile> profile =
        arrangement.hasUtility() ? profile(s) : Optional.of(NO_UTILITY_PROFILE);
    Site.Pv pv = s.section("pv", "", PartsReader::pv);
    Site.Regulator regulator = s.section("regulator", "", PartsReader::regulator);
    Site.Battery battery = s.section("battery", "", BatteryReader::battery);
    Optional<Site.Charger> charger =
        arrangement.hasCharger()
            ? Optional.of(s.section("charger", "", PartsReader::charger))
            : Optional.empty();
    PartsReader.InverterPart inverter =
        s.section("inverter", "", i -> PartsReader.inverter(i, arrangement));
    Optional<Site.Tie> tie =
        arrangement.hasTie()
            ? Optional.of(s.section("tie", "", PartsReader::tie))
            : Optional.empty();
    Optional<Site.Changeover> changeover =
        arrangement.hasChangeover()
            ? Optional.of(s.section("changeover", "", PartsReader::changeover))
            : Optional.empty();
    List<Site.Circuit> circuits = s.sections("circuits", "", CircuitReader::circuit);
    Site.Supervision supervision =
        s.section("supervision", "", v -> SupervisionReader.supervision(v, arrangement));
    Tariff tariff = arrangement.hasUtility() ? TariffReader.of(s) : TariffReader.none();
    Site site =
        new Site(
            id,
            name,
            place,
            arrangement,
            served.orElse(inverter.own()),
            profile.orElse(NO_PROFILE),
            pv,
            regulator,
            battery,
            charger,
            inverter.inverter(),
            tie,
            changeover,
            circuits,
            supervision,
            tariff);
    refuseOthers(s, arrangement);
    new SiteChecks(s, site).all();
    return site;
  }

  /** What the parts speak for when the arrangement is not told, so that the rest is checked. */
  private static Site.Arrangement likely(Section s) {
    if (s.hasGroup("changeover")) {
      return Site.Arrangement.CHANGEOVER;
    }
    if (s.hasGroup("charger")) {
      return Site.Arrangement.CHARGER_ONLY;
    }
    return s.hasGroup("utility") ? Site.Arrangement.TWO_PANEL : Site.Arrangement.STANDALONE;
  }

  /** Parts that another arrangement has are named as such, not as unknown fields. */
  private static void refuseOthers(Section s, Site.Arrangement arrangement) {
    String name = arrangement.name().toLowerCase(Locale.ROOT).replace('_', '-');
    refuse(s, "utility", arrangement.hasUtility(), name);
    refuse(s, "profile", arrangement.hasUtility(), name);
    refuse(s, "tariff", arrangement.hasUtility(), name);
    refuse(s, "charger", arrangement.hasCharger(), name);
    refuse(s, "tie", arrangement.hasTie(), name);
    refuse(s, "changeover", arrangement.hasChangeover(), name);
  }

  private static void refuse(Section s, String part, boolean belongs, String arrangement) {
    if (!belongs && s.has(part)) {
      s.wrong(
          part,
          "a part that " + arrangement + " has not",
          "no " + part + " in this arrangement",
          "Take it out, or name the arrangement that has one.");
    }
  }

  /** Where no utility is, nothing has to be kept; the island's frequency is the inverter's. */
  private static final GridProfile NO_UTILITY_PROFILE =
      new GridProfile(
          "no utility",
          "",
          List.of(),
          new GridProfile.EnterService(0.9, 1.1, 40, 70, 0, 0),
          new GridProfile.SyncLimits(0.1, 0.3, 20),
          2,
          0);

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
