package islet.judge;

/** Prints how far a long check is and how long it will still take. */
public final class Progress {
  private final long begun = System.nanoTime();
  private final long all;

  /** Begins now. */
  public Progress(long all) {
    this.all = all;
  }

  /** Overwrites the line of the terminal. */
  public void show(long done) {
    double left = (System.nanoTime() - begun) * 1e-9 * (all - done) / Math.max(1, done);
    System.out.printf("\r%d of %d, %.0f s left   ", done, all, left);
  }
}
