package islet.bench;

import islet.contract.AlarmState;

/** What an alarm's state means to a judge. */
final class Alarms {

  private Alarms() {}

  /** Whether it is there; a shelved one was seen by whoever shelved it. */
  static boolean stands(AlarmState state) {
    return switch (state) {
      case UNACKNOWLEDGED, ACKNOWLEDGED, SHELVED, SUPPRESSED -> true;
      case RETURNED, NORMAL -> false;
    };
  }
}
