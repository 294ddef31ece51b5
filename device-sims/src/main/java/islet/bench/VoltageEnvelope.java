package islet.bench;

import java.util.ArrayList;
import java.util.List;

/**
 * The voltage tolerance envelope of the ITI (CBEMA) curve application note, 2000 (from memory), and
 * every excursion of the emergency panel from it and within it. What the panel sees counts here,
 * whoever is to blame and whatever rule the site runs under.
 */
public final class VoltageEnvelope implements Witness {

  /**
   * One step of the envelope: beyond the limit is borne for so long.
   *
   * @param under whether beyond means below
   * @param limitPu per unit of nominal voltage, RMS
   * @param allowedS in seconds
   */
  public record Band(boolean under, double limitPu, double allowedS) {

    /** Whether a voltage lies beyond the limit. */
    public boolean beyond(double pu) {
      return under ? pu < limitPu : pu > limitPu;
    }

    private String text() {
      return (under ? "below " : "above ") + Amount.of(limitPu, "pu");
    }
  }

  /**
   * The envelope: nothing at all for 20 ms, 70 % for 0.5 s, 80 % for 10 s, 90 % steady; 140 % for 3
   * ms, 120 % for 0.5 s, 110 % steady. A band says how long a voltage beyond its limit is borne.
   */
  public static final List<Band> ITIC =
      List.of(
          new Band(true, 0.7, 0.02),
          new Band(true, 0.8, 0.5),
          new Band(true, 0.9, 10),
          new Band(false, 1.4, 0.001),
          new Band(false, 1.2, 0.003),
          new Band(false, 1.1, 0.5));

  /** Steady voltage is good from here. */
  public static final double STEADY_LOW_PU = 0.9;

  /** Steady voltage is good to here. */
  public static final double STEADY_HIGH_PU = 1.1;

  /** More excursions than this are counted, not listed. */
  private static final int MOST = 5000;

  private final Band[] bands = ITIC.toArray(new Band[0]);
  private final long[] since = new long[bands.length];
  private final long[] longest = new long[bands.length];
  private final List<VoltageExcursion> excursions = new ArrayList<>();
  private long unlisted;

  private boolean started;
  private long at;
  private double current;
  private boolean outside;
  private long begin;
  private double farthest;

  @Override
  public void truth(Truth truth) {
    voltage(truth.micros(), truth.get(Signal.CRITICAL_VOLTAGE));
  }

  /** The panel's voltage from this instant on, per unit. */
  public void voltage(long micros, double pu) {
    if (started && micros > at) {
      settle(micros);
    }
    started = true;
    at = micros;
    current = pu;
  }

  @Override
  public void finish(long endMicros) {
    if (started && endMicros > at) {
      settle(endMicros);
      at = endMicros;
    }
    if (outside) {
      over(at);
    }
  }

  private void settle(long until) {
    if (current >= STEADY_LOW_PU && current <= STEADY_HIGH_PU) {
      if (outside) {
        over(at);
      }
      return;
    }
    if (!outside) {
      outside = true;
      begin = at;
      farthest = current;
      for (int i = 0; i < bands.length; i++) {
        since[i] = -1;
        longest[i] = 0;
      }
    }
    if (Math.abs(current - 1) > Math.abs(farthest - 1)) {
      farthest = current;
    }
    for (int i = 0; i < bands.length; i++) {
      if (!bands[i].beyond(current)) {
        since[i] = -1;
        continue;
      }
      if (since[i] < 0) {
        since[i] = at;
      }
      longest[i] = Math.max(longest[i], until - since[i]);
    }
  }

  private void over(long end) {
    outside = false;
    if (excursions.size() == MOST) {
      unlisted++;
      return;
    }
    String note = passed();
    excursions.add(
        new VoltageExcursion(begin, (end - begin) / 1e6, farthest, note.isEmpty(), note));
  }

  private String passed() {
    StringBuilder note = new StringBuilder();
    for (int i = 0; i < bands.length; i++) {
      if (longest[i] > Amount.micros(bands[i].allowedS())) {
        note.append(note.length() == 0 ? "" : "; ")
            .append(bands[i].text())
            .append(" for ")
            .append(Amount.of(longest[i] / 1e6, "s"))
            .append(" where ")
            .append(Amount.of(bands[i].allowedS(), "s"))
            .append(" are borne");
      }
    }
    return note.toString();
  }

  /** The excursions that are over, in the order of time. */
  public List<VoltageExcursion> excursions() {
    return List.copyOf(excursions);
  }

  /** How many excursions there were beyond those listed. */
  public long unlisted() {
    return unlisted;
  }
}
