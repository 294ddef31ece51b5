package islet.contract;

/** What the tie is told to do. */
public enum TieOrder {
  /** Open. */
  OPEN,
  /** Close, if its own sync check passes. */
  CLOSE,
  /** Block every close under this key. */
  HOLD,
  /** Take back the hold under this key. */
  RELEASE
}
