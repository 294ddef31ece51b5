package islet.control;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * What a supervisor remembers, copied out as one number a field, and given back. A truth is 0 or 1,
 * a word its place in its enum, a text its place in the list of texts seen, a real number its bits.
 */
final class Remembered implements Memory {

  enum Kind {
    INSTANT,
    COUNT,
    NUMBER,
    FLAG,
    WORD,
    TEXT
  }

  private final List<String> names = new ArrayList<>();
  private final List<Kind> kinds = new ArrayList<>();
  private final List<Object[]> words = new ArrayList<>();
  private final List<String> texts = new ArrayList<>(List.of(""));
  private final boolean learnt;
  private boolean giving;
  private int next;
  long[] values = new long[0];

  /** The memory of a supervisor as it is now; others of the same site have the same fields. */
  Remembered(SiteSupervisor supervisor) {
    supervisor.remember(this);
    learnt = true;
    values = new long[names.size()];
    copy(supervisor);
  }

  void copy(SiteSupervisor supervisor) {
    giving = false;
    next = 0;
    supervisor.remember(this);
  }

  void give(SiteSupervisor supervisor) {
    giving = true;
    next = 0;
    supervisor.remember(this);
  }

  /** Copies the course alone, which comes first; the other values stay what they were. */
  void copyCourse(SiteSupervisor supervisor) {
    giving = false;
    next = 0;
    supervisor.rememberCourse(this);
  }

  /** Gives back everything but alarms, which no decision reads. */
  void giveWithoutAlarms(SiteSupervisor supervisor) {
    giving = true;
    next = 0;
    supervisor.rememberCourse(this);
    supervisor.rememberMeasured(this);
  }

  /** Of how many fields the course consists. */
  int course(SiteSupervisor supervisor) {
    copyCourse(supervisor);
    return next;
  }

  /** How many fields come before the alarms. */
  int withoutAlarms(SiteSupervisor supervisor) {
    giving = false;
    next = 0;
    supervisor.rememberCourse(this);
    supervisor.rememberMeasured(this);
    return next;
  }

  int size() {
    return values.length;
  }

  String name(int field) {
    return names.get(field);
  }

  Kind kind(int field) {
    return kinds.get(field);
  }

  /** The first field of a name. */
  int field(String name) {
    int i = names.indexOf(name);
    if (i < 0) {
      throw new IllegalArgumentException("The supervisor remembers nothing named " + name + ".");
    }
    return i;
  }

  private long pass(String what, Kind kind, long value) {
    if (giving) {
      return values[next++];
    }
    if (learnt) {
      values[next++] = value;
    } else {
      names.add(what);
      kinds.add(kind);
    }
    return value;
  }

  @Override
  public long instant(String what, long value) {
    return pass(what, Kind.INSTANT, value);
  }

  @Override
  public long count(String what, long value) {
    return pass(what, Kind.COUNT, value);
  }

  @Override
  public double number(String what, double value) {
    return Double.longBitsToDouble(pass(what, Kind.NUMBER, Double.doubleToRawLongBits(value)));
  }

  @Override
  public boolean flag(String what, boolean value) {
    return pass(what, Kind.FLAG, value ? 1 : 0) == 1;
  }

  @Override
  @SuppressWarnings("unchecked")
  public <E extends Enum<E>> E word(String what, E value) {
    int i = next;
    long ordinal = pass(what, Kind.WORD, value.ordinal());
    if (!learnt) {
      while (words.size() < names.size()) {
        words.add(value.getDeclaringClass().getEnumConstants());
      }
      return value;
    }
    return (E) words.get(i)[(int) ordinal];
  }

  @Override
  public String text(String what, String value) {
    int place = giving ? 0 : texts.indexOf(value);
    if (place < 0) {
      place = texts.size();
      texts.add(value);
    }
    return texts.get((int) pass(what, Kind.TEXT, place));
  }

  @Override
  public String toString() {
    return names + " = " + Arrays.toString(values);
  }
}
