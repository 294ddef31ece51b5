package islet.bench;

/**
 * An expectation of one signal within a stretch of the run: hands on the signal's value from the
 * beginning of the stretch, which need not fall on a sample, to its end.
 */
abstract class SignalCheck implements Expectations.Check {

  private final Signal signal;
  private final long from;
  private final long until;
  private boolean seen;
  private boolean open;
  private boolean closed;
  private double last;

  SignalCheck(String name, long from, long until) {
    this.signal =
        Signal.named(name)
            .orElseThrow(
                () -> new IllegalArgumentException("found the signal '" + name + "', unknown"));
    this.from = from;
    this.until = until;
  }

  /** The value from this instant on. */
  abstract void value(long micros, double value);

  /** The stretch is over. */
  abstract void over(long micros);

  @Override
  public final void truth(Truth truth) {
    long micros = truth.micros();
    if (closed) {
      return;
    }
    if (!open && micros > from && seen) {
      open = true;
      value(from, last);
    }
    if (micros > until) {
      close(until);
      return;
    }
    last = truth.get(signal);
    seen = true;
    if (micros >= from) {
      open = true;
      value(micros, last);
    }
  }

  @Override
  public final void finish(long endMicros) {
    if (!closed) {
      if (!open && seen && endMicros > from) {
        open = true;
        value(from, last);
      }
      close(Math.min(endMicros, until));
    }
  }

  private void close(long micros) {
    closed = true;
    if (open) {
      over(micros);
    }
  }

  /** Whether the run came to the stretch at all. */
  final boolean judged() {
    return open;
  }

  /** The index of a word of the signal, or 1 and 0 for {@code true} and {@code false}. */
  final int word(String value) {
    int index = signal.words().indexOf(value);
    if (index < 0) {
      throw new IllegalArgumentException(
          "found the value '"
              + value
              + "' for "
              + signal.label()
              + "; allowed are "
              + String.join(", ", signal.words()));
    }
    return index;
  }

  /** The unit that the signal's name carries; empty when it carries none. */
  final String unit() {
    String label = signal.label();
    int at = label.lastIndexOf('_');
    String suffix = at < 0 ? label.substring(label.indexOf('.') + 1) : label.substring(at + 1);
    return switch (suffix) {
      case "C" -> "°C";
      case "pu", "Hz", "W", "V", "A" -> suffix;
      case "soc" -> "SoC";
      default -> "";
    };
  }
}
