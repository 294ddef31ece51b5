package islet.plant;

/**
 * A branch circuit with its contactor and its load (constant impedance, current and power shares).
 *
 * @param name as on the panel's card
 * @param panel which panel it hangs on
 * @param profile its power over time at nominal voltage
 * @param zShare share of constant impedance, 0 to 1
 * @param iShare share of constant current
 * @param pShare share of constant power; the three add up to 1
 * @param powerFactor 0.1 to 1, inductive
 * @param inrush what it draws while it starts
 */
public record CircuitSpec(
    String name,
    Panel panel,
    LoadProfile profile,
    double zShare,
    double iShare,
    double pShare,
    double powerFactor,
    InrushSpec inrush) {
  /** Checks the ranges. */
  public CircuitSpec {
    Require.that(!name.isBlank(), "A circuit has no name; give it the one on the panel's card.");
    Require.within(zShare, 0, 1, "The constant-impedance share of circuit " + name);
    Require.within(iShare, 0, 1, "The constant-current share of circuit " + name);
    Require.within(pShare, 0, 1, "The constant-power share of circuit " + name);
    Require.that(
        Math.abs(zShare + iShare + pShare - 1) < 1e-9,
        "The shares of circuit "
            + name
            + " add up to "
            + (zShare + iShare + pShare)
            + "; impedance, current and power shares must add up to 1.");
    Require.within(powerFactor, 0.1, 1, "The power factor of circuit " + name);
  }

  /** A circuit that starts at its running power. */
  public CircuitSpec(
      String name,
      Panel panel,
      LoadProfile profile,
      double zShare,
      double iShare,
      double pShare,
      double powerFactor) {
    this(name, panel, profile, zShare, iShare, pShare, powerFactor, InrushSpec.NONE);
  }
}
