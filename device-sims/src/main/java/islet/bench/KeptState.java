package islet.bench;

import islet.control.Keepsake;
import islet.control.Supervisor;
import java.util.LinkedHashMap;
import java.util.Map;

/**
 * What a supervisor would know after a restart, taken from it as a journal takes it, without the
 * journal's rounding.
 */
final class KeptState {

  private final Map<String, Object> values = new LinkedHashMap<>();

  private KeptState() {}

  /** Asks a supervisor between two scans; that leaves it as it is. */
  static KeptState of(Supervisor supervisor) {
    KeptState kept = new KeptState();
    supervisor.keep(kept.new Writing());
    return kept;
  }

  /** Tells a supervisor that has not scanned yet. */
  void restore(Supervisor supervisor) {
    supervisor.keep(new Reading());
  }

  private final class Writing implements Keepsake {
    private <T> T note(String name, T value) {
      values.put(name, value);
      return value;
    }

    @Override
    public long instant(String name, long value) {
      return note(name, value);
    }

    @Override
    public long count(String name, long value) {
      return note(name, value);
    }

    @Override
    public double estimate(String name, double value) {
      return note(name, value);
    }

    @Override
    public boolean flag(String name, boolean value) {
      return note(name, value);
    }

    @Override
    public <E extends Enum<E>> E word(String name, E value) {
      return note(name, value);
    }

    @Override
    public String text(String name, String value) {
      return note(name, value);
    }
  }

  private final class Reading implements Keepsake {
    private <T> T told(String name, Class<T> type, T value) {
      return type.cast(values.getOrDefault(name, value));
    }

    @Override
    public long instant(String name, long value) {
      return told(name, Long.class, value);
    }

    @Override
    public long count(String name, long value) {
      return told(name, Long.class, value);
    }

    @Override
    public double estimate(String name, double value) {
      return told(name, Double.class, value);
    }

    @Override
    public boolean flag(String name, boolean value) {
      return told(name, Boolean.class, value);
    }

    @Override
    public <E extends Enum<E>> E word(String name, E value) {
      return told(name, value.getDeclaringClass(), value);
    }

    @Override
    public String text(String name, String value) {
      return told(name, String.class, value);
    }
  }
}
