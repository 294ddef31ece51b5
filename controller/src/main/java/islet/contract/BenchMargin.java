package islet.contract;

/**
 * How far a hazard is from being violated, at the worst so far and at present. The layout states
 * each field's unit and range.
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
    String detail,
    boolean present,
    double presentMargin,
    String presentUnit,
    double presentShare,
    String presentDetail) {

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
          Field.text("detail", 512, "a sentence for a person, on the worst"),
          Field.flag(
              "present", "whether anything is so now that could violate it; if not, 0 and empty"),
          Field.number("presentMargin", 3, -MOST, MOST, "what is left now, in its own unit"),
          Field.text("presentUnit", 8, "of what is left now"),
          Field.number("presentShare", 4, -MOST, MOST, "the same as a share of its bound"),
          Field.text("presentDetail", 512, "a sentence for a person, on now"));

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
        .put(m.detail())
        .put(m.present())
        .put(m.presentMargin())
        .put(m.presentUnit())
        .put(m.presentShare())
        .put(m.presentDetail());
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
        v.text(),
        v.flag(),
        v.number(),
        v.text(),
        v.number(),
        v.text());
  }
}
