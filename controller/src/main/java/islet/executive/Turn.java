package islet.executive;

/**
 * What a cycle does each time round: {@link #act}, and {@link #tell} once after it and before the
 * next act.
 */
@FunctionalInterface
public interface Turn {

  /** One scan up to its orders. */
  void act();

  /** What is to be said and noted of that scan; nothing for whoever has said all of it already. */
  default void tell() {}

  /** Whether something has come since this was asked last that is worth a scan before its turn. */
  default boolean urgent() {
    return false;
  }

  /** The same, and something more each time after what it tells. */
  default Turn andThen(Runnable more) {
    Turn first = this;
    return new Turn() {
      @Override
      public void act() {
        first.act();
      }

      @Override
      public void tell() {
        first.tell();
        more.run();
      }

      @Override
      public boolean urgent() {
        return first.urgent();
      }
    };
  }
}
