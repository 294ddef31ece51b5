package islet.bench;

import islet.bench.margin.Sustained;
import islet.site.Site.Inverter;
import java.util.Optional;

/**
 * Power leaves the site when it must not, or more than may.
 *
 * <p>Tolerated: 2 % of the inverter's rating or 50 W, whichever is larger, which is what power
 * metering resolves and a control loop needs; and 2 s, in which a load that drops off can be
 * answered (both common practice).
 *
 * <p>□ ◇[0,T] (export → P_export ≤ P + tolerance) (see {@link HazardNote}).
 */
final class ForbiddenExport implements Hazard {

  static final String ID = "forbidden-export";

  private static final double TOLERANCE_S = 2;

  private final double toleranceW;
  private final Sustained excess = new Sustained(Amount.micros(TOLERANCE_S));
  private double largestExportW;
  private double allowedNowW;

  ForbiddenExport(Inverter inverter) {
    toleranceW = Math.max(50, 0.02 * inverter.ratedW());
  }

  @Override
  public String id() {
    return ID;
  }

  @Override
  public String title() {
    return "Export where or when it is not permitted";
  }

  @Override
  public void truth(Truth truth) {
    double exportW = Math.max(0, -truth.get(Signal.PCC_POWER));
    double allowedW = truth.exportPermitted ? truth.exportLimitW : 0;
    largestExportW = Math.max(largestExportW, exportW);
    allowedNowW = allowedW;
    excess.update(
        truth.micros(), exportW > 0 ? allowedW + toleranceW - exportW : Double.POSITIVE_INFINITY);
  }

  @Override
  public void finish(long endMicros) {
    excess.finish(endMicros);
  }

  @Override
  public Optional<Distance> distance(long micros) {
    return Excess.distance(
        excess,
        micros,
        toleranceW,
        "W",
        left ->
            Amount.of(allowedNowW + toleranceW - left, "W")
                + " leave the site; permitted are "
                + Amount.of(allowedNowW, "W")
                + " and tolerated "
                + Amount.of(toleranceW, "W")
                + " more");
  }

  @Override
  public Finding finding() {
    return Excess.finding(
        excess,
        toleranceW,
        "W",
        margin ->
            (margin < 0
                    ? "Export passed what was permitted by " + Amount.of(toleranceW - margin, "W")
                    : "The largest export was "
                        + Amount.of(largestExportW, "W")
                        + " and never more than permitted")
                + "; tolerated are "
                + Amount.of(toleranceW, "W")
                + " and any excess of less than "
                + Amount.of(TOLERANCE_S, "s")
                + ".",
        Finding.idle(toleranceW, "W", "Nothing was exported for long."));
  }
}
