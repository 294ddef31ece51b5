package islet.plant;

import java.util.List;

/**
 * What shades the array over a day, every day.
 *
 * @param utcOffsetH local standard time against universal time, h; the sun knows no daylight saving
 * @param entries one at a time; of two that overlap the first counts
 */
public record ShadeDay(double utcOffsetH, List<ShadeSpec> entries) {
  /** Nothing shades it. */
  public static final ShadeDay NONE = new ShadeDay(0, List.of());

  /** Takes a copy. */
  public ShadeDay {
    entries = List.copyOf(entries);
  }
}
