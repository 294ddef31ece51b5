package islet.bench;

/**
 * One time that the emergency panel's voltage was away from nominal by more than a tenth.
 *
 * @param startMicros when it began, microseconds since 1970
 * @param durationS how long it lasted; to the end of the run when it had not ended then
 * @param voltagePu the voltage farthest from nominal, RMS, per unit
 * @param insideItic whether it stayed inside the voltage tolerance envelope
 * @param note which part of the envelope it passed and by how much; empty inside
 */
public record VoltageExcursion(
    long startMicros, double durationS, double voltagePu, boolean insideItic, String note) {}
