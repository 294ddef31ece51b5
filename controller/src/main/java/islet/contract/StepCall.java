package islet.contract;

/** What the bench asks of a controller in lockstep. */
public enum StepCall {
  /** Forget everything, and say that you are there. */
  BEGIN,
  /** Scan once. */
  SCAN,
  /** The run is over; no more is asked. */
  END
}
