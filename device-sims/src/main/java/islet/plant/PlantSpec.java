package islet.plant;

import java.util.List;
import java.util.Optional;

/**
 * All parts of a plant and how they are sized.
 *
 * @param place where it stands
 * @param pv the array
 * @param regulator between array and DC bus
 * @param battery the bank
 * @param initialSoc state of charge at the start, 0 to 1
 * @param initialHealth capacity at the start over the new bank's, 0.1 to 1
 * @param dcCableOhm loop resistance between battery and bus, Ω
 * @param inverter between DC bus and critical panel
 * @param utility at the service entrance
 * @param transfer between the two panels
 * @param charger from the main panel to the DC bus; empty when the inverter charges
 * @param circuits on both panels, in the order in which they are numbered
 */
public record PlantSpec(
    Place place,
    PvSpec pv,
    RegulatorSpec regulator,
    BatterySpec battery,
    double initialSoc,
    double initialHealth,
    double dcCableOhm,
    InverterSpec inverter,
    UtilitySpec utility,
    Transfer transfer,
    Optional<ChargerSpec> charger,
    List<CircuitSpec> circuits) {
  /** Checks what no part can check alone. */
  public PlantSpec {
    circuits = List.copyOf(circuits);
    Require.that(
        transfer != Transfer.TIE || charger.isEmpty(),
        "A charger of its own and a tie stand in one plant; behind a tie the inverter charges, so"
            + " leave the charger out.");
    Require.within(initialSoc, 0, 1, "The battery's initial state of charge");
    Require.within(initialHealth, 0.1, 1, "The battery's initial health");
    Require.positive(dcCableOhm, "The battery cable's resistance in Ω");
    double stringV = pv.module().vmpV() * pv.series();
    double highestV = battery.highestV();
    Require.that(
        stringV > highestV,
        "A string gives "
            + stringV
            + " V at maximum power, but the bank is charged at up to "
            + highestV
            + " V; no regulator here steps up, so put more modules in series.");
    Require.that(
        inverter.dcMinimumV() < battery.nominalV() && inverter.dcMaximumV() > highestV,
        "The inverter works from "
            + inverter.dcMinimumV()
            + " V to "
            + inverter.dcMaximumV()
            + " V, but the bank swings from below "
            + battery.nominalV()
            + " V to "
            + highestV
            + " V; choose an inverter for this bank's nominal voltage.");
  }

  /** A plant with a new bank. */
  public PlantSpec(
      Place place,
      PvSpec pv,
      RegulatorSpec regulator,
      BatterySpec battery,
      double initialSoc,
      double dcCableOhm,
      InverterSpec inverter,
      UtilitySpec utility,
      Transfer transfer,
      Optional<ChargerSpec> charger,
      List<CircuitSpec> circuits) {
    this(
        place,
        pv,
        regulator,
        battery,
        initialSoc,
        1,
        dcCableOhm,
        inverter,
        utility,
        transfer,
        charger,
        circuits);
  }

  /** A plant with a new bank, whose inverter charges and stands behind a tie. */
  public PlantSpec(
      Place place,
      PvSpec pv,
      RegulatorSpec regulator,
      BatterySpec battery,
      double initialSoc,
      double dcCableOhm,
      InverterSpec inverter,
      UtilitySpec utility,
      List<CircuitSpec> circuits) {
    this(
        place,
        pv,
        regulator,
        battery,
        initialSoc,
        dcCableOhm,
        inverter,
        utility,
        Transfer.TIE,
        Optional.empty(),
        circuits);
  }
}
