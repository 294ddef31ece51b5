package islet.plant;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.ZonedDateTime;
import net.e175.klaus.solarpositioning.SPA;
import net.e175.klaus.solarpositioning.SolarPosition;

/**
 * Where the sun stands, as a unit vector east, north, up.
 *
 * <p>Exact at whole hours by the Solar Position Algorithm (Reda and Andreas, Solar Energy 76, 2004,
 * ±0.0003°); between them the two equatorial angles, declination and hour angle, are interpolated
 * linearly, which adds less than 0.0005°. Without refraction: it matters only within a degree of
 * the horizon, where there is next to no irradiance.
 *
 * <p>The library computes with {@code Math}, whose last bit may differ between Java versions, so
 * its angles are rounded to 1e-7°.
 */
public final class SunPosition {
  /** Terrestrial time minus universal time, s; about 69 s in the 2020s (IERS, from memory). */
  private static final double DELTA_T_S = 69;

  private static final double ROUNDING_PER_DEG = 1e7;
  private static final double RAD = StrictMath.PI / 180;

  private final double latitudeDeg;
  private final double longitudeDeg;
  private final double altitudeM;
  private final double sinLatitude;
  private final double cosLatitude;

  private long hour = Long.MIN_VALUE;
  private double declination0;
  private double declination1;
  private double hourAngle0;
  private double hourAngle1;
  private double hourAngleEnd;

  private double east;
  private double north;
  private double up;

  /** For one place. */
  public SunPosition(Place place) {
    this(place.latitudeDeg(), place.longitudeDeg(), place.altitudeM());
  }

  SunPosition(double latitudeDeg, double longitudeDeg, double altitudeM) {
    this.latitudeDeg = latitudeDeg;
    this.longitudeDeg = longitudeDeg;
    this.altitudeM = altitudeM;
    this.sinLatitude = StrictMath.sin(latitudeDeg * RAD);
    this.cosLatitude = StrictMath.cos(latitudeDeg * RAD);
  }

  /** Turns to an instant, µs since 1970-01-01T00:00Z; the getters then speak of it. */
  public void turnTo(long epochMicros) {
    long h = Math.floorDiv(epochMicros, StandardTime.HOUR);
    if (h != hour) {
      load(h);
    }
    double share = Math.floorMod(epochMicros, StandardTime.HOUR) / (double) StandardTime.HOUR;
    double declination = declination0 + share * (declination1 - declination0);
    double hourAngle = hourAngle0 + share * (hourAngle1 - hourAngle0);
    double cosDeclination = StrictMath.cos(declination);
    double sinDeclination = StrictMath.sin(declination);
    double cosHour = StrictMath.cos(hourAngle);
    up = sinLatitude * sinDeclination + cosLatitude * cosDeclination * cosHour;
    north = cosLatitude * sinDeclination - sinLatitude * cosDeclination * cosHour;
    east = -cosDeclination * StrictMath.sin(hourAngle);
  }

  private void load(long h) {
    if (h == hour + 1) {
      declination0 = declination1;
      hourAngle0 = hourAngleEnd;
    } else {
      SolarPosition start = at(h);
      declination0 = declination(start);
      hourAngle0 = hourAngle(start);
    }
    SolarPosition end = at(h + 1);
    declination1 = declination(end);
    hourAngleEnd = hourAngle(end);
    hourAngle1 = hourAngleEnd;
    if (hourAngle1 < hourAngle0) {
      hourAngle1 += 2 * StrictMath.PI;
    }
    hour = h;
  }

  private SolarPosition at(long h) {
    ZonedDateTime time = Instant.ofEpochSecond(h * 3600).atZone(ZoneOffset.UTC);
    SolarPosition raw =
        SPA.calculateSolarPosition(time, latitudeDeg, longitudeDeg, altitudeM, DELTA_T_S);
    return new SolarPosition(round(raw.azimuth()), round(raw.zenithAngle()));
  }

  private static double round(double deg) {
    return StrictMath.rint(deg * ROUNDING_PER_DEG) / ROUNDING_PER_DEG;
  }

  private double declination(SolarPosition p) {
    double cosZenith = StrictMath.cos(p.zenithAngle() * RAD);
    double sinZenith = StrictMath.sin(p.zenithAngle() * RAD);
    double northward = sinZenith * StrictMath.cos(p.azimuth() * RAD);
    return StrictMath.asin(
        Math.max(-1, Math.min(1, sinLatitude * cosZenith + cosLatitude * northward)));
  }

  private double hourAngle(SolarPosition p) {
    double cosZenith = StrictMath.cos(p.zenithAngle() * RAD);
    double sinZenith = StrictMath.sin(p.zenithAngle() * RAD);
    double northward = sinZenith * StrictMath.cos(p.azimuth() * RAD);
    double eastward = sinZenith * StrictMath.sin(p.azimuth() * RAD);
    return StrictMath.atan2(-eastward, cosLatitude * cosZenith - sinLatitude * northward);
  }

  /** Cosine of the zenith angle; negative below the horizon. */
  public double cosZenith() {
    return up;
  }

  /** Zenith angle, degrees. */
  public double zenithDeg() {
    return StrictMath.acos(Math.max(-1, Math.min(1, up))) / RAD;
  }

  /** Azimuth, degrees clockwise from north, 0 to 360. */
  public double azimuthDeg() {
    double azimuth = StrictMath.atan2(east, north) / RAD;
    return azimuth < 0 ? azimuth + 360 : azimuth;
  }

  /** Cosine of the angle between the sun and the normal of a plane; negative behind it. */
  double cosIncidence(double normalEast, double normalNorth, double normalUp) {
    return east * normalEast + north * normalNorth + up * normalUp;
  }
}
