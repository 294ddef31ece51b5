package islet.bench.report;

import islet.bench.EventLog;
import islet.bench.RunResult;
import islet.bench.Trace;
import islet.site.Site;
import java.util.List;

/**
 * All that a report is made of.
 *
 * @param startMicros start of the scenario, microseconds since 1970
 * @param scenarioYaml the scenario as resolved
 * @param excursions every excursion of the emergency panel's voltage, in the order of time
 */
public record ReportData(
    RunResult result,
    Trace trace,
    EventLog events,
    Site site,
    long startMicros,
    String scenarioYaml,
    List<VoltageExcursion> excursions) {

  public ReportData {
    excursions = List.copyOf(excursions);
  }

  /** End of the scenario, microseconds since 1970. */
  public long endMicros() {
    return startMicros + Math.round(result.simulatedSeconds() * 1e6);
  }

  /** The instant of so many seconds from the start of the scenario, microseconds since 1970. */
  long instant(double seconds) {
    return startMicros + Math.round(seconds * 1e6);
  }
}
