package islet.contract;

/** What an operator asks. */
public enum OperatorOrder {
  /** Leave the utility in good order and stay away. */
  ISLAND,
  /** Take back a request to stay away; under manual authority also: go back, or start, now. */
  RECONNECT,
  /** Block every close of the tie under this key. */
  HOLD,
  /** Take back the hold under this key. */
  RELEASE,
  /** The alarm has been seen. */
  ACKNOWLEDGE,
  /** Leave HELD and start again from what the field says. */
  RESET,
  /** Put the alarm of this name aside for a time. */
  SHELVE,
  /** Take the alarm of this name off the shelf. */
  UNSHELVE,
  /** Force what the key names for a time: one of {@link Forced}. */
  OVERRIDE,
  /** End the override that the key names, or all with an empty key. */
  END_OVERRIDE,
  /** Let the supervisor begin everything by itself. */
  AUTO,
  /** Let a person begin what is not urgent. */
  MANUAL,
  /** Give a flooded bank an equalising charge after its next full charge. */
  EQUALISE,
  /** Warn of what the key names, such as a storm, for a time. */
  WARN,
  /** Take back the warning that the key names, or all with an empty key. */
  ALL_CLEAR
}
