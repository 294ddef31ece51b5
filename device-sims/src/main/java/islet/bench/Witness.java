package islet.bench;

import islet.contract.Ack;
import islet.contract.Alarm;
import islet.contract.Device;
import islet.contract.Event;
import islet.contract.SupervisorCommand;
import islet.contract.SupervisorTelemetry;

/**
 * Somebody who watches a run: the plant's truth and the wire, nothing else. Instants are true time
 * in microseconds since 1970, whatever the sender's clock says, and do not go backwards.
 */
public interface Witness {

  /** The truth from now on; the same instance each time, so whoever wants to keep it copies it. */
  default void truth(Truth truth) {}

  /**
   * A command has arrived at a device.
   *
   * @param from the client id of its sender; empty where the wire does not tell
   * @param seq the command's number
   * @param at when its sender says it was made, microseconds since 1970
   * @param lifetimeS how long from {@code at} it is good for
   */
  default void commanded(
      long micros, Device device, String from, long seq, long at, double lifetimeS) {}

  /** A person's order has arrived at the supervisor; {@link #commanded} tells of it as well. */
  default void asked(long micros, SupervisorCommand order) {}

  /** A device has answered a command. */
  default void answered(long micros, Device device, Ack ack) {}

  /** The supervisor has told its picture of the site. */
  default void told(long micros, SupervisorTelemetry picture) {}

  /** A party has told of something that happened. */
  default void happened(long micros, Device device, Event event) {}

  /** A party has raised, changed or ended an alarm. */
  default void alarmed(long micros, Device device, Alarm alarm) {}

  /** A party has come or has gone. */
  default void present(long micros, Device device, boolean online) {}

  /** The run is over. */
  default void finish(long endMicros) {}
}
