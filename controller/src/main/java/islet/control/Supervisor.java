package islet.control;

/** Decides, once a scan, what each device shall do. */
public interface Supervisor {

  /**
   * One scan: bounded work, no waiting.
   *
   * @param in the newest telemetry of each device with its time of arrival, and at most one
   *     operator's order
   * @param nowMicros the instant of the scan, microseconds since 1970; never goes back
   * @param out overwritten with the orders, events and alarms of this scan
   */
  void scan(Inputs in, long nowMicros, Outputs out);

  /**
   * Whether there is something to be thought about that takes longer than a scan may, such as a
   * plan for the next day. Asked after each scan.
   */
  default boolean wantsToThink() {
    return false;
  }

  /**
   * Thinks about it. Called after {@link #wantsToThink} has said yes, between two scans or beside
   * them on a thread of its own, but never twice at once.
   */
  default void think() {}

  /**
   * Hands in what must outlive a restart, and takes what comes back. Nothing, unless a supervisor
   * has something to keep.
   */
  default void keep(Keepsake keepsake) {}
}
