package islet.control;

import islet.site.GridProfile;
import islet.site.Site;
import java.util.Arrays;
import java.util.Set;
import java.util.TreeSet;

/**
 * What of a supervisor's memory makes a state of an {@link Exploration}, and the memory that stands
 * for a state.
 *
 * <p>Of an instant it is kept that nothing runs, that it runs, that it has run out. Not kept, since
 * the grid says them before each scan: state of charge, stage of the charge, reserve, power ramp,
 * the clearing times of the profile; of these only the usual and the grid's oddities are seen. Left
 * out, since no decision reads them: alarms and shed circuits.
 */
final class StateCode {

  /** So long ago that every time has run out. */
  private static final long AGE = 1_000_000_000_000L;

  /** The scans of an exploration follow each other so fast that no time runs out by itself. */
  private static final long SCAN = 1_000;

  /** When what runs has begun: at the last scan. */
  static final long LAST = Field.NOW - SCAN;

  /** When what has run out has begun. */
  static final long OLD = Field.NOW - AGE;

  private static final Phase[] PHASES = Phase.values();

  /** What is kept of an instant. */
  private static final byte NOTHING = 0;

  private static final byte NEVER = 1;
  private static final byte RUNNING = 2;
  private static final byte RUN_OUT = 3;
  private static final byte AHEAD = 4;

  /** Said by the grid before each scan, or read by no decision. */
  private static final Set<String> FREE =
      Set.of(
          "voltage",
          "soc",
          "doubt",
          "counted",
          "rest",
          "below reserve",
          "window done",
          "stage",
          "absorption reached",
          "tail",
          "rebulk",
          "absorbed",
          "charged",
          "too high",
          "surplus",
          "equalising asked",
          "equalised",
          "equalising",
          "equalised for",
          "was apart",
          "afloat",
          "shed",
          "alarm",
          "alarm since",
          "alarm active",
          "alarm shelved",
          "alarm chatters",
          "alarm quiet",
          "alarm raised",
          "alarm rung",
          "alarm ring",
          "alarm flood",
          "alarm now",
          "hold lost",
          "hold repeated",
          "signal status",
          "signal looks",
          "signal looks since",
          "signal wrong since",
          "signal right since",
          "signal bad since",
          "signal rings",
          "same value",
          "first then",
          "second then",
          "first last",
          "same who",
          "same reported",
          "same reports",
          "same moves",
          "same found",
          "volts told",
          "volts moved",
          "volts at",
          "volts before",
          "stepping",
          "stepped",
          "stepped from",
          "current differs",
          "coldest",
          "warmest",
          "temperature known",
          "temperature differs",
          "soc by voltage",
          "soc by voltage at",
          "warnings",
          "warning",
          "warning until",
          "observed",
          "utility watched",
          "utility outages",
          "utility out",
          "utility watched at",
          "utility gone",
          "outage counted",
          "above reserve",
          "trade",
          "import at",
          "export at",
          "replace at",
          "priced until",
          "charge ac",
          "charge dc",
          "feed ac",
          "feed dc",
          "battery in ah",
          "battery in wh",
          "battery out ah",
          "battery out wh",
          "round trip at",
          "waitless",
          "waitless done",
          "confidence",
          "minute judged",
          "next window",
          "ramp",
          "overloads",
          "reset");

  /**
   * Of these nothing is kept: before each scan each may have begun, or have run out, should its
   * cause be there. So a time may also be of no length.
   */
  private static final Set<String> UNKEPT =
      Set.of(
          "formed",
          "in step",
          "low",
          "not forming",
          "sides differ",
          "live",
          "blind",
          "unloaded",
          "closed",
          "open",
          "denied");

  /** Three failed starts count like more. */
  private static final long MOST_FAILED = 3;

  private final Site site;
  private final Remembered memory;
  private final int[] kept;
  private final boolean[] keeps;
  private final boolean[] instants;
  private final boolean[] unkept;
  private final long[] usual;
  private final byte[] bytes;
  private final int phase;
  private final int retry;
  private final int formed;
  final int entered;
  final int known;
  final int inBand;
  final int low;
  final int live;

  /**
   * The code for the states of a supervisor at its beginning.
   *
   * @param memory its memory
   * @param course of how many fields its course consists, in which all that is kept must be
   */
  StateCode(Site site, Remembered memory, int course) {
    this.site = site;
    this.memory = memory;
    phase = memory.field("phase");
    retry = memory.field("retry");
    formed = memory.field("formed");
    entered = memory.field("entered");
    known = memory.field("known");
    inBand = memory.field("in band");
    low = memory.field("low");
    live = memory.field("live");
    Set<String> free = new TreeSet<>(FREE);
    site.profile().trips().forEach(trip -> free.add(trip.name()));
    keeps = new boolean[memory.size()];
    int[] list = new int[memory.size()];
    int n = 0;
    for (int i = 0; i < memory.size(); i++) {
      if (!free.contains(memory.name(i))) {
        if (i >= course) {
          throw new IllegalStateException(
              memory.name(i) + " is part of a state, but not of the supervisor's course.");
        }
        keeps[i] = true;
        list[n++] = i;
      }
    }
    kept = Arrays.copyOf(list, n);
    instants = new boolean[n];
    unkept = new boolean[n];
    for (int i = 0; i < n; i++) {
      instants[i] = memory.kind(kept[i]) == Remembered.Kind.INSTANT;
      unkept[i] = UNKEPT.contains(memory.name(kept[i]));
    }
    bytes = new byte[n + 1];
    usual = usual();
  }

  private long[] usual() {
    long[] v = memory.values.clone();
    v[memory.field("voltage")] = bits(49.6 / 48 * site.battery().nominalV());
    v[memory.field("soc")] = bits(0.6);
    v[memory.field("doubt")] = bits(0.01);
    v[memory.field("counted")] = LAST;
    v[memory.field("charged")] = LAST;
    for (GridProfile.Trip trip : site.profile().trips()) {
      v[memory.field(trip.name())] = LAST;
    }
    return v;
  }

  private static long bits(double value) {
    return Double.doubleToRawLongBits(value);
  }

  /** The fields whose times run. */
  int[] running(byte[] from) {
    int[] found = new int[kept.length];
    int n = 0;
    boolean timed = timed(phase(from));
    for (int i = 0; i < kept.length; i++) {
      if (instants[i]
          && (from[i] == RUNNING || from[i] == AHEAD)
          && (timed || kept[i] != entered)) {
        found[n++] = kept[i];
      }
    }
    return Arrays.copyOf(found, n);
  }

  /** Whether a field is a time of which nothing is kept. */
  boolean unkept(int field) {
    return keeps[field] && UNKEPT.contains(memory.name(field));
  }

  /** Whether a field is part of a state. */
  boolean keeps(int field) {
    return keeps[field];
  }

  /** Whether a time may matter in a scan even though it does not run on after it. */
  boolean always(int field) {
    return field == entered || field == retry || field == formed;
  }

  /** The value of a field whose time has run out. */
  long ranOut(int field) {
    return field == retry ? Inputs.NEVER : OLD;
  }

  /** The bytes that were taken last; overwritten by the next. */
  byte[] bytes() {
    return bytes;
  }

  /** Takes the memory as it is, with what the judge remembers. */
  void take(Phase now, int judge) {
    boolean timed = timed(now);
    for (int i = 0; i < kept.length; i++) {
      int field = kept[i];
      long v = memory.values[field];
      bytes[i] =
          switch (memory.kind(field)) {
            case INSTANT -> unkept[i] || (field == entered && !timed) ? RUNNING : instant(field, v);
            case COUNT -> (byte) Math.min(v, MOST_FAILED);
            case FLAG, WORD, TEXT -> (byte) v;
            case NUMBER ->
                throw new IllegalStateException(
                    "The number " + memory.name(field) + " is remembered, but has no classes.");
          };
    }
    bytes[kept.length] = (byte) judge;
  }

  /** Whether anything asks how long the supervisor has been in this phase. */
  private static boolean timed(Phase phase) {
    return switch (phase) {
      case WAIT_FOR_PERSON -> false;
      case LISTEN,
          CONNECTED,
          UNLOAD_TIE,
          OPEN_TIE,
          FORM,
          CARRY,
          SYNCHRONISE,
          CLOSE_TIE,
          CLOSE_ON_DEAD_PANEL,
          UNSUPPLIED ->
          true;
    };
  }

  private byte instant(int field, long v) {
    if (v == Long.MAX_VALUE) {
      return NOTHING;
    }
    if (v > Field.NOW) {
      return AHEAD;
    }
    if (v == Inputs.NEVER || field == retry) {
      return NEVER;
    }
    return v >= LAST ? RUNNING : RUN_OUT;
  }

  /** The phase of a state. */
  Phase phase(byte[] from) {
    return PHASES[(int) memory(from)[phase]];
  }

  /** A memory that stands for a state. */
  long[] memory(byte[] code) {
    long[] v = usual.clone();
    for (int i = 0; i < kept.length; i++) {
      v[kept[i]] =
          memory.kind(kept[i]) != Remembered.Kind.INSTANT
              ? code[i]
              : switch (code[i]) {
                case NOTHING -> Long.MAX_VALUE;
                case NEVER -> Inputs.NEVER;
                case RUNNING -> LAST;
                case RUN_OUT -> OLD;
                case AHEAD -> Field.NOW + AGE;
                default -> throw new IllegalStateException("No such class: " + code[i]);
              };
    }
    return v;
  }
}
