package islet.bench.campaign;

import islet.bench.Event;
import islet.bench.Scenario;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.regex.Pattern;

/**
 * One case.
 *
 * @param id its number in the campaign, from 0
 * @param course what is disturbed
 * @param mode in which the first mishap begins; empty when none does
 * @param mishap what happens, for a table's line
 * @param kinds of the mishaps
 * @param events the mishaps
 */
public record CampaignCase(
    long id, Course course, String mode, String mishap, List<String> kinds, List<Event> events) {

  /** What stands between mishaps that come together. */
  static final String JOINED = " + ";

  private static final Pattern AND = Pattern.compile(" \\+ ");

  /** Each of the mishaps that stand in a row, for its own. */
  static List<String> apart(String mishap) {
    return AND.splitAsStream(mishap).toList();
  }

  public CampaignCase {
    kinds = List.copyOf(kinds);
    events = List.copyOf(events);
  }

  /** The course itself, undisturbed. */
  static CampaignCase healthy(long id, Course course) {
    return new CampaignCase(id, course, "", "nothing", List.of(), List.of());
  }

  /** When the first mishap begins, µs after the start; −1 when none does. */
  public long atMicros() {
    return events.stream().mapToLong(Event::atMicros).min().orElse(-1);
  }

  /** The case as a scenario. */
  public Scenario scenario() {
    Scenario base = course.scenario();
    List<Event> all = new ArrayList<>(base.events());
    all.addAll(events);
    all.sort(Comparator.comparingLong(Event::atMicros));
    return base.happening(base.title() + ": " + mishap, base.durationMicros(), all);
  }

  /** Whether a scenario may hold all this: no outage within an outage, nothing after the end. */
  static boolean possible(Course course, List<Event> events) {
    List<Event> all = new ArrayList<>(course.scenario().events());
    all.addAll(events);
    all.sort(Comparator.comparingLong(Event::atMicros));
    long outUntil = 0;
    for (int i = 0; i < all.size(); i++) {
      Event event = all.get(i);
      boolean clashes = event.outUntilMicros() > 0 && event.atMicros() < outUntil;
      if (clashes
          || event.atMicros() >= course.scenario().durationMicros()
          || all.subList(0, i).contains(event)) {
        return false;
      }
      outUntil = Math.max(outUntil, event.outUntilMicros());
    }
    return true;
  }
}
