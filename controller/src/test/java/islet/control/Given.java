package islet.control;

import java.util.HashMap;
import java.util.Map;

/**
 * A memory, or what outlives a restart, in which a test has written what went before, and reads
 * what has become of it; what it doesn't name stays as it is.
 */
final class Given implements Memory, Keepsake {

  private final Map<String, Object> fields = new HashMap<>();
  private final Map<String, Object> seen = new HashMap<>();

  /** Writes a field by the name under which its class hands it in. */
  Given with(String what, Object value) {
    fields.put(what, value);
    return this;
  }

  /** What a class has handed in under this name. */
  Object seen(String what) {
    Object value = seen.get(what);
    if (value == null) {
      throw new AssertionError("nothing is remembered under " + what);
    }
    return value;
  }

  private Object or(String what, Object value) {
    seen.put(what, value);
    return fields.getOrDefault(what, value);
  }

  @Override
  public long instant(String what, long value) {
    return (long) or(what, value);
  }

  @Override
  public long count(String what, long value) {
    return (long) or(what, value);
  }

  @Override
  public double number(String what, double value) {
    return (double) or(what, value);
  }

  @Override
  public double estimate(String what, double value) {
    return (double) or(what, value);
  }

  @Override
  public boolean flag(String what, boolean value) {
    return (boolean) or(what, value);
  }

  @Override
  public <E extends Enum<E>> E word(String what, E value) {
    return value.getDeclaringClass().cast(or(what, value));
  }

  @Override
  public String text(String what, String value) {
    return (String) or(what, value);
  }
}
