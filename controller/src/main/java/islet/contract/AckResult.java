package islet.contract;

/** What became of a command. */
public enum AckResult {
  /** It will be carried out. */
  ACCEPTED,
  /** It will not, and the reason says why. */
  REFUSED,
  /** It has been carried out. */
  DONE,
  /** It came after its lifetime and was dropped. */
  EXPIRED
}
