package islet.contract;

/** What an operator asks. */
public enum OperatorOrder {
  /** Leave the utility in good order and stay away. */
  ISLAND,
  /** Take back a request to stay away. */
  RECONNECT,
  /** Block every close of the tie under this key. */
  HOLD,
  /** Take back the hold under this key. */
  RELEASE,
  /** The alarm has been seen. */
  ACKNOWLEDGE,
  /** Leave HELD and start again from what the field says. */
  RESET
}
