package islet.bench;

import islet.bench.margin.LongestStay;
import islet.contract.Ack;
import islet.contract.Device;
import java.util.Arrays;
import java.util.Optional;

/**
 * Two supervisors are obeyed at once, or two sources form one bus.
 *
 * <p>Supervisors: a device acts on a command while a command of another sender, on which any device
 * has acted, is still within its lifetime. Any instance counts; the margin is the time from the end
 * of that lifetime to the new master's first obeyed command. Who has sent a command the broker's
 * client id tells; where the wire does not tell it, as behind a broker that is not the bench's own,
 * commands are not judged.
 *
 * <p>Sources: the inverter forms a voltage while the tie's contact joins its panel to the live
 * utility, judged on the plant. One cycle of 50 Hz is borne, in which a contact is read and the
 * inverter passes from forming to following (common practice).
 *
 * <p>□ (obeyed(s) → ⋀ over s′ ≠ s: ¬in force(s′)) ∧ □ ◇[0,C] ¬two sources (see {@link HazardNote}).
 */
final class TwoMasters implements Hazard {

  static final String ID = "two-masters";

  private static final double PASSING_S = 0.02;

  /** Deliveries remembered for each device; far more than can await their answers at once. */
  private static final int REMEMBERED = 64;

  /** More senders than any run has; a later one is not told from the last. */
  private static final int MOST_SENDERS = 16;

  private final LongestStay joined = new LongestStay(Amount.micros(PASSING_S));
  private final double lifetimeS;
  private final Deliveries[] deliveries = new Deliveries[Device.values().length];

  private final String[] senders = new String[MOST_SENDERS];
  private final long[] goodUntil = new long[MOST_SENDERS];
  private final long[] lastObeyed = new long[MOST_SENDERS];
  private final boolean[] obeyed = new boolean[MOST_SENDERS];
  private int known;

  private double tightestS = Double.POSITIVE_INFINITY;
  private long tightestAt = -1;
  private long violatedAt = -1;
  private String tightestFirst = "";
  private String tightestSecond = "";

  /**
   * The hazard.
   *
   * @param lifetimeS the site's command lifetime: the scale of the margin, and the margin itself
   *     when there was one master only
   */
  TwoMasters(double lifetimeS) {
    this.lifetimeS = lifetimeS;
    Arrays.fill(senders, "");
    for (int i = 0; i < deliveries.length; i++) {
      deliveries[i] = new Deliveries();
    }
  }

  /** The last deliveries to one device. */
  private static final class Deliveries {
    final long[] seqs = new long[REMEMBERED];
    final long[] expiries = new long[REMEMBERED];
    final long[] arrivals = new long[REMEMBERED];
    final int[] senders = new int[REMEMBERED];
    final boolean[] awaited = new boolean[REMEMBERED];
    int next;

    /** The oldest delivery of a number that has had no answer, or −1. */
    int awaiting(long seq) {
      for (int i = 0; i < REMEMBERED; i++) {
        int place = next + i & REMEMBERED - 1;
        if (awaited[place] && seqs[place] == seq) {
          return place;
        }
      }
      return -1;
    }
  }

  @Override
  public String id() {
    return ID;
  }

  @Override
  public String title() {
    return "Two supervisors obeyed at once, or two sources on one bus";
  }

  @Override
  public void truth(Truth truth) {
    joined.update(truth.micros(), truth.twoSources);
  }

  @Override
  public void commanded(
      long micros, Device device, String from, long seq, long at, double commandLifetimeS) {
    // What reaches the supervisor are people's orders, and people may be many.
    if (device == Device.SUPERVISOR || device == Device.BENCH || from.isEmpty()) {
      return;
    }
    Deliveries d = deliveries[device.ordinal()];
    d.seqs[d.next] = seq;
    // One that claims to live longer than the site lets a command live has no more force for it.
    d.expiries[d.next] = at + Amount.micros(Math.min(commandLifetimeS, lifetimeS));
    d.arrivals[d.next] = micros;
    d.senders[d.next] = sender(from);
    d.awaited[d.next] = true;
    d.next = d.next + 1 & REMEMBERED - 1;
  }

  private int sender(String from) {
    for (int i = 0; i < known; i++) {
      if (senders[i].equals(from)) {
        return i;
      }
    }
    if (known == MOST_SENDERS) {
      return known - 1;
    }
    senders[known] = from;
    return known++;
  }

  @Override
  public void answered(long micros, Device device, Ack ack) {
    Deliveries d = deliveries[device.ordinal()];
    int place = d.awaiting(ack.command());
    if (place < 0) {
      return;
    }
    d.awaited[place] = false;
    switch (ack.result()) {
      // A device decides when a command arrives; its answer may be long on its way.
      case ACCEPTED, DONE -> obeyed(d.arrivals[place], d.senders[place], d.expiries[place]);
      case REFUSED, EXPIRED -> {}
    }
  }

  private void obeyed(long micros, int sender, long expiry) {
    for (int other = 0; other < known; other++) {
      if (other != sender && obeyed[other]) {
        if (micros >= lastObeyed[other]) {
          follows(micros, sender, goodUntil[other], other);
        } else {
          follows(lastObeyed[other], other, expiry, sender);
        }
      }
    }
    lastObeyed[sender] = Math.max(lastObeyed[sender], micros);
    goodUntil[sender] = obeyed[sender] ? Math.max(goodUntil[sender], expiry) : expiry;
    obeyed[sender] = true;
  }

  /** A command of one was obeyed, and the last of another has force until then. */
  private void follows(long micros, int sender, long until, int other) {
    double marginS = (micros - until) / 1e6;
    if (marginS < 0 && violatedAt < 0) {
      violatedAt = micros;
    }
    if (marginS < tightestS) {
      tightestS = marginS;
      tightestAt = micros;
      tightestFirst = senders[other];
      tightestSecond = senders[sender];
    }
  }

  @Override
  public void finish(long endMicros) {
    joined.finish(endMicros);
  }

  @Override
  public Finding finding() {
    Finding finding =
        Finding.idle(
            lifetimeS, "s", "One supervisor at most was obeyed, and no bus had two sources.");
    if (joined.entered()) {
      finding =
          finding.tighter(
              Stays.finding(
                  joined,
                  "The inverter formed on the utility's bus for "
                      + Amount.of(joined.longestS(), "s")
                      + "; one cycle, "
                      + Amount.of(joined.boundS(), "s")
                      + ", is borne."));
    }
    return tightestAt < 0 ? finding : finding.tighter(masters());
  }

  /**
   * Two sources on one bus, or two supervisors of which the one's commands have lost their force
   * less than a lifetime ago, or have not.
   */
  @Override
  public Optional<Distance> distance(long micros) {
    Optional<Distance> sources =
        Stays.distance(joined, micros, "The inverter has formed on the utility's bus");
    int newest = -1;
    int other = -1;
    for (int i = 0; i < known; i++) {
      if (obeyed[i] && (newest < 0 || goodUntil[i] > goodUntil[newest])) {
        other = newest;
        newest = i;
      } else if (obeyed[i] && (other < 0 || goodUntil[i] > goodUntil[other])) {
        other = i;
      }
    }
    double sinceS = other < 0 ? lifetimeS : (micros - goodUntil[other]) / 1e6;
    if (sinceS >= lifetimeS) {
      return sources;
    }
    return Distance.nearer(
        sources,
        Optional.of(
            new Distance(
                sinceS / lifetimeS,
                sinceS,
                "s",
                (sinceS < 0 ? "The last command of " : "The last obeyed command of ")
                    + senders[other]
                    + (sinceS < 0 ? " has force for " : " lost its force ")
                    + Amount.of(Math.abs(sinceS), "s")
                    + (sinceS < 0 ? " more, beside those of " : " ago, beside those of ")
                    + senders[newest]
                    + ".")));
  }

  private Finding masters() {
    boolean violated = violatedAt >= 0;
    return new Finding(
        tightestS / lifetimeS,
        tightestS,
        "s",
        violated,
        violated ? violatedAt : tightestAt,
        "A command of "
            + tightestSecond
            + " was obeyed "
            + Amount.of(Math.abs(tightestS), "s")
            + (violated ? " before" : " after")
            + " the last one of "
            + tightestFirst
            + " had lost its force.");
  }
}
