package islet.contract;

/** Who begins what. */
public enum Authority {
  /** The supervisor begins and ends everything by itself. */
  AUTO,
  /**
   * A person begins what is not urgent; protection, shedding and interlocks go on by themselves.
   */
  MANUAL,
  /**
   * The supervisor computes and tells nobody: another one is in charge, or a person wants it so.
   */
  OBSERVE
}
