package islet.control;

import islet.contract.AlarmId;
import islet.contract.AlarmState;

/**
 * The life of each alarm after IEC 62682: it rises unacknowledged, is acknowledged, returns. One
 * alarm for one cause, however often the cause is seen.
 */
final class AlarmBoard {

  private static final AlarmId[] IDS = AlarmId.values();

  /** Under which names the states outlive a restart. */
  private static final String[] NAMES = names();

  private final AlarmState[] states = new AlarmState[IDS.length];
  private final long[] since = new long[IDS.length];

  private static String[] names() {
    String[] names = new String[IDS.length];
    for (int i = 0; i < IDS.length; i++) {
      names[i] = "alarm " + IDS[i].name();
    }
    return names;
  }

  AlarmBoard() {
    for (int i = 0; i < IDS.length; i++) {
      states[i] = AlarmState.NORMAL;
      since[i] = Long.MAX_VALUE;
    }
  }

  /** Follows a condition that must hold for a while before it rings. */
  void follow(AlarmId id, boolean condition, long delayMicros, long now, Outputs out) {
    int i = id.ordinal();
    if (!condition) {
      since[i] = Long.MAX_VALUE;
      lower(id, out);
      return;
    }
    if (since[i] == Long.MAX_VALUE) {
      since[i] = now;
    }
    if (now - since[i] >= delayMicros) {
      raise(id, out);
    }
  }

  /** The cause is there. */
  void raise(AlarmId id, Outputs out) {
    switch (states[id.ordinal()]) {
      case NORMAL, RETURNED -> set(id, AlarmState.UNACKNOWLEDGED, out);
      case UNACKNOWLEDGED, ACKNOWLEDGED, SHELVED -> {}
    }
  }

  /** The cause is gone. */
  void lower(AlarmId id, Outputs out) {
    switch (states[id.ordinal()]) {
      case UNACKNOWLEDGED -> set(id, AlarmState.RETURNED, out);
      case ACKNOWLEDGED, SHELVED -> set(id, AlarmState.NORMAL, out);
      case NORMAL, RETURNED -> {}
    }
  }

  /** Somebody has seen an alarm, or, with an empty name, all of them. */
  void acknowledge(String name, Outputs out) {
    for (AlarmId id : IDS) {
      if (name.isEmpty() || id.name().equals(name)) {
        switch (states[id.ordinal()]) {
          case UNACKNOWLEDGED -> set(id, AlarmState.ACKNOWLEDGED, out);
          case RETURNED -> set(id, AlarmState.NORMAL, out);
          case NORMAL, ACKNOWLEDGED, SHELVED -> {}
        }
      }
    }
  }

  /** What somebody has acknowledged or shelved stays so; what rings goes on ringing. */
  void keep(Keepsake keepsake) {
    for (int i = 0; i < IDS.length; i++) {
      states[i] = keepsake.word(NAMES[i], states[i]);
    }
  }

  void remember(Memory memory) {
    for (int i = 0; i < IDS.length; i++) {
      states[i] = memory.word("alarm", states[i]);
      since[i] = memory.instant("alarm since", since[i]);
    }
  }

  private void set(AlarmId id, AlarmState state, Outputs out) {
    states[id.ordinal()] = state;
    out.alarm(id, state);
  }
}
