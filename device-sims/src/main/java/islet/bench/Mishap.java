package islet.bench;

import islet.site.Site;
import java.util.List;
import java.util.function.Predicate;

/**
 * Something that a campaign lets happen at an instant of its choice: an event whose instant, and
 * perhaps some of whose numbers, are still open.
 */
public final class Mishap {

  /** Makes the event. */
  @FunctionalInterface
  interface Maker {
    /**
     * One event.
     *
     * @param atMicros its instant
     * @param values one for each axis, in their order
     */
    Event at(long atMicros, double[] values);
  }

  private final String kind;
  private final String label;
  private final List<Axis> axes;
  private final Predicate<Site.Arrangement> fits;
  private final Maker maker;

  Mishap(
      String kind, String label, List<Axis> axes, Predicate<Site.Arrangement> fits, Maker maker) {
    this.kind = kind;
    this.label = label;
    this.axes = List.copyOf(axes);
    this.fits = fits;
    this.maker = maker;
  }

  /** The kind of fault, or the form of an event of the utility or the operator. */
  public String kind() {
    return kind;
  }

  /** The kind and where it bites, for a table's line. */
  public String label() {
    return label;
  }

  /** The numbers that are open. */
  public List<Axis> axes() {
    return axes;
  }

  /** Whether a site of this arrangement has the part that it befalls. */
  public boolean fits(Site.Arrangement arrangement) {
    return fits.test(arrangement);
  }

  /**
   * The event.
   *
   * @param atMicros after the start of the run
   * @param values one for each axis, in their order and units
   */
  public Event at(long atMicros, double[] values) {
    return maker.at(atMicros, values);
  }

  /** How many combinations of its choices there are; a range counts as one. */
  public int combinations() {
    int product = 1;
    for (Axis axis : axes) {
      product *= Math.max(1, axis.choices().size());
    }
    return product;
  }

  /**
   * The values of a combination; the last axis changes fastest, and a range stands in its middle.
   *
   * @param number 0 to {@link #combinations} − 1
   */
  public double[] combination(int number) {
    double[] values = new double[axes.size()];
    int rest = number;
    for (int i = values.length - 1; i >= 0; i--) {
      Axis axis = axes.get(i);
      int size = Math.max(1, axis.choices().size());
      values[i] = axis.isRange() ? axis.at(0.5) : axis.choices().get(rest % size);
      rest /= size;
    }
    return values;
  }
}
