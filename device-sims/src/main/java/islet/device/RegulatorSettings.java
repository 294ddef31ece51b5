package islet.device;

/**
 * What a charge regulator is set to when the supervisor is silent, and its own protection.
 *
 * @param absorptionV absorption set point at 25 °C, V
 * @param floatV float set point at 25 °C, V
 * @param compensationVPerK change of both per kelvin above 25 °C, V/K
 * @param absorptionS longest absorption, s
 * @param rebulkV a new charge begins below this, V
 * @param maximumV it stops above this bus voltage by itself, V
 * @param maximumA most current it gives by itself, A
 * @param minimumC no charge by itself below this battery temperature, °C
 * @param maximumC nor above this one, °C
 */
public record RegulatorSettings(
    double absorptionV,
    double floatV,
    double compensationVPerK,
    double absorptionS,
    double rebulkV,
    double maximumV,
    double maximumA,
    double minimumC,
    double maximumC) {}
