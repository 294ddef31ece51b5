package islet.plant;

/**
 * The weather at one instant: a holder that is filled anew, so that sampling allocates nothing.
 *
 * <p>Irradiance in W/m², temperature in °C, wind in m/s.
 */
public final class Sky {
  private double ghi;
  private double dni;
  private double dhi;
  private double ambientC;
  private double windMPerS;

  /**
   * Fills the holder.
   *
   * @param ghi global irradiance on the horizontal, W/m²
   * @param dni direct irradiance normal to the sun, W/m²
   * @param dhi diffuse irradiance on the horizontal, W/m²
   * @param ambientC air temperature, °C
   * @param windMPerS wind, m/s
   */
  public void set(double ghi, double dni, double dhi, double ambientC, double windMPerS) {
    this.ghi = ghi;
    this.dni = dni;
    this.dhi = dhi;
    this.ambientC = ambientC;
    this.windMPerS = windMPerS;
  }

  /** Global horizontal irradiance, W/m². */
  public double ghi() {
    return ghi;
  }

  /** Direct normal irradiance, W/m². */
  public double dni() {
    return dni;
  }

  /** Diffuse horizontal irradiance, W/m². */
  public double dhi() {
    return dhi;
  }

  /** Air temperature, °C. */
  public double ambientC() {
    return ambientC;
  }

  /** Wind, m/s. */
  public double windMPerS() {
    return windMPerS;
  }
}
