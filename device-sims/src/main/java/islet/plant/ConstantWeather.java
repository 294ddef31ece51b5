package islet.plant;

/**
 * The same weather always, for a bench test.
 *
 * @param ghi W/m² on the horizontal
 * @param dni W/m² normal to the sun
 * @param dhi W/m² diffuse on the horizontal
 * @param ambientC °C
 * @param windMPerS m/s
 */
public record ConstantWeather(double ghi, double dni, double dhi, double ambientC, double windMPerS)
    implements Weather {
  /** Checks the ranges. */
  public ConstantWeather {
    Require.within(ghi, 0, 1500, "The global irradiance in W/m²");
    Require.within(dni, 0, 1500, "The direct irradiance in W/m²");
    Require.within(dhi, 0, 1500, "The diffuse irradiance in W/m²");
    Require.within(ambientC, -60, 60, "The air temperature in °C");
    Require.within(windMPerS, 0, 100, "The wind in m/s");
  }

  @Override
  public void sample(long epochMicros, Sky sky) {
    sky.set(ghi, dni, dhi, ambientC, windMPerS);
  }
}
