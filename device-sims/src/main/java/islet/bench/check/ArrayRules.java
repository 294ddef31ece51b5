package islet.bench.check;

import static islet.bench.check.Severity.DOUBTFUL;
import static islet.bench.check.Severity.NOTE;
import static islet.bench.check.Severity.WRONG;

import islet.site.Site;
import java.time.Instant;
import java.util.List;

/** The array, its strings, and the place. */
final class ArrayRules {

  private static final String MEMORY = "common practice, from memory";
  private static final double RAD = StrictMath.PI / 180;
  private static final double DEG_PER_H = 15;

  /** Any instant of these years serves: standard time is asked, and it is stable. */
  private static final Instant NOW = Instant.parse("2026-01-01T00:00:00Z");

  private ArrayRules() {}

  static final List<Rule> ALL =
      List.of(
          new Rule(
              "string-cold",
              WRONG,
              "open-circuit voltage of a string on the coldest morning: 1000 V at most",
              "Cold cells give the highest voltage, and that breaks insulation and regulators.",
              "module and regulator classes, common practice, from memory; local codes may allow"
                  + " less, for dwellings 600 V",
              ArrayRules::stringCold),
          new Rule(
              "string-hot",
              WRONG,
              "a string whose voltage at maximum power stays 5 % above absorption at the hottest"
                  + " noon; with PWM above absorption and its drop",
              "The regulator only steps down: without headroom it stops tracking when the sun is"
                  + " best.",
              "arithmetic by the module's voltage coefficient and NOCT; " + MEMORY,
              ArrayRules::stringHot),
          new Rule(
              "pwm-waste",
              DOUBTFUL,
              "with PWM: strings whose voltage at maximum power is near the bank's, 70 % used or more",
              "A PWM regulator pulls the array down to the bank's voltage; the rest is heat in the"
                  + " modules.",
              "arithmetic on the site's own figures",
              ArrayRules::pwmWaste),
          new Rule(
              "array-size",
              DOUBTFUL,
              "an array of 40 to 125 % of what the regulator can take",
              "Above, the best hours are cut off; below, the regulator is larger than it need be, or"
                  + " strings are missing in the file.",
              MEMORY,
              ArrayRules::arraySize),
          new Rule(
              "array-direction",
              WRONG,
              "an array that does not face the pole",
              "It sees the sun's back all winter; mostly the azimuth was counted from south.",
              "geometry",
              ArrayRules::arrayDirection),
          new Rule(
              "array-tilt",
              DOUBTFUL,
              "a tilt within 30° of the latitude, and 5° or more",
              "Far from it a season is lost; flat modules keep their dirt.",
              MEMORY,
              ArrayRules::arrayTilt),
          new Rule(
              "ground",
              NOTE,
              "ground that reflects like ground: albedo to 0.6",
              "Snow all year is rare, and it flatters a steep array.",
              MEMORY,
              ArrayRules::ground),
          new Rule(
              "altitude",
              NOTE,
              "a site below 2000 m",
              "Thin air cools and insulates less: converters lose rating, and fuses breaking capacity.",
              MEMORY,
              ArrayRules::altitude),
          new Rule(
              "time-zone",
              WRONG,
              "a time zone within 2 h of the sun's time at the longitude",
              "Windows, prices and load files run by this clock: mostly the longitude's sign is"
                  + " wrong.",
              "15° of longitude an hour, geometry",
              ArrayRules::timeZone));

  private static void stringCold(Subject s, Findings f) {
    double v = s.stringColdV();
    if (v > 1000) {
      f.tell(
          WRONG,
          "pv.series",
          s.site().pv().series()
              + " modules give "
              + Say.volts(v)
              + " at "
              + Say.celsius(s.assumptions().coldestC())
              + "; 1000 V at most",
          "Fewer modules in series and more strings; look up what the regulator's input bears.");
    }
  }

  private static void stringHot(Subject s, Findings f) {
    double v = s.stringHotV();
    double needV = s.charge().absorptionV() + (s.pwm() ? s.site().regulator().dropV() : 0);
    // A PWM regulator tracks nothing: a little too low only slows the charge.
    boolean wrong = s.pwm() ? s.openHotV() < needV : v < needV;
    boolean doubtful = v < (s.pwm() ? needV : 1.05 * needV);
    if (wrong || doubtful) {
      f.tell(
          wrong ? WRONG : DOUBTFUL,
          "pv.series",
          s.site().pv().series()
              + (s.site().pv().series() == 1 ? " module gives " : " modules give ")
              + Say.volts(v)
              + " at maximum power with cells at "
              + Say.celsius(s.cellHotC())
              + "; absorption needs "
              + Say.volts(needV),
          "More modules in series, or modules with more cells.");
    }
  }

  private static void pwmWaste(Subject s, Findings f) {
    if (s.pwm() && s.arrayUse() < 0.70) {
      f.tell(
          DOUBTFUL,
          "regulator.kind",
          "pwm with strings of "
              + Say.volts(s.site().pv().series() * s.site().pv().module().vmpV())
              + " onto a bank of "
              + Say.volts(s.charge().absorptionV())
              + ": "
              + Say.share(1 - s.arrayUse())
              + " of the array's power is lost",
          "A regulator that tracks, or 36 cells for each 12 V of the bank.");
    }
  }

  private static void arraySize(Subject s, Findings f) {
    double takesA = s.site().regulator().ratedA();
    double givesA =
        s.pwm()
            ? s.site().pv().module().impA() * s.site().pv().parallel()
            : s.arrayW() / s.charge().absorptionV();
    double share = givesA / takesA;
    if (share < 0.40 || share > 1.25) {
      f.tell(
          DOUBTFUL,
          "regulator.ratedCurrent",
          Say.watts(s.arrayW())
              + " of modules give "
              + Say.amps(givesA)
              + " at the absorption voltage, which is "
              + Say.share(share)
              + " of the regulator's "
              + Say.amps(takesA),
          "Compare the count of strings and the regulator's plate with the file.");
    }
  }

  private static void arrayDirection(Subject s, Findings f) {
    Site.Pv pv = s.site().pv();
    double latitude = s.site().place().latitudeDeg();
    double towardsNorth = StrictMath.cos(pv.azimuthDeg() * RAD);
    double towardsPole = latitude >= 0 ? towardsNorth : -towardsNorth;
    if (pv.tiltDeg() >= 10 && Math.abs(latitude) > 15 && towardsPole > 0.2) {
      f.tell(
          WRONG,
          "pv.azimuth",
          Say.degrees(pv.azimuthDeg())
              + " clockwise from north, at a latitude of "
              + Say.degrees(latitude),
          "Count it clockwise from north: south is 180 deg.");
    }
  }

  private static void arrayTilt(Subject s, Findings f) {
    double tilt = s.site().pv().tiltDeg();
    double latitude = Math.abs(s.site().place().latitudeDeg());
    if (Math.abs(tilt - latitude) > 30 || tilt < 5) {
      f.tell(
          DOUBTFUL,
          "pv.tilt",
          Say.degrees(tilt) + " at a latitude of " + Say.degrees(latitude),
          "See whether tilt is from the horizontal, as it should be.");
    }
  }

  private static void ground(Subject s, Findings f) {
    if (s.site().place().albedo() > 0.6) {
      f.tell(
          NOTE,
          "place.albedo",
          Say.share(s.site().place().albedo()) + " all year",
          "Take 20 % for grass and gravel.");
    }
  }

  private static void altitude(Subject s, Findings f) {
    if (s.site().place().altitudeM() > 2000) {
      f.tell(
          NOTE,
          "place.altitude",
          Say.number(s.site().place().altitudeM(), 0) + " m",
          "Look up the derating of inverter, regulator and fuses.");
    }
  }

  private static void timeZone(Subject s, Findings f) {
    double offsetH =
        s.site().place().zone().getRules().getStandardOffset(NOW).getTotalSeconds() / 3600.0;
    double sunH = s.site().place().longitudeDeg() / DEG_PER_H;
    double apart = Math.abs(offsetH - sunH) % 24;
    apart = Math.min(apart, 24 - apart);
    if (apart > 2) {
      f.tell(
          WRONG,
          "place.zone",
          s.site().place().zone().getId()
              + ", "
              + Say.number(offsetH, 2)
              + " h from universal time; the sun at "
              + Say.degrees(s.site().place().longitudeDeg())
              + " says "
              + Say.number(sunH, 2)
              + " h",
          "West is negative; name the zone in which the site stands.");
    }
  }
}
