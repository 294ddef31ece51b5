package islet.bench;

import islet.plant.Flow;
import islet.plant.Ledger;
import java.time.ZoneId;
import java.util.Arrays;

/**
 * Energy by interval, as the meters of a site would store it: at the point of common coupling, of
 * array and battery, of critical and non-critical loads. The rows of a flow sum up to the ledger's
 * total of that flow.
 *
 * <p>It is read after every step of the plant. The bench cuts those at every full second, hence at
 * every interval's end; energy of a step across an end would count as spread evenly over the step.
 */
public final class IntervalMeter {

  /** What is metered. */
  public enum Channel {
    IMPORT(Flow.IMPORT),
    EXPORT(Flow.EXPORT),
    PV(Flow.PV),
    BATTERY_IN(Flow.BATTERY_IN),
    BATTERY_OUT(Flow.BATTERY_OUT),
    CRITICAL(Flow.CRITICAL),
    NONCRITICAL(Flow.NONCRITICAL);

    private final Flow flow;

    Channel(Flow flow) {
      this.flow = flow;
    }
  }

  private static final Channel[] CHANNELS = Channel.values();
  private static final int WIDTH = CHANNELS.length;

  /** Room for a day of quarter-hours; doubled when it is full, which no run does often. */
  private static final int FIRST_ROOM = 100;

  private final IntervalClock clock;
  private final double[] read = new double[WIDTH];
  private long at;
  private int rows = 1;
  private long[] begins = new long[FIRST_ROOM];
  private double[] joules = new double[FIRST_ROOM * WIDTH];

  /**
   * An empty meter.
   *
   * @param zone the site's time zone
   * @param minutes length of an interval
   * @param startMicros where metering begins, microseconds since 1970
   */
  public IntervalMeter(ZoneId zone, int minutes, long startMicros) {
    clock = new IntervalClock(zone, minutes);
    clock.turnTo(startMicros);
    at = startMicros;
    begins[0] = startMicros;
  }

  /** Books what the ledger has gained since the last reading. */
  public void read(long micros, Ledger ledger) {
    long from = at;
    if (micros <= clock.end()) {
      book(ledger, 1);
    } else {
      double length = micros - from;
      long begin = from;
      while (begin < micros) {
        if (begin >= clock.end()) {
          open(begin);
        }
        long end = Math.min(micros, clock.end());
        book(ledger, (end - begin) / length);
        begin = end;
      }
    }
    for (int i = 0; i < WIDTH; i++) {
      read[i] = ledger.joules(CHANNELS[i].flow);
    }
    at = micros;
    if (at >= clock.end()) {
      open(at);
    }
  }

  private void book(Ledger ledger, double share) {
    for (int i = 0; i < WIDTH; i++) {
      joules[(rows - 1) * WIDTH + i] += share * (ledger.joules(CHANNELS[i].flow) - read[i]);
    }
  }

  private void open(long begin) {
    clock.turnTo(begin);
    if (rows == begins.length) {
      begins = Arrays.copyOf(begins, 2 * rows);
      joules = Arrays.copyOf(joules, 2 * rows * WIDTH);
    }
    begins[rows] = begin;
    rows++;
  }

  /** Intervals begun so far; the last one may be empty. */
  public int rows() {
    return rows;
  }

  /** Where an interval begins, microseconds since 1970; the first one where metering began. */
  public long beginMicros(int row) {
    return begins[row];
  }

  /** Energy of an interval, J. */
  // Plain arrays by ordinal keep the step free of maps; the order never leaves this class.
  @SuppressWarnings("EnumOrdinal")
  public double joules(int row, Channel channel) {
    return joules[row * WIDTH + channel.ordinal()];
  }
}
