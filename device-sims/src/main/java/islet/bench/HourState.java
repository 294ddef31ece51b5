package islet.bench;

/**
 * A site connected to its utility at a full hour, as an outage would find it.
 *
 * @param micros when, microseconds since 1970
 * @param soc the battery's true state of charge, 0 to 1
 * @param celsius the battery's true temperature, °C
 * @param health the battery's capacity over a new one's, 0.1 to 1
 * @param kept what the supervisor knows
 */
public record HourState(long micros, double soc, double celsius, double health, KeptState kept) {}
