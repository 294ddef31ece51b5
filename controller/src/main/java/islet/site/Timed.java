package islet.site;

import java.time.LocalDate;
import java.util.List;

/** A rule of the schedule that holds between two times of day, on some days. */
public interface Timed {

  /** From when to when. */
  Site.MinuteSpan span();

  /** On which days; after midnight a span belongs to the new day. */
  DaySet days();

  /**
   * Whether it holds at a minute of a local date.
   *
   * @param minute since local midnight, 0 to 1439
   * @param holidays the tariff's
   */
  default boolean holds(LocalDate date, int minute, List<Holiday> holidays) {
    return Spans.holds(span(), minute) && days().holds(date, holidays);
  }
}
