package islet.control;

import islet.contract.AlarmId;
import islet.contract.AlarmPriority;
import islet.contract.AlarmState;
import java.util.Arrays;

/**
 * The life of each alarm after IEC 62682 (from memory): it rises unacknowledged, is acknowledged,
 * returns; it may be shelved for a time, and is suppressed while another alarm explains it. One
 * alarm for one cause, however often the cause is seen.
 */
final class AlarmBoard {

  /** The longest that an alarm may be shelved: a shift (common practice). */
  static final long MOST_SHELVED_MICROS = 8 * 3600 * 1_000_000L;

  /** So many times in a minute is a chattering alarm (IEC 62682, from memory). */
  private static final int CHATTERS = 3;

  private static final long CHATTER_MICROS = 60_000_000;

  /** More than ten alarms in ten minutes are a flood; below five it is over (the same). */
  private static final int FLOOD = 10;

  private static final int FLOOD_OVER = 5;
  private static final long FLOOD_MICROS = 600_000_000;

  private static final AlarmId[] IDS = AlarmId.values();

  /** Under which names the states outlive a restart. */
  private static final String[] NAMES = names("alarm ");

  private static final String[] SHELVED = names("shelved ");

  /** By which other alarm one is explained; an alarm by itself has its own number. */
  private static final int[] EXPLAINED_BY = explanations();

  private final AlarmState[] states = new AlarmState[IDS.length];
  private final long[] since = new long[IDS.length];
  private final boolean[] active = new boolean[IDS.length];
  private final long[] shelvedUntil = new long[IDS.length];
  private final long[] raised = new long[IDS.length * CHATTERS];
  private final boolean[] chattering = new boolean[IDS.length];
  private final long[] quietSince = new long[IDS.length];
  private final long[] rung = new long[FLOOD + 1];
  private int ring;
  private boolean flood;
  private long now = Inputs.NEVER;

  private static String[] names(String before) {
    String[] names = new String[IDS.length];
    for (int i = 0; i < IDS.length; i++) {
      names[i] = before + IDS[i].name();
    }
    return names;
  }

  private static int[] explanations() {
    int[] by = new int[IDS.length];
    for (int i = 0; i < IDS.length; i++) {
      by[i] = i;
    }
    // Who waited for all devices in vain tells of it; which of them it was stands in its telemetry.
    by[AlarmId.DEVICE_SILENT.ordinal()] = AlarmId.START_TIMEOUT.ordinal();
    // Off the bus the battery has a voltage of its own; its meter and the converters' differ
    // rightly.
    by[AlarmId.SENSORS_DISAGREE.ordinal()] = AlarmId.BATTERY_CONTACTOR_OPEN.ordinal();
    by[AlarmId.INVERTER_NOT_FORMING.ordinal()] = AlarmId.INVERTER_TRIPPED.ordinal();
    return by;
  }

  AlarmBoard() {
    Arrays.fill(states, AlarmState.NORMAL);
    Arrays.fill(since, Long.MAX_VALUE);
    Arrays.fill(raised, Inputs.NEVER);
    Arrays.fill(quietSince, Inputs.NEVER);
    Arrays.fill(rung, Inputs.NEVER);
  }

  /** A scan begins: what was shelved for a time comes back when the time is over. */
  void begin(long instant, Outputs out) {
    now = instant;
    for (int i = 0; i < IDS.length; i++) {
      if (states[i] == AlarmState.SHELVED && now >= shelvedUntil[i]) {
        takeUp(i, out);
      } else if (states[i] == AlarmState.SUPPRESSED && !explained(i)) {
        takeUp(i, out);
      }
      if (chattering[i] && !active[i] && now - quietSince[i] >= CHATTER_MICROS) {
        chattering[i] = false;
        settle(i, out);
      }
    }
    if (flood && now - rung[(ring + FLOOD + 1 - FLOOD_OVER) % (FLOOD + 1)] > FLOOD_MICROS) {
      flood = false;
    }
  }

  /** Follows a condition that must hold for a while before it rings. */
  void follow(AlarmId id, boolean condition, long delayMicros, Outputs out) {
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
    int i = id.ordinal();
    if (!active[i]) {
      active[i] = true;
      count(i, out);
    }
    switch (states[i]) {
      case NORMAL, RETURNED -> ring(i, out);
      case UNACKNOWLEDGED, ACKNOWLEDGED, SHELVED, SUPPRESSED -> {}
    }
  }

  /** The cause is gone. */
  void lower(AlarmId id, Outputs out) {
    int i = id.ordinal();
    if (active[i]) {
      active[i] = false;
      quietSince[i] = now;
    }
    if (!chattering[i]) {
      settle(i, out);
    }
  }

  private void settle(int i, Outputs out) {
    switch (states[i]) {
      case UNACKNOWLEDGED -> set(i, AlarmState.RETURNED, out);
      case ACKNOWLEDGED, SUPPRESSED -> set(i, AlarmState.NORMAL, out);
      case NORMAL, RETURNED, SHELVED -> {}
    }
  }

  /** Somebody has seen an alarm, or, with an empty name, all of them. */
  void acknowledge(String name, Outputs out) {
    for (int i = 0; i < IDS.length; i++) {
      if (name.isEmpty() || IDS[i].name().equals(name)) {
        switch (states[i]) {
          case UNACKNOWLEDGED -> set(i, AlarmState.ACKNOWLEDGED, out);
          case RETURNED -> set(i, AlarmState.NORMAL, out);
          case NORMAL, ACKNOWLEDGED, SHELVED, SUPPRESSED -> {}
        }
      }
    }
  }

  /**
   * Puts an alarm aside for a time.
   *
   * @return why not; empty when it is shelved
   */
  String shelve(String name, double forS, Outputs out) {
    int i = find(name);
    if (i < 0) {
      return "there is no such alarm";
    }
    if (IDS[i].priority() == AlarmPriority.HIGH) {
      // Common practice: what threatens people or the supply is not put out of sight.
      return "an alarm of high priority cannot be shelved";
    }
    long micros = GridQualification.micros(forS);
    if (micros <= 0 || micros > MOST_SHELVED_MICROS) {
      return "an alarm is shelved for more than 0 s and at most 8 h";
    }
    shelvedUntil[i] = now + micros;
    if (states[i] != AlarmState.SHELVED) {
      set(i, AlarmState.SHELVED, out);
    }
    return "";
  }

  /**
   * Takes an alarm off the shelf.
   *
   * @return why not; empty when it is done
   */
  String unshelve(String name, Outputs out) {
    int i = find(name);
    if (i < 0 || states[i] != AlarmState.SHELVED) {
      return "no such alarm is shelved";
    }
    takeUp(i, out);
    return "";
  }

  /** Whether more alarms have rung lately than a person can take in. */
  boolean flooded() {
    return flood;
  }

  /** An alarm that was out of sight is judged anew. */
  private void takeUp(int i, Outputs out) {
    if (active[i] || chattering[i]) {
      set(i, AlarmState.NORMAL, out);
      ring(i, out);
    } else {
      set(i, AlarmState.NORMAL, out);
    }
  }

  private void ring(int i, Outputs out) {
    if (explained(i)) {
      set(i, AlarmState.SUPPRESSED, out);
      return;
    }
    set(i, AlarmState.UNACKNOWLEDGED, out);
    rung[ring] = now;
    ring = (ring + 1) % (FLOOD + 1);
    if (!flood && now - rung[ring] <= FLOOD_MICROS) {
      flood = true;
      out.event("alarm", "", "flood", "more than ten alarms in ten minutes");
    }
  }

  /** Counts how often in a minute the cause has come. */
  private void count(int i, Outputs out) {
    int first = i * CHATTERS;
    System.arraycopy(raised, first + 1, raised, first, CHATTERS - 1);
    raised[first + CHATTERS - 1] = now;
    if (!chattering[i] && now - raised[first] <= CHATTER_MICROS) {
      chattering[i] = true;
      out.event("alarm", "", IDS[i].name(), "chatters: it stands until a minute has been quiet");
    }
  }

  private boolean explained(int i) {
    int by = EXPLAINED_BY[i];
    return by != i && active[by];
  }

  private static int find(String name) {
    for (int i = 0; i < IDS.length; i++) {
      if (IDS[i].name().equals(name)) {
        return i;
      }
    }
    return -1;
  }

  /** What somebody has acknowledged or shelved stays so; what rings goes on ringing. */
  void keep(Keepsake keepsake) {
    for (int i = 0; i < IDS.length; i++) {
      states[i] = keepsake.word(NAMES[i], states[i]);
      shelvedUntil[i] = keepsake.count(SHELVED[i], shelvedUntil[i]);
    }
  }

  void remember(Memory memory) {
    for (int i = 0; i < IDS.length; i++) {
      states[i] = memory.word("alarm", states[i]);
      since[i] = memory.instant("alarm since", since[i]);
      active[i] = memory.flag("alarm active", active[i]);
      shelvedUntil[i] = memory.instant("alarm shelved", shelvedUntil[i]);
      chattering[i] = memory.flag("alarm chatters", chattering[i]);
      quietSince[i] = memory.instant("alarm quiet", quietSince[i]);
    }
    for (int i = 0; i < raised.length; i++) {
      raised[i] = memory.instant("alarm raised", raised[i]);
    }
    for (int i = 0; i < rung.length; i++) {
      rung[i] = memory.instant("alarm rung", rung[i]);
    }
    ring = (int) memory.count("alarm ring", ring);
    flood = memory.flag("alarm flood", flood);
    now = memory.instant("alarm now", now);
  }

  private void set(int i, AlarmState state, Outputs out) {
    states[i] = state;
    out.alarm(IDS[i], state);
  }
}
