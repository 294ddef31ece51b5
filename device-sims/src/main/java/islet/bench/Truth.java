package islet.bench;

/**
 * What is really so at one instant, whatever any sensor or message says: the sample of all signals
 * and what the hazards need beyond it. One instance is filled again and again by whoever runs the
 * plant, after every change and at least once a simulated second, and shown to the {@link Witness}
 * es; everything holds until the next time. Fields are open because a run fills them some 200,000
 * times a simulated day.
 */
public final class Truth {

  /**
   * All signals. The battery's terminal voltage, current (positive into it), state of charge and
   * cell temperature are the plant's; the supervisor's signals are what it said on the wire.
   */
  public final Sample sample = new Sample();

  /** Whether the utility's own source is connected to the service line. */
  public boolean utilitySourceLive;

  /** What the utility itself offers, per unit of nominal voltage; 0 when its source is open. */
  public double utilitySourcePu;

  /** What the utility itself offers, in Hz; 0 when its source is open. */
  public double utilitySourceHz;

  /**
   * The voltage in V that this site causes on the utility's line while the utility's source is
   * open; 0 otherwise.
   */
  public double causedLineV;

  /** Whether the tie's main contact is closed, whatever its auxiliary contact says. */
  public boolean contactClosed;

  /**
   * Whether somebody has opened the disconnect beside the tie, so that its contact joins nothing.
   */
  public boolean disconnectOpen;

  /** Voltage on the utility's side just before the main contact last closed, per unit. */
  public double closeUtilityPu;

  /** Voltage on the emergency panel's side just before the main contact last closed, per unit. */
  public double closeIslandPu;

  /** Island's less utility's frequency just before the main contact last closed, in Hz. */
  public double closeDeltaHz;

  /**
   * Island's angle ahead of the utility's just before the main contact last closed, −180 to 180°.
   */
  public double closeDeltaDeg;

  /** Island's less utility's frequency, in Hz; without meaning unless both sides live. */
  public double apartHz;

  /** Island's angle ahead of the utility's, −180 to 180°; likewise. */
  public double apartDeg;

  /**
   * Whether there is energy for the emergency panel without the utility: the battery above its
   * floor, and once it has been at the floor, above its recovery state of charge again; or PV power
   * beyond what the panel needs.
   */
  public boolean energyAvailable;

  /**
   * Whether the parts between that energy and the panel can do their work: tie not welded or
   * failed, inverter able to run, nobody's padlock in the way.
   */
  public boolean pathHealthy;

  /** Whether the tie sees the utility as it is; one that doesn't is opened by its supervisor. */
  public boolean tieSees = true;

  /** Whether the tie's reports are such that a receiver can take them. */
  public boolean tieReadable = true;

  /** When a fault within has last tripped the inverter, µs since 1970; long ago when none has. */
  public long trippedAt = Long.MIN_VALUE / 2;

  /** Power that the inverter gives to its AC side, in W, 0 when it takes. */
  public double inverterOutW;

  /** What the utility gives into the battery's chargers, in W on their AC side; 0 for nothing. */
  public double utilityChargeW;

  /** Whether the inverter forms a voltage on a panel that the utility holds as well. */
  public boolean twoSources;

  /** Whether power may leave the site at this hour. */
  public boolean exportPermitted;

  /** How much may leave when it may, in W. */
  public double exportLimitW;

  /** The instant, microseconds since 1970. */
  public long micros() {
    return sample.micros();
  }

  /** A signal's value. */
  public double get(Signal signal) {
    return sample.get(signal);
  }
}
