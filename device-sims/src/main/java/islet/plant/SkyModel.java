package islet.plant;

/** How diffuse light from the sky is spread over it, and so how much of it a tilted plane gets. */
public enum SkyModel {
  /** Equally bright all over: Liu and Jordan, Solar Energy 7, 1963 (from memory). */
  ISOTROPIC {
    @Override
    double share(double dni, double outside, double cosZenith, double cosIncidence, double up) {
      return 0.5 * (1 + up);
    }
  },

  /**
   * A share of it, as large as the atmosphere's transmittance for direct light, comes from around
   * the sun, the rest from all over: Hay and Davies, Proceedings of the First Canadian Solar
   * Radiation Data Workshop, 1980 (from memory).
   */
  HAY_DAVIES {
    @Override
    double share(double dni, double outside, double cosZenith, double cosIncidence, double up) {
      if (cosZenith <= 0) {
        return 0.5 * (1 + up);
      }
      double aroundSun = Math.min(1, dni / outside);
      double ratio = Math.max(0, cosIncidence) / Math.max(LOWEST_COS_ZENITH, cosZenith);
      return aroundSun * ratio + (1 - aroundSun) * 0.5 * (1 + up);
    }
  };

  /** Cosine of 85°: nearer the horizon the ratio would run away (our choice). */
  private static final double LOWEST_COS_ZENITH = 0.08715574274765817;

  /**
   * Diffuse irradiance in the plane over that on the horizontal.
   *
   * @param dni direct irradiance normal to the sun, W/m²
   * @param outside the same outside the atmosphere, W/m²
   * @param cosZenith cosine of the sun's zenith angle
   * @param cosIncidence cosine of the angle between the sun and the plane's normal
   * @param up cosine of the plane's tilt
   */
  abstract double share(
      double dni, double outside, double cosZenith, double cosIncidence, double up);
}
