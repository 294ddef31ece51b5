package islet.fault;

import islet.contract.Device;

/**
 * What faults need of the surroundings: links and the supervisor, which the devices cannot break by
 * themselves.
 */
public interface Reach {

  /** Cuts or mends the link of a device or the supervisor. */
  void cut(Device device, boolean cut);

  /** Stops or resumes the supervisor's scans. */
  void pause(boolean paused);

  /** Lets the wire carry a false mode of the supervisor; empty for the true one. */
  void claim(String mode);

  /** Lets a fault of what messages suffer on a link, or of the broker, begin or end. */
  void disturb(Fault fault, boolean on);

  /** Lets a fault of the supervisor's process begin or end. */
  void upset(Fault fault, boolean on);
}
