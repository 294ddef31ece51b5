package islet.contract;

/** How a live run on the bench stands. */
public enum RunState {
  /** Everybody is being connected. */
  STARTING,
  /** Site time goes on. */
  RUNNING,
  /** Site time stands still. */
  PAUSED,
  /** The scenario is over; what is shown is its last instant. */
  ENDED,
  /** Another run is being set up. */
  CHANGING
}
