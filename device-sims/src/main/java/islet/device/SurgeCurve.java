package islet.device;

import java.util.List;

/**
 * How long an inverter bears a load beyond its rating: straight lines on double logarithmic paper
 * through its points, as time-current curves are drawn. Below the lowest point's power it bears the
 * longest time, above the highest one's the shortest.
 */
public final class SurgeCurve {

  /**
   * One point.
   *
   * @param loadVa load, VA at nominal voltage
   * @param seconds how long it is borne
   */
  public record Point(double loadVa, double seconds) {}

  private final double[] loads;
  private final double[] seconds;

  /**
   * A curve.
   *
   * @param points at least one, from the highest load to the lowest
   */
  public SurgeCurve(List<Point> points) {
    loads = points.stream().mapToDouble(Point::loadVa).toArray();
    seconds = points.stream().mapToDouble(Point::seconds).toArray();
  }

  /** A curve of one point: every overload is borne for the same time. */
  public static SurgeCurve of(double loadVa, double seconds) {
    return new SurgeCurve(List.of(new Point(loadVa, seconds)));
  }

  /** How long a load beyond the rating is borne, s. */
  double seconds(double loadVa) {
    if (loadVa >= loads[0]) {
      return seconds[0];
    }
    for (int i = 1; i < loads.length; i++) {
      if (loadVa >= loads[i]) {
        double along = StrictMath.log(loadVa / loads[i]) / StrictMath.log(loads[i - 1] / loads[i]);
        return seconds[i] * StrictMath.pow(seconds[i - 1] / seconds[i], along);
      }
    }
    return seconds[seconds.length - 1];
  }
}
