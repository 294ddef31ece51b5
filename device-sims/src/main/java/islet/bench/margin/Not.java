package islet.bench.margin;

/** ¬φ: the negative margin. */
public final class Not extends Formula {

  private final Formula part;

  /** The opposite of a formula. */
  public Not(Formula part) {
    this.part = part;
    part.toldTo((begin, end, value) -> tell(begin, end, -value));
  }

  @Override
  public long horizonMicros() {
    return part.horizonMicros();
  }
}
