package islet.plant;

import java.nio.file.Path;

/**
 * A year of hourly mean power from a table, each hour's mean held for that hour.
 *
 * <p>The file's first column is {@code MM/DD HH:MM:SS} in local standard time at the hour's end
 * (24:00:00 closes a day), the others are kW. One year serves for every year, see {@code
 * config/loads}.
 */
public final class HourlyLoad implements LoadProfile {
  private static final double HIGHEST_KW = 10_000;

  private final StandardTime time;
  private final double[] watts;

  private HourlyLoad(StandardTime time, double[] watts) {
    this.time = time;
    this.watts = watts;
  }

  /**
   * Reads one column.
   *
   * @param file table with one header line
   * @param column header of the column to read, as it stands in the file
   * @param scale multiplies every value, so that a house can stand for a cabin
   * @param utcOffsetH local standard time against universal time, h
   * @throws DataFileException when the file, its header, a time or a number is not as said above
   */
  public static HourlyLoad read(Path file, String column, double scale, double utcOffsetH) {
    Require.notNegative(scale, "The scale of a load column");
    DataLines lines = DataLines.read(file);
    int wanted = columnOf(lines, column);
    double[] watts = new double[StandardTime.HOURS_IN_YEAR];
    int hours = 0;
    for (int i = 1; i < lines.count(); i++) {
      String[] fields = lines.fields(i);
      if (fields.length == 1 && fields[0].isBlank()) {
        continue;
      }
      if (hours >= watts.length || hourOfYear(lines, i, fields[0]) != hours) {
        throw lines.failure(
            i, "column 1 (time)", fields[0], "the 8760 hours of a year, one after the other");
      }
      watts[hours++] = lines.number(i, fields, wanted, column, 0, HIGHEST_KW) * 1000 * scale;
    }
    if (hours != watts.length) {
      throw lines.failure(
          lines.count() - 1, "the number of hours", Integer.toString(hours), "8760, a whole year");
    }
    return new HourlyLoad(new StandardTime(utcOffsetH), watts);
  }

  private static int columnOf(DataLines lines, String column) {
    if (lines.count() == 0) {
      throw lines.failure(0, "the header", "nothing", "a line with the names of the columns");
    }
    String[] header = lines.fields(0);
    for (int i = 1; i < header.length; i++) {
      if (header[i].trim().equals(column.trim())) {
        return i;
      }
    }
    throw lines.failure(0, "the header", String.join(",", header), "a column named " + column);
  }

  private static int hourOfYear(DataLines lines, int index, String text) {
    String time = text.trim();
    if (!time.matches("\\d\\d/\\d\\d +\\d\\d:00:00")) {
      throw lines.failure(index, "column 1 (time)", text, "MM/DD  HH:00:00, from 01:00 to 24:00");
    }
    int month = Integer.parseInt(time.substring(0, 2));
    int day = Integer.parseInt(time.substring(3, 5));
    int hour = Integer.parseInt(time.substring(time.length() - 8, time.length() - 6));
    if (month < 1 || month > 12 || day < 1 || day > 31 || hour < 1 || hour > 24) {
      throw lines.failure(index, "column 1 (time)", text, "a month, day and hour of the calendar");
    }
    return StandardTime.dayOfYear(month, day) * 24 + hour - 1;
  }

  @Override
  public double powerW(long epochMicros) {
    return watts[time.hourOfYear(epochMicros)];
  }

  @Override
  public long nextChangeMicros(long epochMicros) {
    return time.startOfHour(epochMicros) + StandardTime.HOUR;
  }
}
