package islet.plant;

import java.nio.file.Path;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;

/**
 * Weather and load files that many runs share, each read once. What comes out of it belongs to one
 * run; several threads may ask at once.
 */
public final class DataFiles {

  private record Csv(Path file, Place place, double utcOffsetH) {}

  private record Column(Path file, String column, double scale, double utcOffsetH) {}

  private final Map<Path, EpwWeather> years = new ConcurrentHashMap<>();
  private final Map<Csv, CsvWeather> tables = new ConcurrentHashMap<>();
  private final Map<Column, HourlyLoad> loads = new ConcurrentHashMap<>();

  /**
   * A year of weather.
   *
   * @throws DataFileException as {@link EpwWeather#read} does
   */
  public EpwWeather epw(Path file) {
    return years.computeIfAbsent(file, EpwWeather::read).again();
  }

  /**
   * Measured weather.
   *
   * @throws DataFileException as {@link CsvWeather#read} does
   */
  public CsvWeather csv(Path file, Place place, double utcOffsetH) {
    return tables
        .computeIfAbsent(
            new Csv(file, place, utcOffsetH),
            asked -> CsvWeather.read(asked.file(), asked.place(), asked.utcOffsetH()))
        .again();
  }

  /**
   * A column of loads, which nothing changes and all runs may hold at once.
   *
   * @throws DataFileException as {@link HourlyLoad#read} does
   */
  public HourlyLoad hourly(Path file, String column, double scale, double utcOffsetH) {
    return loads.computeIfAbsent(
        new Column(file, column, scale, utcOffsetH),
        asked -> HourlyLoad.read(asked.file(), asked.column(), asked.scale(), asked.utcOffsetH()));
  }
}
