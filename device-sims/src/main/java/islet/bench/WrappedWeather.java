package islet.bench;

import islet.plant.Sky;
import islet.plant.Weather;

/** A span of weather that begins again when it is over. */
final class WrappedWeather implements Weather {

  private final Weather span;
  private final long start;
  private final long length;

  WrappedWeather(Weather span, long startMicros, long lengthMicros) {
    this.span = span;
    this.start = startMicros;
    this.length = lengthMicros;
  }

  @Override
  public void sample(long epochMicros, Sky sky) {
    span.sample(within(epochMicros), sky);
  }

  @Override
  public long nextChangeMicros(long epochMicros) {
    long within = within(epochMicros);
    long change = Math.min(span.nextChangeMicros(within), start + length);
    return epochMicros + change - within;
  }

  private long within(long epochMicros) {
    return start + Math.floorMod(epochMicros - start, length);
  }
}
