package islet.plant;

import java.util.Optional;

/**
 * A converter's heat sink as one thermal mass between its losses and the room, and the share of the
 * rating that its temperature leaves. Without a specification the rating never falls.
 */
final class HeatSink {
  private final Optional<ThermalSpec> spec;
  private final double kelvinPerWatt;
  private double celsius;

  /**
   * A heat sink as warm as its room.
   *
   * @param lossAtRatedW loss at rated output, W, idle draw included
   */
  HeatSink(Optional<ThermalSpec> spec, double lossAtRatedW, double roomC) {
    this.spec = spec;
    this.kelvinPerWatt = spec.map(s -> s.riseK() / lossAtRatedW).orElse(0.0);
    this.celsius = roomC;
  }

  /** Lets time pass: the exact answer for a constant loss and room temperature. */
  void advance(double lossW, double roomC, double seconds) {
    if (spec.isEmpty()) {
      celsius = roomC;
      return;
    }
    double end = roomC + kelvinPerWatt * lossW;
    celsius = end + (celsius - end) * StrictMath.exp(-seconds / spec.get().timeConstantS());
  }

  /** Share of the rating that is left, 0 to 1. */
  double share() {
    if (spec.isEmpty()) {
      return 1;
    }
    ThermalSpec s = spec.get();
    return Math.max(0, Math.min(1, (s.derateToC() - celsius) / (s.derateToC() - s.derateFromC())));
  }

  double celsius() {
    return celsius;
  }
}
