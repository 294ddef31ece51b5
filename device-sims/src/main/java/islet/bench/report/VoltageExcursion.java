package islet.bench.report;

/**
 * One time that the emergency panel's voltage was away from nominal.
 *
 * @param atSeconds start, seconds from the start of the scenario
 * @param durationSeconds how long it lasted
 * @param voltagePu the voltage farthest from nominal, RMS, per unit
 * @param insideItic whether the excursion stays inside the voltage tolerance envelope; judged by
 *     the bench, only drawn here
 * @param note what a person should know about it; may be empty
 */
public record VoltageExcursion(
    double atSeconds, double durationSeconds, double voltagePu, boolean insideItic, String note) {}
