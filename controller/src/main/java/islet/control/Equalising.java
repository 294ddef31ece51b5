package islet.control;

import islet.site.Site.Equalise;
import java.util.Optional;

/**
 * When a flooded lead-acid bank is due for an equalising charge, and how far one has come: by the
 * site's interval or when a person asks, only right after a full charge, for a time at its voltage,
 * and never warmer than the site allows (common practice for flooded cells).
 */
final class Equalising {

  /** One that has not done its time after so many times its length is given up for today. */
  private static final double PATIENCE = 3;

  static final String BEGINS =
      "full, and due: cells gas and lose water. Ventilate; no flame, no sparks; eye protection";

  private final boolean possible;
  private final double voltageV;
  private final double limitA;
  private final double mostC;
  private final long lengthMicros;
  private final long everyMicros;
  private boolean asked;
  private long doneAt = Inputs.NEVER;
  private long begunAt = Inputs.NEVER;
  private long atVoltageMicros;

  Equalising(Optional<Equalise> settings) {
    possible = settings.isPresent();
    voltageV = settings.map(Equalise::voltageV).orElse(0.0);
    limitA = settings.map(Equalise::currentA).orElse(0.0);
    mostC = settings.map(Equalise::maximumC).orElse(0.0);
    lengthMicros = GridQualification.micros(settings.map(Equalise::forS).orElse(0.0));
    everyMicros = GridQualification.micros(settings.map(Equalise::everyS).orElse(0.0));
  }

  /**
   * A person asks for one after the next full charge.
   *
   * @return why not; empty when it will be
   */
  String ask() {
    if (!possible) {
      return "this site has no equalising charge";
    }
    asked = true;
    return "";
  }

  /** Whether one begins now that the battery is full. */
  boolean due(double temperatureC, long now) {
    if (!possible) {
      return false;
    }
    if (doneAt == Inputs.NEVER) {
      // When the last one was nobody knows, so the interval is counted from here.
      doneAt = now;
    }
    return (asked || (everyMicros > 0 && now - doneAt >= everyMicros)) && temperatureC <= mostC;
  }

  void begin(long now) {
    begunAt = now;
    atVoltageMicros = 0;
  }

  /**
   * Counts the time at the voltage.
   *
   * @return whether it goes on
   */
  boolean goesOn(boolean atVoltage, double temperatureC, long elapsed, long now) {
    if (atVoltage) {
      atVoltageMicros += elapsed;
    }
    if (atVoltageMicros >= lengthMicros) {
      asked = false;
      doneAt = now;
      return false;
    }
    return temperatureC <= mostC && now - begunAt < PATIENCE * lengthMicros;
  }

  /** Whether the last one has had its whole time. */
  boolean complete() {
    return atVoltageMicros >= lengthMicros;
  }

  double voltageV() {
    return voltageV;
  }

  /** The most that the battery may take meanwhile, A. */
  double limitA() {
    return limitA;
  }

  /** The interval is counted over a restart, and a wish outlives it. */
  void keep(Keepsake keepsake) {
    doneAt = keepsake.count("equalised at", doneAt);
    asked = keepsake.flag("equalising asked", asked);
  }

  void remember(Memory memory) {
    asked = memory.flag("equalising asked", asked);
    doneAt = memory.instant("equalised", doneAt);
    begunAt = memory.instant("equalising", begunAt);
    atVoltageMicros = memory.count("equalised for", atVoltageMicros);
  }
}
