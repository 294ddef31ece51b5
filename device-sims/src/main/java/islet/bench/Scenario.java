package islet.bench;

import islet.site.Setting;
import islet.site.Site;
import java.nio.file.Path;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * One case: a site, its surroundings, what happens and what is expected.
 *
 * @param title what a person reads
 * @param file the file that the case was first read from; its paths start from its folder
 * @param siteFile the site's file
 * @param site the site, with the settings put in
 * @param settings values that take the place of the site file's
 * @param startMicros the start in microseconds since 1970-01-01T00:00Z
 * @param durationMicros how long the run is, more than 0
 * @param seed of everything random
 * @param weather where the weather comes from
 * @param initialSoc the battery's state of charge at the start, 0 to 1
 * @param initialHealth the battery's capacity at the start over a new one's, 0.1 to 1
 * @param tieClosed whether the tie is closed at the start, on a utility that is there
 * @param events what happens, by time
 * @param expect what is expected
 * @param waive hazards that do not decide the verdict, by id, with the reason
 * @param traceStepS step of the trace in seconds
 * @param stops where a guided rehearsal waits for a person, by time; any other run passes them by
 */
public record Scenario(
    String title,
    Path file,
    Path siteFile,
    Site site,
    List<Setting> settings,
    long startMicros,
    long durationMicros,
    long seed,
    WeatherSource weather,
    double initialSoc,
    double initialHealth,
    boolean tieClosed,
    List<Event> events,
    List<Expectation> expect,
    Map<String, String> waive,
    double traceStepS,
    List<Stop> stops) {

  public Scenario {
    settings = List.copyOf(settings);
    events = List.copyOf(events);
    expect = List.copyOf(expect);
    waive = Collections.unmodifiableMap(new LinkedHashMap<>(waive));
    stops = List.copyOf(stops);
  }

  /** A case without stops for a person. */
  public Scenario(
      String title,
      Path file,
      Path siteFile,
      Site site,
      List<Setting> settings,
      long startMicros,
      long durationMicros,
      long seed,
      WeatherSource weather,
      double initialSoc,
      double initialHealth,
      boolean tieClosed,
      List<Event> events,
      List<Expectation> expect,
      Map<String, String> waive,
      double traceStepS) {
    this(
        title,
        file,
        siteFile,
        site,
        settings,
        startMicros,
        durationMicros,
        seed,
        weather,
        initialSoc,
        initialHealth,
        tieClosed,
        events,
        expect,
        waive,
        traceStepS,
        List.of());
  }

  /** A case that begins with a new battery. */
  public Scenario(
      String title,
      Path file,
      Path siteFile,
      Site site,
      List<Setting> settings,
      long startMicros,
      long durationMicros,
      long seed,
      WeatherSource weather,
      double initialSoc,
      boolean tieClosed,
      List<Event> events,
      List<Expectation> expect,
      Map<String, String> waive,
      double traceStepS) {
    this(
        title,
        file,
        siteFile,
        site,
        settings,
        startMicros,
        durationMicros,
        seed,
        weather,
        initialSoc,
        1,
        tieClosed,
        events,
        expect,
        waive,
        traceStepS);
  }

  /**
   * The same course of things with other events, nothing expected of it but that no hazard comes.
   *
   * @param what what happens, by time
   */
  public Scenario happening(String called, long lasting, List<Event> what) {
    return new Scenario(
        called,
        file,
        siteFile,
        site,
        settings,
        startMicros,
        lasting,
        seed,
        weather,
        initialSoc,
        initialHealth,
        tieClosed,
        what,
        List.of(),
        waive,
        traceStepS);
  }

  /**
   * The same case at another time; what happens in it keeps its distance from the start.
   *
   * @param micros the start, µs since 1970-01-01T00:00Z
   */
  public Scenario beginningAt(long micros) {
    return new Scenario(
        title,
        file,
        siteFile,
        site,
        settings,
        micros,
        durationMicros,
        seed,
        weather,
        initialSoc,
        initialHealth,
        tieClosed,
        events,
        expect,
        waive,
        traceStepS,
        stops);
  }
}
