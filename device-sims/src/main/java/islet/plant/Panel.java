package islet.plant;

/** Which side of the tie a circuit hangs on. */
public enum Panel {
  /** The emergency panel, downstream of the tie: it lives on when the utility is gone. */
  CRITICAL,
  /** The main panel, upstream of the tie. */
  NONCRITICAL
}
