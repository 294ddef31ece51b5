package islet.fault;

import islet.contract.AlarmId;
import java.util.Collections;
import java.util.EnumSet;
import java.util.Set;

/**
 * What must be noticed of a fault.
 *
 * @param from from when on it must be
 * @param withinS within how many seconds from then, by a supervisor that can be heard; 0 when
 *     nothing is owed
 * @param alarms any one of these tells of it; empty when nothing is owed
 * @param reason why so, in a sentence
 */
public record Owed(From from, double withinS, Set<AlarmId> alarms, String reason) {

  /** From when on a fault matters: before, nobody could see it and nothing came of it. */
  public enum From {
    /** Never. */
    NEVER,
    /** From its beginning. */
    BEGINNING,
    /** While the tie's contact is closed on a dead utility. */
    TIE_SHOULD_BE_OPEN,
    /** While the supervisor says that it returns to the utility. */
    TIE_SHOULD_CLOSE,
    /** While the emergency panel is dead behind an open tie. */
    PANEL_SHOULD_LIVE,
    /** While a sensor is off by more than twice what the supervisor bears. */
    FAR_OFF
  }

  public Owed {
    alarms =
        alarms.isEmpty()
            ? Set.of()
            : Collections.unmodifiableSet(EnumSet.copyOf(alarms)); // in the order of the alarms
  }

  static Owed nothing(String reason) {
    return new Owed(From.NEVER, 0, Set.of(), reason);
  }

  /** Whether anything is. */
  public boolean any() {
    return from != From.NEVER;
  }
}
