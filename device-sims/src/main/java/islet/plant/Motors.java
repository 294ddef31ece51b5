package islet.plant;

import java.util.Arrays;

/**
 * Which circuits' motors are starting. A motor starts when its thermostat or its contactor switches
 * it on, and again when its panel's voltage comes back after it has stood still. A start takes its
 * time from the instant at which there is voltage enough to turn; until then the rotor stands and
 * draws its starting current.
 */
final class Motors {
  /** A loaded motor stands still below this voltage, pu (common practice: half). */
  static final double STALL_PU = 0.5;

  /**
   * A motor coasts through gaps shorter than this, µs; our choice for small motors, a few cycles of
   * the line longer than a transfer.
   */
  static final long COAST_MICROS = 100_000;

  private static final long RUNS = Long.MIN_VALUE;
  private static final long WAITS = Long.MAX_VALUE;

  private final CircuitSpec[] circuits;
  private final boolean any;

  /** When each start ends; {@link #RUNS} for running or off, {@link #WAITS} for voltage. */
  private final long[] until;

  private final boolean[] on;
  private final long[] lowSince = {WAITS, WAITS};

  Motors(CircuitSpec[] circuits) {
    this.circuits = circuits;
    until = new long[circuits.length];
    on = new boolean[circuits.length];
    Arrays.fill(until, RUNS);
    boolean motors = false;
    for (CircuitSpec circuit : circuits) {
      motors |= circuit.inrush().any();
    }
    any = motors;
  }

  /** False when no circuit has a motor whose start matters. */
  boolean any() {
    return any;
  }

  /** Tells whether a circuit's load is switched on, thermostat and contactor both. */
  void switched(int circuit, boolean isOn) {
    if (isOn != on[circuit]) {
      on[circuit] = isOn;
      until[circuit] = isOn && circuits[circuit].inrush().any() ? WAITS : RUNS;
    }
  }

  /** Takes every motor that is switched on for running: nothing is known of the time before. */
  void settled() {
    Arrays.fill(until, RUNS);
  }

  /** True while a circuit draws its starting current. */
  boolean starting(int circuit) {
    return until[circuit] != RUNS;
  }

  /**
   * Looks at the panels' voltages: starts begin where there is voltage, and panels without are
   * watched.
   */
  void see(long now, double criticalPu, double mainPu) {
    watch(Panel.CRITICAL, now, criticalPu);
    watch(Panel.NONCRITICAL, now, mainPu);
  }

  private void watch(Panel panel, long now, double pu) {
    int p = index(panel);
    if (pu < STALL_PU) {
      lowSince[p] = Math.min(lowSince[p], now);
      return;
    }
    lowSince[p] = WAITS;
    for (int i = 0; i < until.length; i++) {
      if (until[i] == WAITS && circuits[i].panel() == panel) {
        until[i] = now + Math.round(circuits[i].inrush().seconds() * StandardTime.SECOND);
      }
    }
  }

  /** Ends the starts whose time is over, and lets motors without voltage stand still. */
  void pass(long now) {
    for (int i = 0; i < until.length; i++) {
      if (!on[i] || !circuits[i].inrush().any()) {
        continue;
      }
      long low = lowSince[index(circuits[i].panel())];
      if (low != WAITS && now - low >= COAST_MICROS) {
        until[i] = WAITS;
      } else if (until[i] != WAITS && now >= until[i]) {
        until[i] = RUNS;
      }
    }
  }

  /** The next instant at which {@link #pass} changes something, or {@link Long#MAX_VALUE}. */
  long next(long now) {
    long next = Long.MAX_VALUE;
    for (int i = 0; i < until.length; i++) {
      if (!on[i] || !circuits[i].inrush().any()) {
        continue;
      }
      if (until[i] != WAITS) {
        next = until[i] > now ? Math.min(next, until[i]) : next;
        long low = lowSince[index(circuits[i].panel())];
        next = low == WAITS ? next : Math.min(next, Math.max(now + 1, low + COAST_MICROS));
      }
    }
    return next;
  }

  private static int index(Panel panel) {
    return switch (panel) {
      case CRITICAL -> 0;
      case NONCRITICAL -> 1;
    };
  }
}
