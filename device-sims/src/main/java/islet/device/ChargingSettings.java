package islet.device;

/**
 * What a charging device is set to when nobody gives it set points, and its own protection.
 *
 * @param absorptionV absorption set point at 25 °C, V
 * @param floatV float set point at 25 °C, V
 * @param compensationVPerK change of both per kelvin above 25 °C, V/K
 * @param absorptionS longest absorption, s
 * @param tailA absorption ends when it gives less than this itself, A
 * @param rebulkV a new charge begins below this, V
 * @param maximumV it stops above this bus voltage by itself, V
 * @param maximumA most current it gives by itself, A
 * @param minimumC no charge by itself below this battery temperature, °C
 * @param maximumC nor above this one, °C
 */
public record ChargingSettings(
    double absorptionV,
    double floatV,
    double compensationVPerK,
    double absorptionS,
    double tailA,
    double rebulkV,
    double maximumV,
    double maximumA,
    double minimumC,
    double maximumC) {}
