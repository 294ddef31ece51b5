package islet.bench.check;

import islet.bench.SiteParts;
import islet.plant.DataFiles;
import islet.plant.LoadProfile;
import islet.site.Site;
import java.time.LocalDate;
import java.util.Optional;

/**
 * What one circuit draws in each hour of a year of 365 days: the mean, for energy, and the most,
 * for ratings. Daylight saving is left out: it moves a timed load by an hour against a load file.
 */
final class CircuitLoad {

  static final int HOURS = 8760;

  /** Any year without a leap day serves. */
  private static final long FIRST_DAY = LocalDate.of(2023, 1, 1).toEpochDay();

  private static final long HOUR_MICROS = 3_600_000_000L;
  private static final int HOURS_A_DAY = 24;
  private static final int MINUTES_AN_HOUR = 60;
  private static final int MINUTES_A_DAY = Minutes.A_DAY;

  private final Site.Circuit circuit;
  private final Optional<LoadProfile> profile;
  private final int[] minutesOn = new int[HOURS_A_DAY];

  CircuitLoad(Site.Circuit circuit) {
    this.circuit = circuit;
    this.profile =
        circuit.load() instanceof Site.ProfileLoad load
            ? Optional.of(SiteParts.hourly(load, 0, new DataFiles()))
            : Optional.empty();
    if (circuit.load() instanceof Site.DailyLoad daily) {
      for (int minute = 0; minute < MINUTES_A_DAY; minute++) {
        int at = minute;
        if (daily.on().stream().anyMatch(span -> Minutes.holds(span, at))) {
          minutesOn[minute / MINUTES_AN_HOUR]++;
        }
      }
    }
  }

  Site.Circuit circuit() {
    return circuit;
  }

  /** Mean power in an hour of the year, W. */
  double meanW(int hour) {
    if (circuit.load() instanceof Site.ConstantLoad constant) {
      return constant.powerW();
    }
    if (circuit.load() instanceof Site.DailyLoad daily) {
      return daily.powerW() * minutesOn[hour % HOURS_A_DAY] / MINUTES_AN_HOUR;
    }
    if (circuit.load() instanceof Site.CyclingLoad cycling) {
      return cycling.powerW() * cycling.onS() / (cycling.onS() + cycling.offS());
    }
    return fromFile(hour);
  }

  /** The most in an hour of the year, W. */
  double mostW(int hour) {
    if (circuit.load() instanceof Site.CyclingLoad cycling) {
      return cycling.powerW();
    }
    if (circuit.load() instanceof Site.DailyLoad daily) {
      return minutesOn[hour % HOURS_A_DAY] > 0 ? daily.powerW() : 0;
    }
    return meanW(hour);
  }

  /** The most in the year, W. */
  double mostW() {
    double most = 0;
    for (int hour = 0; hour < HOURS; hour++) {
      most = Math.max(most, mostW(hour));
    }
    return most;
  }

  private double fromFile(int hour) {
    long micros = (FIRST_DAY * HOURS_A_DAY + hour) * HOUR_MICROS;
    return profile.map(p -> p.powerW(micros)).orElse(0.0);
  }
}
