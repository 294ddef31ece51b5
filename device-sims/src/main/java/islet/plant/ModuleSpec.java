package islet.plant;

/**
 * A photovoltaic module's datasheet at standard test conditions (1000 W/m², 25 °C, AM 1.5).
 *
 * @param iscA short-circuit current, A
 * @param vocV open-circuit voltage, V
 * @param impA current at maximum power, A
 * @param vmpV voltage at maximum power, V
 * @param cells cells in series
 * @param kiAPerK temperature coefficient of the short-circuit current, A/K
 * @param kvVPerK temperature coefficient of the open-circuit voltage, V/K (negative)
 * @param noctC nominal operating cell temperature, °C
 */
public record ModuleSpec(
    double iscA,
    double vocV,
    double impA,
    double vmpV,
    int cells,
    double kiAPerK,
    double kvVPerK,
    double noctC) {
  /** Checks the ranges and that the three points can lie on one diode curve. */
  public ModuleSpec {
    Require.positive(iscA, "The module's short-circuit current in A");
    Require.positive(vocV, "The module's open-circuit voltage in V");
    Require.positive(impA, "The module's current at maximum power in A");
    Require.positive(vmpV, "The module's voltage at maximum power in V");
    Require.atLeastOne(cells, "The module's number of cells in series");
    Require.that(
        impA < iscA && vmpV < vocV,
        "The module's maximum power point ("
            + vmpV
            + " V, "
            + impA
            + " A) lies outside its short-circuit current "
            + iscA
            + " A and open-circuit voltage "
            + vocV
            + " V; both must be larger than the maximum power values.");
    Require.within(vocV / cells, 0.4, 0.9, "The module's open-circuit voltage per cell in V");
    Require.within(kiAPerK, -0.01 * iscA, 0.01 * iscA, "The current coefficient in A/K");
    Require.within(kvVPerK, -0.01 * vocV, 0, "The voltage coefficient in V/K");
    Require.within(noctC, 30, 70, "The nominal operating cell temperature in °C");
  }
}
