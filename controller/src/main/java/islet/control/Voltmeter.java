package islet.control;

import islet.site.Site.Battery;

/**
 * One of the meters that see the battery's voltage, brought to the battery's terminals by the drop
 * of its cable, and what is thought of it.
 */
final class Voltmeter {

  /** Frozen is who tells the same while the others move by this share of nominal voltage. */
  private static final double FROZEN_SHARE = 0.005;

  /** Who was thrown out comes back within this share of what is allowed. */
  static final double BACK_SHARE = 0.7;

  private final Witness witness;
  private final Sameness sameness;
  private final double lowestV;
  private final double highestV;

  private boolean heard;
  private boolean inRange;
  private double toldV;
  private double terminalV;
  private long at = Inputs.NEVER;
  private boolean news;

  /** When it told something else than before. */
  private long movedAt = Inputs.NEVER;

  /** What it said of the terminals in its report before. */
  private double beforeV = Double.NaN;

  /** A step since which not all others have reported yet. */
  private boolean stepping;

  private long steppedAt = Inputs.NEVER;
  private double steppedFromV;

  Voltmeter(String who, Battery battery) {
    witness = new Witness("battery voltage by the " + who);
    sameness = new Sameness(FROZEN_SHARE * battery.nominalV());
    // Half and 1.6 times nominal: no bank that still lives is beyond (common practice).
    lowestV = 0.5 * battery.nominalV();
    highestV = 1.6 * battery.nominalV();
  }

  /** Takes the last report; the drop is that of the battery's cable, positive while it charges. */
  void take(double told, long arrived, double dropV, long now) {
    heard = now - arrived <= BatteryEstimate.FRESH_MICROS;
    inRange = heard && told > lowestV && told < highestV;
    if (told != toldV) {
      movedAt = arrived;
    }
    toldV = told;
    terminalV = told - dropV;
    news = arrived != at;
    at = arrived;
    if (!heard) {
      witness.unheard();
      stepping = false;
      beforeV = Double.NaN;
    }
  }

  /**
   * Judges the meter by others that are believed.
   *
   * @param first one of them, or itself when it is alone
   * @param second another, or the first again
   * @param others how many they are, 0 to 2
   * @param who a code for who they are, 0 for nobody
   * @param allowedV how far two sound meters may be apart, V
   * @param votedV the voltage that is believed, V; 0 for none
   */
  void judge(
      Voltmeter first,
      Voltmeter second,
      int others,
      int who,
      double allowedV,
      double votedV,
      long now,
      Outputs out) {
    if (!heard) {
      return;
    }
    boolean frozen = sameness.frozen(toldV, at, first.terminalV, second.terminalV, who);
    double apartV =
        switch (others) {
          case 0 -> 0;
          case 1 -> Math.abs(terminalV - first.terminalV);
          default -> Math.abs(terminalV - votedV);
        };
    // A single other must live to be witness of a step: one that stands still may be frozen.
    long othersAt = others == 1 ? first.movedAt : Math.min(first.at, second.at);
    boolean jumped = jumped(othersAt, apartV, allowedV, others > 0);
    SignalStatus looks = SignalStatus.GOOD;
    if (!inRange) {
      looks =
          votedV > 0 && UnitSlip.between(toldV, votedV)
              ? SignalStatus.UNIT_SLIP
              : SignalStatus.OUT_OF_RANGE;
    } else if (frozen) {
      looks = SignalStatus.FROZEN;
    } else if (jumped) {
      looks = SignalStatus.JUMPED;
    } else if (far(apartV, others, allowedV)) {
      looks = SignalStatus.DISAGREES;
    }
    witness.judge(looks, now, out);
  }

  /** Two others outvote it; one other does only when it has been found out before. */
  private boolean far(double apartV, int others, double allowedV) {
    return witness.good()
        ? others == 2 && apartV > allowedV
        // Back within less than what it was thrown out for, so that it does not stand on the line.
        : others > 0 && apartV > BACK_SHARE * allowedV;
  }

  /** Whether it has gone by a step away from others who have all reported since. */
  private boolean jumped(long othersAt, double apartV, double allowedV, boolean watched) {
    if (news) {
      if (!stepping && inRange && Math.abs(terminalV - beforeV) > allowedV) {
        stepping = true;
        steppedAt = at;
        steppedFromV = beforeV;
      }
      beforeV = inRange ? terminalV : Double.NaN;
    }
    if (!stepping || !watched) {
      stepping = false;
      return false;
    }
    if (othersAt <= steppedAt) {
      return false;
    }
    stepping = false;
    return apartV > allowedV && Math.abs(terminalV - steppedFromV) > allowedV;
  }

  /** Whether it is heard and tells what the voltage of the bank can be. */
  boolean inRange() {
    return inRange;
  }

  /** What it says of the battery's terminals, V. */
  double terminalV() {
    return terminalV;
  }

  Witness witness() {
    return witness;
  }

  void remember(Memory memory) {
    witness.remember(memory);
    sameness.remember(memory);
    at = memory.instant("volts at", at);
    toldV = memory.number("volts told", toldV);
    movedAt = memory.instant("volts moved", movedAt);
    beforeV = memory.number("volts before", beforeV);
    stepping = memory.flag("stepping", stepping);
    steppedAt = memory.instant("stepped", steppedAt);
    steppedFromV = memory.number("stepped from", steppedFromV);
  }
}
