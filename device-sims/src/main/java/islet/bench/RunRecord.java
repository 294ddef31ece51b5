package islet.bench;

import islet.site.Site;
import java.util.List;

/**
 * All that a run leaves behind, except how long it took.
 *
 * @param startMicros start of the scenario, microseconds since 1970
 * @param scenarioYaml the scenario as resolved
 * @param excursions every excursion of the emergency panel's voltage, in the order of time
 */
public record RunRecord(
    RunResult result,
    Trace trace,
    EventLog events,
    Site site,
    long startMicros,
    String scenarioYaml,
    List<VoltageExcursion> excursions) {

  public RunRecord {
    excursions = List.copyOf(excursions);
  }
}
