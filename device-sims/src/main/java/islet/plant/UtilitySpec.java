package islet.plant;

/**
 * The utility as seen from the site's service entrance (single phase equivalent).
 *
 * @param nominalV nominal RMS voltage, V
 * @param nominalHz nominal frequency, Hz
 * @param serviceOhm resistance of transformer and service drop, Ω
 * @param serviceReactanceOhm their reactance, Ω
 * @param lineLoadW neighbours' load, W at nominal voltage, that stays on our section of line when
 *     the source opens upstream
 */
public record UtilitySpec(
    double nominalV,
    double nominalHz,
    double serviceOhm,
    double serviceReactanceOhm,
    double lineLoadW) {
  /** Checks the ranges. */
  public UtilitySpec {
    Require.within(nominalV, 50, 1000, "The utility's nominal voltage in V");
    Require.within(nominalHz, 45, 65, "The utility's nominal frequency in Hz");
    Require.positive(serviceOhm, "The service resistance in Ω");
    Require.notNegative(serviceReactanceOhm, "The service reactance in Ω");
    Require.notNegative(lineLoadW, "The load left on the line in W");
  }
}
