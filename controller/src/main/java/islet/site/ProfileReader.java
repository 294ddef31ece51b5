package islet.site;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/** Reads a grid profile: a grid code's limits with their clearing times. */
public final class ProfileReader {
  private ProfileReader() {}

  /**
   * Reads and checks a profile.
   *
   * @throws InputException with everything that is wrong in the file
   */
  public static GridProfile read(Path file) {
    return Section.read(file, List.of(), ProfileReader::profile);
  }

  private static GridProfile profile(Section s) {
    String name = filledIn(s, "name", "the profile's name", "");
    String source = filledIn(s, "source", "where the numbers come from", "Name the standard.");
    List<GridProfile.Trip> trips =
        s.sections("trips", "Name each limit that ends operation.", ProfileReader::trip);
    GridProfile.EnterService enter =
        s.section("enterService", "Say when a source may come back.", ProfileReader::enter);
    GridProfile.SyncLimits sync =
        s.section("sync", "Say what a sync check demands.", ProfileReader::sync);
    double detection =
        s.quantity("islandDetection", Dimension.TIME, 0.01, 60, "IEEE Std 1547-2018 says 2 s.");
    double cessation =
        s.quantity(
            "cessationBelow", Dimension.PER_UNIT, 0, 0.9, "0 pu means that it never ceases.");
    checkTrips(s, trips, enter);
    return new GridProfile(name, source, trips, enter, sync, detection, cessation);
  }

  /** A text in which the blank profile's question mark does not count as one. */
  private static String filledIn(Section s, String field, String allowed, String advice) {
    String text = s.text(field, allowed, advice);
    if (text.equals("?")) {
      s.wrong(field, allowed, "Fill it in.");
    }
    return text;
  }

  private static GridProfile.Trip trip(Section s) {
    String name = s.text("name", "the limit's name, such as UV1", "");
    Optional<GridProfile.Quantity> given =
        s.oneOf("overVoltage", "underVoltage", "overFrequency", "underFrequency")
            .map(ProfileReader::quantity);
    double limit = given.map(quantity -> limit(s, quantity)).orElse(Double.NaN);
    double clearing = s.quantity("clearing", Dimension.TIME, 0.001, 3600, "");
    return new GridProfile.Trip(
        name, given.orElse(GridProfile.Quantity.OVER_VOLTAGE), limit, clearing);
  }

  private static GridProfile.Quantity quantity(String field) {
    return switch (field) {
      case "overVoltage" -> GridProfile.Quantity.OVER_VOLTAGE;
      case "underVoltage" -> GridProfile.Quantity.UNDER_VOLTAGE;
      case "overFrequency" -> GridProfile.Quantity.OVER_FREQUENCY;
      default -> GridProfile.Quantity.UNDER_FREQUENCY;
    };
  }

  private static double limit(Section s, GridProfile.Quantity quantity) {
    return switch (quantity) {
      case OVER_VOLTAGE -> s.quantity("overVoltage", Dimension.PER_UNIT, 1.001, 2, "");
      case UNDER_VOLTAGE -> s.quantity("underVoltage", Dimension.PER_UNIT, 0.01, 0.999, "");
      case OVER_FREQUENCY -> s.quantity("overFrequency", Dimension.FREQUENCY, 50.01, 75, "");
      case UNDER_FREQUENCY -> s.quantity("underFrequency", Dimension.FREQUENCY, 40, 59.99, "");
    };
  }

  private static GridProfile.EnterService enter(Section s) {
    GridProfile.EnterService enter =
        new GridProfile.EnterService(
            s.quantity("minimumVoltage", Dimension.PER_UNIT, 0.5, 1, ""),
            s.quantity("maximumVoltage", Dimension.PER_UNIT, 1, 1.5, ""),
            s.quantity("minimumFrequency", Dimension.FREQUENCY, 40, 75, ""),
            s.quantity("maximumFrequency", Dimension.FREQUENCY, 40, 75, ""),
            s.quantity("delay", Dimension.TIME, 0, 3600, ""),
            s.quantity("ramp", Dimension.TIME, 0, 3600, ""));
    if (enter.minimumHz() >= enter.maximumHz()) {
      s.wrong("minimumFrequency", "less than maximumFrequency", "");
    }
    return enter;
  }

  private static GridProfile.SyncLimits sync(Section s) {
    return new GridProfile.SyncLimits(
        s.quantity("voltage", Dimension.PER_UNIT, 0.001, 0.5, ""),
        s.quantity("frequency", Dimension.FREQUENCY, 0.001, 2, ""),
        s.quantity("angle", Dimension.ANGLE, 0.1, 60, ""));
  }

  /** Names once, and none of the limits inside the band in which a source may come back. */
  private static void checkTrips(
      Section s, List<GridProfile.Trip> trips, GridProfile.EnterService enter) {
    if (trips.stream().map(GridProfile.Trip::name).distinct().count() != trips.size()) {
      s.wrong("trips", "two limits of one name", "each name once", "");
    }
    for (GridProfile.Trip trip : trips) {
      boolean inside =
          switch (trip.quantity()) {
            case OVER_VOLTAGE -> trip.limit() < enter.maximumPu();
            case UNDER_VOLTAGE -> trip.limit() > enter.minimumPu();
            case OVER_FREQUENCY -> trip.limit() < enter.maximumHz();
            case UNDER_FREQUENCY -> trip.limit() > enter.minimumHz();
          };
      if (inside) {
        s.wrong(
            "trips",
            trip.name() + " at " + Decimals.text(trip.limit()),
            "a limit outside the band of enterService",
            "Otherwise a source would leave as soon as it has come back.");
      }
    }
  }
}
