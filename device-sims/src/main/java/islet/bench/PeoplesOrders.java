package islet.bench;

import islet.contract.Forced;
import islet.contract.SupervisorCommand;
import java.util.Arrays;

/**
 * What people have ordered of the charging, as the wire carried it to the supervisor: by hand or
 * not, charging forced on or off, warnings.
 */
final class PeoplesOrders {

  private static final int MOST_WARNINGS = 16;

  private static final long NEVER = Long.MIN_VALUE;

  private final String[] warnings = new String[MOST_WARNINGS];
  private final long[] warnedUntil = new long[MOST_WARNINGS];
  private boolean manual;
  private long chargeNowUntil = NEVER;
  private long chargeOffUntil = NEVER;

  PeoplesOrders() {
    Arrays.fill(warnings, "");
    Arrays.fill(warnedUntil, NEVER);
  }

  void asked(long micros, SupervisorCommand order) {
    long until = micros + Amount.micros(order.forS());
    switch (order.order()) {
      case MANUAL -> manual = true;
      case AUTO -> manual = false;
      case OVERRIDE -> force(order.key(), until);
      case END_OVERRIDE -> {
        if (order.key().isEmpty()) {
          chargeNowUntil = NEVER;
          chargeOffUntil = NEVER;
        } else {
          force(order.key(), NEVER);
        }
      }
      case WARN -> warn(micros, order.key(), until);
      case ALL_CLEAR -> {
        for (int i = 0; i < MOST_WARNINGS; i++) {
          if (order.key().isEmpty() || warnings[i].equals(order.key())) {
            warnedUntil[i] = NEVER;
          }
        }
      }
      case ISLAND, RECONNECT, HOLD, RELEASE, ACKNOWLEDGE, RESET, SHELVE, UNSHELVE, EQUALISE -> {}
    }
  }

  private void force(String key, long until) {
    if (key.equals(Forced.CHARGE_NOW.name())) {
      chargeNowUntil = until;
    } else if (key.equals(Forced.CHARGE_OFF.name())) {
      chargeOffUntil = until;
    }
  }

  private void warn(long now, String key, long until) {
    int place = -1;
    for (int i = MOST_WARNINGS - 1; i >= 0; i--) {
      if (warnings[i].equals(key)) {
        place = i;
        break;
      }
      if (warnedUntil[i] <= now) {
        place = i;
      }
    }
    if (place >= 0) {
      warnings[place] = key;
      warnedUntil[place] = until;
    }
  }

  /** Whether a person begins everything. */
  boolean manual() {
    return manual;
  }

  boolean chargeNow(long now) {
    return now < chargeNowUntil;
  }

  boolean chargeOff(long now) {
    return now < chargeOffUntil;
  }

  boolean warned(long now) {
    for (long until : warnedUntil) {
      if (now < until) {
        return true;
      }
    }
    return false;
  }
}
