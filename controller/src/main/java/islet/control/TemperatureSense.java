package islet.control;

/**
 * The battery's temperature by two sensors, the meter's and the regulator's. For the voltage set
 * points the warmer counts, which sets them lower; for the battery's limits each counts. With one
 * it alone; with none nothing is known.
 */
final class TemperatureSense {

  /** What a battery room can be, °C (common practice). */
  private static final double LOWEST_C = -45;

  private static final double HIGHEST_C = 85;

  /** Two sensors on one bank differ by less, K (common practice: top and bottom tier). */
  private static final double APART_K = 10;

  /** A bank warms slowly: there is time to be sure. */
  private static final long DIFFERS_MICROS = 60_000_000;

  /** A bank changes by less than a kelvin meanwhile, so the last word holds (common practice). */
  private static final long HOLDS_MICROS = 600_000_000;

  private final Witness byMeter = new Witness("battery temperature by the meter");
  private final Witness byRegulator = new Witness("battery temperature by the regulator");
  private double coldestC;
  private double warmestC;
  private long knownAt = Inputs.NEVER;
  private boolean known;
  private long differsSince = Long.MAX_VALUE;

  void take(Inputs in, long now, Outputs out) {
    double meterC = in.meter().batteryTemperatureC();
    double regulatorC = in.regulator().batteryTemperatureC();
    boolean meterHeard = now - in.meterAt() <= BatteryEstimate.FRESH_MICROS;
    boolean regulatorHeard = now - in.regulatorAt() <= BatteryEstimate.FRESH_MICROS;
    boolean differs =
        meterHeard
            && regulatorHeard
            && possible(meterC)
            && possible(regulatorC)
            && Math.abs(meterC - regulatorC) > APART_K;
    differsSince = differs ? Math.min(differsSince, now) : Long.MAX_VALUE;
    boolean lasting = differs && now - differsSince >= DIFFERS_MICROS;
    judge(byMeter, meterC, meterHeard, lasting, now, out);
    judge(byRegulator, regulatorC, regulatorHeard, lasting, now, out);
    boolean meterSpeaks = meterHeard && speaks(byMeter, meterC);
    boolean regulatorSpeaks = regulatorHeard && speaks(byRegulator, regulatorC);
    if (meterSpeaks || regulatorSpeaks) {
      knownAt = now;
      double a = meterSpeaks ? meterC : regulatorC;
      double b = regulatorSpeaks ? regulatorC : meterC;
      coldestC = Math.min(a, b);
      warmestC = Math.max(a, b);
    }
    known = now - knownAt <= HOLDS_MICROS;
  }

  private static void judge(
      Witness witness, double celsius, boolean heard, boolean differs, long now, Outputs out) {
    if (!heard) {
      witness.unheard();
      return;
    }
    witness.judge(
        !possible(celsius)
            ? SignalStatus.OUT_OF_RANGE
            : differs ? SignalStatus.DISAGREES : SignalStatus.GOOD,
        now,
        out);
  }

  private static boolean possible(double celsius) {
    return celsius >= LOWEST_C && celsius <= HIGHEST_C;
  }

  /** Two that differ both speak, since nobody knows which is wrong. */
  private static boolean speaks(Witness witness, double celsius) {
    return possible(celsius) && (witness.good() || witness.status() == SignalStatus.DISAGREES);
  }

  /** The colder word, °C; the last known when none is heard. */
  double coldestC() {
    return coldestC;
  }

  /** The warmer word, °C; the last known when none is heard. */
  double warmestC() {
    return warmestC;
  }

  /** Whether anybody has told the temperature in the last ten minutes. */
  boolean known() {
    return known;
  }

  boolean rings() {
    return byMeter.rings() || byRegulator.rings();
  }

  void tell(StringBuilder text) {
    byMeter.tell(text);
    byRegulator.tell(text);
  }

  int changes() {
    return 8 * byMeter.status().ordinal() + byRegulator.status().ordinal();
  }

  void remember(Memory memory) {
    coldestC = memory.number("coldest", coldestC);
    warmestC = memory.number("warmest", warmestC);
    knownAt = memory.instant("temperature known", knownAt);
    byMeter.remember(memory);
    byRegulator.remember(memory);
    differsSince = memory.instant("temperature differs", differsSince);
  }
}
