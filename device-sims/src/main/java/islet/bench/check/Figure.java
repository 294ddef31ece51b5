package islet.bench.check;

/**
 * One of the figures that are asked first.
 *
 * @param group under which it stands
 * @param name what it is
 * @param value not a number when the site has none
 * @param unit its unit; empty for a ratio
 * @param decimals with which it is printed
 * @param note what it rests on; may be empty
 */
public record Figure(
    String group, String name, double value, String unit, int decimals, String note) {}
