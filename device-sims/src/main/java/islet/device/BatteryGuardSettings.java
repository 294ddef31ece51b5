package islet.device;

/**
 * Where a battery management unit acts by itself.
 *
 * @param cells in series
 * @param overV of a cell, V
 * @param underV of a cell, V
 * @param chargeA for some seconds, A
 * @param dischargeA for some seconds, A
 * @param overC nothing flows above this cell temperature, °C
 * @param minimumChargeC no charge below this cell temperature, °C
 * @param maximumChargeC no charge above this one, °C
 */
public record BatteryGuardSettings(
    int cells,
    double overV,
    double underV,
    double chargeA,
    double dischargeA,
    double overC,
    double minimumChargeC,
    double maximumChargeC) {}
