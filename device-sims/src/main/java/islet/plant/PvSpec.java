package islet.plant;

/**
 * A fixed array of like modules.
 *
 * @param module the module
 * @param series modules in a string
 * @param parallel strings in parallel
 * @param tiltDeg from the horizontal, 0 to 90
 * @param azimuthDeg the direction the array faces, clockwise from north, 0 to 360 (180 is south)
 * @param sky how the sky's diffuse light is spread
 * @param bypassDiodes of each module, every one over an equal group of its cells
 * @param shade what shades a part of it
 */
public record PvSpec(
    ModuleSpec module,
    int series,
    int parallel,
    double tiltDeg,
    double azimuthDeg,
    SkyModel sky,
    int bypassDiodes,
    ShadeDay shade) {
  /** Checks the ranges. */
  public PvSpec {
    Require.atLeastOne(series, "The number of modules in a string");
    Require.atLeastOne(parallel, "The number of strings");
    Require.within(tiltDeg, 0, 90, "The array's tilt in degrees");
    Require.within(azimuthDeg, 0, 360, "The array's azimuth in degrees clockwise from north");
    Require.atLeastOne(bypassDiodes, "The number of bypass diodes of a module");
    for (ShadeSpec entry : shade.entries()) {
      Require.that(
          entry.strings() <= parallel
              && entry.modules() <= series
              && entry.substrings() <= bypassDiodes,
          "Shade lies on "
              + entry.strings()
              + " strings, "
              + entry.modules()
              + " modules of each and "
              + entry.substrings()
              + " groups of cells of those, but the array has "
              + parallel
              + " strings of "
              + series
              + " modules with "
              + bypassDiodes
              + " groups; it can't lie on more than there is.");
    }
  }

  /** An array under an isotropic sky without shade, its modules with three bypass diodes. */
  public PvSpec(ModuleSpec module, int series, int parallel, double tiltDeg, double azimuthDeg) {
    this(module, series, parallel, tiltDeg, azimuthDeg, SkyModel.ISOTROPIC, 3, ShadeDay.NONE);
  }

  /** Power of the whole array at standard test conditions, W. */
  public double ratedW() {
    return module.impA() * module.vmpV() * series * parallel;
  }
}
