package islet.bench;

import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.Device;
import java.util.Arrays;
import java.util.Optional;

/**
 * A device acts on a command after its lifetime, by true time: it answers with "accepted", or with
 * "done" without having accepted before, later than the command's own instant plus its lifetime.
 * The lifetime of what a device is told is at most the site's: a command that claims a longer one
 * grows no younger by it. Any instance counts. An answer belongs to the latest delivery of that
 * number to that device.
 *
 * <p>□ (acted on c → now ≤ made(c) + lifetime(c)) (see {@link HazardNote}).
 */
final class StaleCommand implements Hazard {

  static final String ID = "stale-command";

  /** Deliveries remembered for each device; far more than can be under way at once. */
  private static final int REMEMBERED = 256;

  private final double mostS;
  private final Deliveries[] deliveries = new Deliveries[Device.values().length];
  private Finding worst;
  private double tightestS = Double.POSITIVE_INFINITY;

  /**
   * The hazard.
   *
   * @param lifetimeS the site's command lifetime: the bound for devices, and the margin when none
   *     acts on a command
   */
  StaleCommand(double lifetimeS) {
    mostS = lifetimeS;
    worst = Finding.idle(lifetimeS, "s", "No device acted on a command.");
    for (int i = 0; i < deliveries.length; i++) {
      deliveries[i] = new Deliveries();
    }
  }

  /** The last deliveries to one device. */
  private static final class Deliveries {
    final long[] seqs = new long[REMEMBERED];
    final long[] expiries = new long[REMEMBERED];
    final long[] arrivals = new long[REMEMBERED];
    final boolean[] accepted = new boolean[REMEMBERED];
    final boolean[] awaited = new boolean[REMEMBERED];
    int next;

    Deliveries() {
      Arrays.fill(seqs, -1);
    }

    int latest(long seq) {
      for (int back = 1; back <= REMEMBERED; back++) {
        int place = next - back & REMEMBERED - 1;
        if (seqs[place] == seq) {
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
    return "Device acted on a command after its lifetime";
  }

  @Override
  public void commanded(
      long micros, Device device, String from, long seq, long at, double lifetimeS) {
    Deliveries d = deliveries[device.ordinal()];
    d.seqs[d.next] = seq;
    // What a person orders of the supervisor lives as long as that person says.
    double livesS = device == Device.SUPERVISOR ? lifetimeS : Math.min(lifetimeS, mostS);
    d.expiries[d.next] = at + Amount.micros(livesS);
    d.arrivals[d.next] = micros;
    d.accepted[d.next] = false;
    d.awaited[d.next] = true;
    d.next = d.next + 1 & REMEMBERED - 1;
  }

  @Override
  public void answered(long micros, Device device, Ack ack) {
    boolean acted = ack.result() == AckResult.ACCEPTED || ack.result() == AckResult.DONE;
    Deliveries d = deliveries[device.ordinal()];
    int place = d.latest(ack.command());
    if (place >= 0) {
      d.awaited[place] = false;
    }
    if (!acted || place < 0 || d.accepted[place]) {
      return;
    }
    d.accepted[place] = true;
    // When the device acted is what it says itself, no sooner than the command came and no later
    // than its answer, which may be long on its way.
    long actedAt = Math.max(d.arrivals[place], Math.min(ack.at(), micros));
    double marginS = (d.expiries[place] - actedAt) / 1e6;
    // Sentences are made only for what can matter: a run has many answers.
    if (marginS < 0 || marginS < tightestS) {
      tightestS = Math.min(tightestS, marginS);
      worst = worst.tighter(acted(actedAt, device, ack.command(), marginS));
    }
  }

  private static Finding acted(long micros, Device device, long seq, double marginS) {
    return new Finding(
        marginS,
        marginS,
        "s",
        marginS < 0,
        micros,
        "The "
            + device.segment()
            + " acted on command "
            + seq
            + " "
            + Amount.of(Math.abs(marginS), "s")
            + (marginS < 0 ? " after" : " before")
            + " the end of its lifetime.");
  }

  /**
   * A command that has its answer, or is over, is none that a device could still act on in time.
   */
  @Override
  public Optional<Distance> distance(long micros) {
    Optional<Distance> nearest = Optional.empty();
    for (Device device : Device.values()) {
      Deliveries d = deliveries[device.ordinal()];
      for (int i = 0; i < REMEMBERED; i++) {
        if (d.awaited[i] && d.expiries[i] >= micros) {
          nearest = Distance.nearer(nearest, Optional.of(awaited(device, d, i, micros)));
        }
      }
    }
    return nearest;
  }

  private Distance awaited(Device device, Deliveries d, int place, long micros) {
    double leftS = (d.expiries[place] - micros) / 1e6;
    return new Distance(
        leftS / mostS,
        leftS,
        "s",
        "The "
            + device.segment()
            + " has not answered command "
            + d.seqs[place]
            + ", which is over in "
            + Amount.of(leftS, "s")
            + ".");
  }

  @Override
  public Finding finding() {
    return worst;
  }
}
