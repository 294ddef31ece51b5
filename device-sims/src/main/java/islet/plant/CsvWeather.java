package islet.plant;

import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * Measured weather from a table with one line for each interval, all of one length.
 *
 * <p>The first line names the columns, each with its unit, in any order: {@code time_start} or
 * {@code time_end} (whether a line's time is its interval's start or end), {@code GHI_W/m2}, {@code
 * temperature_C}, and where they were measured {@code DNI_W/m2}, {@code DHI_W/m2}, {@code
 * wind_m/s}. Lines before it that begin with {@code #} are comments. Times are ISO 8601, with their
 * offset, or without one in local standard time; they know no daylight saving. Values are means
 * over the interval. A night's negative offset down to −10 W/m² counts as 0 (common practice for
 * thermopile instruments).
 *
 * <p>Direct and diffuse light that were not measured follow from what was: both from the Erbs
 * correlation (made for hours; rougher for minutes), one alone from the other, so that the global
 * is their sum over the interval. Within the interval {@link IntervalShape} says how light runs;
 * temperature and wind are joined by straight lines between the intervals' middles.
 */
public final class CsvWeather implements IntervalWeather {
  private static final String TIME_START = "time_start";
  private static final String TIME_END = "time_end";
  private static final String GHI = "GHI_W/m2";
  private static final String DNI = "DNI_W/m2";
  private static final String DHI = "DHI_W/m2";
  private static final String TEMPERATURE = "temperature_C";
  private static final String WIND = "wind_m/s";
  private static final List<String> COLUMNS =
      List.of(TIME_START, TIME_END, GHI, DNI, DHI, TEMPERATURE, WIND);

  private static final String TIME_FORM =
      "date and time to the minute, such as 2026-06-21T13:00 or 2026-06-21T13:00-06:00";
  private static final double NIGHT_OFFSET = -10;

  /** What stands in for a wind that was not measured, m/s; nothing here depends on it. */
  private static final double LIGHT_WIND = 1;

  /** Sub-intervals for the clear sky's energy: at least so many, and a minute each at most. */
  private static final int LEAST_PARTS = 12;

  private final StandardTime time;
  private final IntervalShape shape;
  private final long first;
  private final long step;
  private final double[] ghi;
  private final double[] dni;
  private final double[] dhi;
  private final double[] ambientC;
  private final double[] windMPerS;
  private final Place place;
  private final Table table;

  private int loaded = -1;

  private CsvWeather(Place place, StandardTime time, long first, long step, Table table) {
    this.time = time;
    this.first = first;
    this.step = step;
    this.shape =
        new IntervalShape(place, Math.max(LEAST_PARTS, (int) (step / StandardTime.MINUTE)));
    this.ghi = table.ghi;
    this.dni = table.dni;
    this.dhi = table.dhi;
    this.ambientC = table.ambientC;
    this.windMPerS = table.windMPerS;
    this.place = place;
    this.table = table;
  }

  /** The columns as they are read; NaN where direct or diffuse light was not measured. */
  private static final class Table {
    final long[] times;
    final double[] ghi;
    final double[] dni;
    final double[] dhi;
    final double[] ambientC;
    final double[] windMPerS;

    Table(int rows) {
      times = new long[rows];
      ghi = new double[rows];
      dni = new double[rows];
      dhi = new double[rows];
      ambientC = new double[rows];
      windMPerS = new double[rows];
      Arrays.fill(dni, Double.NaN);
      Arrays.fill(dhi, Double.NaN);
      Arrays.fill(windMPerS, LIGHT_WIND);
    }
  }

  /**
   * Reads a file.
   *
   * @param place where it was measured
   * @param utcOffsetH local standard time against universal time, h, for times without their offset
   * @throws DataFileException when the file is not as said above
   */
  public static CsvWeather read(Path file, Place place, double utcOffsetH) {
    DataLines lines = DataLines.read(file);
    int header = 0;
    while (header < lines.count() && lines.fields(header)[0].startsWith("#")) {
      header++;
    }
    Map<String, Integer> columns = columns(lines, header);
    int rows = lines.count() - header - 1;
    while (rows > 0 && isBlank(lines.fields(header + rows))) {
      rows--;
    }
    if (rows < 2) {
      throw lines.failure(
          Math.max(0, lines.count() - 1),
          "the number of lines with values",
          Integer.toString(Math.max(0, rows)),
          "two or more, so that their step is known");
    }
    Table table = new Table(rows);
    for (int row = 0; row < rows; row++) {
      row(lines, header + 1 + row, columns, table, row, utcOffsetH);
    }
    long step = step(lines, header, columns, table);
    boolean ends = columns.containsKey(TIME_END);
    return new CsvWeather(
        place, new StandardTime(utcOffsetH), table.times[0] - (ends ? step : 0), step, table);
  }

  /** The same lines for another run, read no second time. */
  public CsvWeather again() {
    return new CsvWeather(place, time, first, step, table);
  }

  private static boolean isBlank(String[] fields) {
    return fields.length == 1 && fields[0].isBlank();
  }

  private static Map<String, Integer> columns(DataLines lines, int header) {
    if (header >= lines.count()) {
      throw lines.failure(
          Math.max(0, lines.count() - 1),
          "the header",
          "nothing",
          "a line with the columns' names");
    }
    String[] names = lines.fields(header);
    Map<String, Integer> columns = new LinkedHashMap<>();
    for (int i = 0; i < names.length; i++) {
      String name = names[i].strip();
      if (!COLUMNS.contains(name)) {
        throw lines.failure(
            header, "column " + (i + 1), name, "one of " + String.join(", ", COLUMNS));
      }
      if (columns.put(name, i) != null) {
        throw lines.failure(header, "column " + (i + 1), name + " a second time", "it once");
      }
    }
    if (columns.containsKey(TIME_START) == columns.containsKey(TIME_END)) {
      throw lines.failure(
          header,
          "the header",
          String.join(",", names),
          "either " + TIME_START + " or " + TIME_END + ", as the times are meant");
    }
    for (String must : List.of(GHI, TEMPERATURE)) {
      if (!columns.containsKey(must)) {
        throw lines.failure(
            header, "the header", String.join(",", names), "a header with a column " + must);
      }
    }
    return columns;
  }

  private static void row(
      DataLines lines,
      int line,
      Map<String, Integer> columns,
      Table table,
      int row,
      double utcOffsetH) {
    String[] fields = lines.fields(line);
    if (fields.length != columns.size()) {
      throw lines.failure(
          line,
          "the number of columns",
          Integer.toString(fields.length),
          columns.size() + ", as in the header");
    }
    int at = columns.getOrDefault(TIME_START, columns.getOrDefault(TIME_END, 0));
    table.times[row] = time(lines, line, fields, at, utcOffsetH);
    for (Map.Entry<String, Integer> column : columns.entrySet()) {
      int i = column.getValue();
      switch (column.getKey()) {
        case GHI -> table.ghi[row] = light(lines, line, fields, i, GHI);
        case DNI -> table.dni[row] = light(lines, line, fields, i, DNI);
        case DHI -> table.dhi[row] = light(lines, line, fields, i, DHI);
        case TEMPERATURE ->
            table.ambientC[row] = lines.number(line, fields, i, TEMPERATURE, -70, 70);
        case WIND -> table.windMPerS[row] = lines.number(line, fields, i, WIND, 0, 100);
        default -> {
          // the time, which has been read
        }
      }
    }
  }

  private static double light(DataLines lines, int line, String[] fields, int i, String name) {
    return Math.max(0, lines.number(line, fields, i, name, NIGHT_OFFSET, 1500));
  }

  private static long time(
      DataLines lines, int line, String[] fields, int column, double utcOffsetH) {
    String text = fields[column].strip();
    String iso = text.replace(' ', 'T');
    try {
      boolean withOffset = iso.matches(".*(Z|[+-]\\d\\d:\\d\\d)");
      Instant instant =
          withOffset
              ? OffsetDateTime.parse(iso).toInstant()
              : LocalDateTime.parse(iso)
                  .toInstant(ZoneOffset.ofTotalSeconds((int) Math.round(utcOffsetH * 3600)));
      if (instant.getNano() == 0 && instant.getEpochSecond() % 60 == 0) {
        return Math.multiplyExact(instant.getEpochSecond(), StandardTime.SECOND);
      }
    } catch (DateTimeException | ArithmeticException e) {
      // told below, with the times that don't lie on a minute
    }
    throw lines.failure(line, "column " + (column + 1) + " (time)", text, TIME_FORM);
  }

  /** The step between the times, the same everywhere. */
  private static long step(DataLines lines, int header, Map<String, Integer> columns, Table table) {
    long step = table.times[1] - table.times[0];
    int column = columns.getOrDefault(TIME_START, columns.getOrDefault(TIME_END, 0));
    String field = "column " + (column + 1) + " (time)";
    if (step < StandardTime.MINUTE || step > StandardTime.HOUR || StandardTime.HOUR % step != 0) {
      throw lines.failure(
          header + 2,
          field,
          lines.fields(header + 2)[column].strip(),
          "a time that is 1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30 or 60 minutes after the line before");
    }
    for (int row = 2; row < table.times.length; row++) {
      if (table.times[row] - table.times[row - 1] != step) {
        int line = header + 1 + row;
        throw lines.failure(
            line,
            field,
            lines.fields(line)[column].strip(),
            "a time that is "
                + step / StandardTime.MINUTE
                + " minutes after the line before, without a gap; local standard time knows no"
                + " daylight saving");
      }
    }
    return step;
  }

  @Override
  public void sample(long epochMicros, Sky sky) {
    int i = index(epochMicros);
    if (i != loaded) {
      load(i);
    }
    double behind = (epochMicros - start(i)) / (double) step - 0.5;
    int other = Math.max(0, Math.min(ghi.length - 1, behind < 0 ? i - 1 : i + 1));
    double share = Math.min(1, Math.abs(behind));
    shape.sample(
        epochMicros,
        sky,
        ambientC[i] + share * (ambientC[other] - ambientC[i]),
        windMPerS[i] + share * (windMPerS[other] - windMPerS[i]));
  }

  private void load(int i) {
    int day = time.hourOfYear(start(i)) / 24;
    double global = ghi[i];
    double direct = dni[i];
    double diffuse = dhi[i];
    if (Double.isNaN(direct) || Double.isNaN(diffuse)) {
      shape.survey(start(i), step);
      double height = shape.meanCosZenith();
      double outside = ClearSky.extraterrestrial(day);
      double whileUp;
      if (!Double.isNaN(direct)) {
        whileUp = height > 0 ? direct / shape.shareUp() : 0;
      } else {
        if (Double.isNaN(diffuse)) {
          double clearness = height > 0 ? Math.min(1, global / (outside * height)) : 0;
          diffuse = global * ClearSky.erbsDiffuseShare(clearness);
        }
        // A low sun can't be brighter than outside the atmosphere; what it would need is diffuse.
        whileUp = height > 0 ? Math.min(outside, Math.max(0, global - diffuse) / height) : 0;
      }
      direct = whileUp * shape.shareUp();
      diffuse = Math.max(0, global - whileUp * height);
    }
    shape.fit(start(i), step, global, direct, diffuse, day);
    loaded = i;
  }

  /** The line whose interval holds an instant; the first or last one for instants outside. */
  private int index(long epochMicros) {
    return (int) Math.max(0, Math.min(ghi.length - 1, Math.floorDiv(epochMicros - first, step)));
  }

  private long start(int i) {
    return first + i * step;
  }

  @Override
  public long nextChangeMicros(long epochMicros) {
    return intervalStart(epochMicros) + step;
  }

  @Override
  public long intervalStart(long epochMicros) {
    return first + Math.floorDiv(epochMicros - first, step) * step;
  }

  @Override
  public long intervalMicros() {
    return step;
  }

  /** Start of the first interval, µs since 1970-01-01T00:00Z. */
  public long firstMicros() {
    return first;
  }

  /** End of the last interval, µs since 1970-01-01T00:00Z. */
  public long endMicros() {
    return start(ghi.length);
  }
}
