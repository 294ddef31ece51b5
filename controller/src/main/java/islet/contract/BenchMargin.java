package islet.contract;

/**
 * How far a hazard is from being violated, at the worst so far. The layout states each field's unit
 * and range.
 *
 * @param at site time, microseconds since 1970
 */
public record BenchMargin(
    long seq,
    long at,
    String hazard,
    double margin,
    String unit,
    double share,
    boolean occasion,
    boolean violated,
    boolean waived,
    String detail) {

  private static final double MOST = 1e9;

  /** How it crosses the wire. */
  public static final Layout<BenchMargin> LAYOUT =
      new Layout<>(
          "BenchMargin",
          BenchMargin::take,
          BenchMargin::make,
          Field.seq(),
          Field.at(),
          Field.text("hazard", 32, "which"),
          Field.number("margin", 3, -MOST, MOST, "what was left at the worst so far, in the unit"),
          Field.text("unit", 8, "of the margin"),
          Field.number(
              "share",
              4,
              -MOST,
              MOST,
              "the margin as a share of its bound: 1 for the whole of it, below 0 when violated"),
          Field.flag("occasion", "whether there was any occasion to violate it"),
          Field.flag("violated", "whether it has been violated"),
          Field.flag("waived", "whether the scenario waives it"),
          Field.text("detail", 512, "a sentence for a person"));

  private static void take(BenchMargin m, Values v) {
    v.put(m.seq())
        .put(m.at())
        .put(m.hazard())
        .put(m.margin())
        .put(m.unit())
        .put(m.share())
        .put(m.occasion())
        .put(m.violated())
        .put(m.waived())
        .put(m.detail());
  }

  private static BenchMargin make(Values v) {
    return new BenchMargin(
        v.whole(),
        v.whole(),
        v.text(),
        v.number(),
        v.text(),
        v.number(),
        v.flag(),
        v.flag(),
        v.flag(),
        v.text());
  }
}
