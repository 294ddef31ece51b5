package islet.live;

import islet.bench.Witness;
import islet.contract.Ack;
import islet.contract.Alarm;
import islet.contract.Device;
import islet.contract.Event;
import islet.contract.SupervisorTelemetry;
import java.util.Optional;

/**
 * Hears the wire on the run's own behalf: keeps the supervisor's latest picture, and measures how
 * long messages take from their sender through the broker to a listener, in site time, by the
 * instant that each carries (to the millisecond of site time). Told on one thread, read from any.
 */
final class WireEar implements Witness {

  private static final double MICROS_PER_SECOND = 1e6;

  private volatile long latestMicros;
  private volatile long worstMicros;
  private volatile Optional<SupervisorTelemetry> picture = Optional.empty();

  @Override
  public void told(long micros, SupervisorTelemetry telemetry) {
    took(micros - telemetry.at());
    picture = Optional.of(telemetry);
  }

  @Override
  public void answered(long micros, Device device, Ack ack) {
    took(micros - ack.at());
  }

  @Override
  public void happened(long micros, Device device, Event event) {
    took(micros - event.at());
  }

  @Override
  public void alarmed(long micros, Device device, Alarm alarm) {
    took(micros - alarm.at());
  }

  private void took(long micros) {
    latestMicros = micros;
    worstMicros = Math.max(worstMicros, micros);
  }

  Optional<SupervisorTelemetry> picture() {
    return picture;
  }

  LiveRun.Delay delay() {
    return new LiveRun.Delay(latestMicros / MICROS_PER_SECOND, worstMicros / MICROS_PER_SECOND);
  }
}
