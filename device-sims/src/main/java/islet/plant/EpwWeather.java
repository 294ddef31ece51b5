package islet.plant;

import java.nio.file.Path;

/**
 * A year of hourly weather from an EPW file, folded by day of year so that it serves for any year.
 *
 * <p>The file gives energy per hour, ending at the hour, in local standard time. How it runs within
 * the hour is {@link IntervalShape}'s, at the file's own place; each of the three columns keeps its
 * energy. Where the file's three don't agree with one another (typical years are off by about a
 * percent) they don't here either. Temperature and wind are read as values at the full hour and
 * interpolated.
 */
public final class EpwWeather implements IntervalWeather {
  private static final int HEADER_LINES = 8;
  private static final int TEMPERATURE = 6;
  private static final int GHI = 13;
  private static final int DNI = 14;
  private static final int DHI = 15;
  private static final int WIND = 21;

  /** Sub-intervals of an hour for its clear-sky energy; the error of the midpoint rule is 1e-5. */
  private static final int PARTS = 60;

  private final StandardTime time;
  private final IntervalShape shape;
  private final double[] ghi;
  private final double[] dni;
  private final double[] dhi;
  private final double[] ambientC;
  private final double[] windMPerS;
  private final Place place;

  private long hourStart = Long.MIN_VALUE;
  private double ambientStart;
  private double ambientEnd;
  private double windStart;
  private double windEnd;

  private EpwWeather(
      Place place,
      StandardTime time,
      double[] ghi,
      double[] dni,
      double[] dhi,
      double[] ambientC,
      double[] windMPerS) {
    this.place = place;
    this.time = time;
    this.shape = new IntervalShape(place, PARTS);
    this.ghi = ghi;
    this.dni = dni;
    this.dhi = dhi;
    this.ambientC = ambientC;
    this.windMPerS = windMPerS;
  }

  /**
   * Reads a file.
   *
   * @param file in EPW format: eight header lines, then the 8760 hours of a year
   * @throws DataFileException when the file is not so or a value is out of range
   */
  public static EpwWeather read(Path file) {
    DataLines lines = DataLines.read(file);
    if (lines.count() < HEADER_LINES) {
      throw lines.failure(
          lines.count() - 1, "the number of lines", "" + lines.count(), "eight headers and 8760");
    }
    String[] header = lines.fields(0);
    if (!header[0].trim().equals("LOCATION")) {
      throw lines.failure(0, "column 1", header[0], "LOCATION, as every EPW file begins");
    }
    Place place =
        new Place(
            lines.number(0, header, 6, "latitude", -90, 90),
            lines.number(0, header, 7, "longitude", -180, 180),
            lines.number(0, header, 9, "altitude in m", -500, 9000),
            0.2);
    double utcOffsetH = lines.number(0, header, 8, "time zone in h", -12, 14);
    int n = StandardTime.HOURS_IN_YEAR;
    double[] ghi = new double[n];
    double[] dni = new double[n];
    double[] dhi = new double[n];
    double[] ambient = new double[n];
    double[] wind = new double[n];
    int hours = 0;
    for (int i = HEADER_LINES; i < lines.count(); i++) {
      String[] f = lines.fields(i);
      if (f.length == 1 && f[0].isBlank()) {
        continue;
      }
      int month = (int) lines.number(i, f, 1, "month", 1, 12);
      int day = (int) lines.number(i, f, 2, "day", 1, 31);
      int hour = (int) lines.number(i, f, 3, "hour", 1, 24);
      if (hours >= n || StandardTime.dayOfYear(month, day) * 24 + hour - 1 != hours) {
        throw lines.failure(
            i,
            "columns 2 to 4 (month, day, hour)",
            month + "/" + day + " " + hour,
            "the 8760 hours of a year, one after the other");
      }
      ambient[hours] = lines.number(i, f, TEMPERATURE, "dry-bulb temperature in °C", -70, 70);
      ghi[hours] = lines.number(i, f, GHI, "global horizontal in Wh/m²", 0, 1500);
      dni[hours] = lines.number(i, f, DNI, "direct normal in Wh/m²", 0, 1500);
      dhi[hours] = lines.number(i, f, DHI, "diffuse horizontal in Wh/m²", 0, 1500);
      wind[hours] = lines.number(i, f, WIND, "wind in m/s", 0, 100);
      hours++;
    }
    if (hours != n) {
      throw lines.failure(lines.count() - 1, "the number of hours", "" + hours, "8760, a year");
    }
    return new EpwWeather(place, new StandardTime(utcOffsetH), ghi, dni, dhi, ambient, wind);
  }

  /** The same year for another run, read no second time. */
  public EpwWeather again() {
    return new EpwWeather(place, time, ghi, dni, dhi, ambientC, windMPerS);
  }

  @Override
  public void sample(long epochMicros, Sky sky) {
    long start = time.startOfHour(epochMicros);
    if (start != hourStart) {
      load(start);
    }
    double share = (epochMicros - start) / (double) StandardTime.HOUR;
    double ambient = ambientStart + share * (ambientEnd - ambientStart);
    double wind = windStart + share * (windEnd - windStart);
    shape.sample(epochMicros, sky, ambient, wind);
  }

  private void load(long start) {
    int h = time.hourOfYear(start);
    int before = (h + StandardTime.HOURS_IN_YEAR - 1) % StandardTime.HOURS_IN_YEAR;
    ambientStart = ambientC[before];
    ambientEnd = ambientC[h];
    windStart = windMPerS[before];
    windEnd = windMPerS[h];
    shape.fit(start, StandardTime.HOUR, ghi[h], dni[h], dhi[h], h / 24);
    hourStart = start;
  }

  @Override
  public long nextChangeMicros(long epochMicros) {
    return time.startOfHour(epochMicros) + StandardTime.HOUR;
  }

  @Override
  public long intervalStart(long epochMicros) {
    return time.startOfHour(epochMicros);
  }

  @Override
  public long intervalMicros() {
    return StandardTime.HOUR;
  }

  /** The station of the file's header (with grass around it, which the file doesn't say). */
  public Place station() {
    return place;
  }

  /** Global horizontal energy of the file's year, kWh/m². */
  public double yearlyGhiKWhPerM2() {
    double sum = 0;
    for (double wh : ghi) {
      sum += wh;
    }
    return sum / 1000;
  }
}
