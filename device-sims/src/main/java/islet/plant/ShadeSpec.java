package islet.plant;

/**
 * Shade on a part of the array for a time of every day.
 *
 * @param strings how many strings it lies on
 * @param modules how many modules of each of those
 * @param substrings how many of the groups of cells with a bypass diode, of each of those modules
 * @param light share of the light that still reaches the cells in shade, 0 to 1
 * @param fromMinute start, minutes after midnight of local standard time, 0 to 1439
 * @param toMinute end, the same up to 1440; before the start it passes midnight
 */
public record ShadeSpec(
    int strings, int modules, int substrings, double light, int fromMinute, int toMinute) {
  /** Checks the ranges. */
  public ShadeSpec {
    Require.atLeastOne(strings, "The number of strings in shade");
    Require.atLeastOne(modules, "The number of modules in shade");
    Require.atLeastOne(substrings, "The number of groups of cells in shade");
    Require.within(light, 0, 1, "The share of light left in shade");
    Require.within(fromMinute, 0, 1439, "The start of shade in minutes");
    Require.within(toMinute, 0, 1440, "The end of shade in minutes");
    Require.that(fromMinute != toMinute, "Shade begins and ends in the same minute.");
  }

  boolean holds(int minuteOfDay) {
    return fromMinute < toMinute
        ? minuteOfDay >= fromMinute && minuteOfDay < toMinute
        : minuteOfDay >= fromMinute || minuteOfDay < toMinute;
  }
}
