package islet.bench;

import islet.control.Keepsake;
import islet.control.Supervisor;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;

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
    supervisor.keep(kept.new Pass(false));
    return kept;
  }

  /** Tells a supervisor that has not scanned yet. */
  void restore(Supervisor supervisor) {
    supervisor.keep(new Pass(true));
  }

  /** Goes over what is kept once, and writes it down or tells it. */
  private final class Pass implements Keepsake {
    private final boolean tells;

    Pass(boolean tells) {
      this.tells = tells;
    }

    private <T> T pass(String name, Class<T> type, T value) {
      if (tells) {
        return Optional.ofNullable(values.get(name)).map(type::cast).orElse(value);
      }
      values.put(name, value);
      return value;
    }

    @Override
    public long instant(String name, long value) {
      return pass(name, Long.class, value);
    }

    @Override
    public long count(String name, long value) {
      return pass(name, Long.class, value);
    }

    @Override
    public double estimate(String name, double value) {
      return pass(name, Double.class, value);
    }

    @Override
    public boolean flag(String name, boolean value) {
      return pass(name, Boolean.class, value);
    }

    @Override
    public <E extends Enum<E>> E word(String name, E value) {
      return pass(name, value.getDeclaringClass(), value);
    }

    @Override
    public String text(String name, String value) {
      return pass(name, String.class, value);
    }
  }
}
