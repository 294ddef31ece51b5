package islet.plant;

/**
 * A fixed array of like modules.
 *
 * @param module the module
 * @param series modules in a string
 * @param parallel strings in parallel
 * @param tiltDeg from the horizontal, 0 to 90
 * @param azimuthDeg the direction the array faces, clockwise from north, 0 to 360 (180 is south)
 */
public record PvSpec(
    ModuleSpec module, int series, int parallel, double tiltDeg, double azimuthDeg) {
  /** Checks the ranges. */
  public PvSpec {
    Require.atLeastOne(series, "The number of modules in a string");
    Require.atLeastOne(parallel, "The number of strings");
    Require.within(tiltDeg, 0, 90, "The array's tilt in degrees");
    Require.within(azimuthDeg, 0, 360, "The array's azimuth in degrees clockwise from north");
  }

  /** Power of the whole array at standard test conditions, W. */
  public double ratedW() {
    return module.impA() * module.vmpV() * series * parallel;
  }
}
