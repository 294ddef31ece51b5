package islet.executive;

/** The one source of time: virtual on the bench, the machine's in the field. */
@FunctionalInterface
public interface Clock {

  /** The present instant in microseconds since 1970-01-01T00:00Z. */
  long micros();
}
