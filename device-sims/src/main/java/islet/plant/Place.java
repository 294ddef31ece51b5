package islet.plant;

/**
 * Where the array stands.
 *
 * @param latitudeDeg degrees north, −90 to 90
 * @param longitudeDeg degrees east, −180 to 180
 * @param altitudeM metres above sea level
 * @param albedo ground reflectance, 0 to 1 (0.2 for grass is common practice)
 */
public record Place(double latitudeDeg, double longitudeDeg, double altitudeM, double albedo) {
  /** Checks the ranges. */
  public Place {
    Require.within(latitudeDeg, -90, 90, "The place's latitude in degrees");
    Require.within(longitudeDeg, -180, 180, "The place's longitude in degrees");
    Require.within(altitudeM, -500, 9000, "The place's altitude in metres");
    Require.within(albedo, 0, 1, "The place's albedo");
  }
}
