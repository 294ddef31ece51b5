package islet.cli;

import islet.bench.RunRecord;
import islet.bench.report.Report;
import islet.bench.report.ReportData;
import islet.bench.report.VoltageExcursion;

/** Makes the report of a run. */
final class Reports {

  private Reports() {}

  static String html(RunRecord run) {
    return Report.html(
        new ReportData(
            run.result(),
            run.trace(),
            run.events(),
            run.site(),
            run.startMicros(),
            run.scenarioYaml(),
            run.excursions().stream()
                .map(
                    e ->
                        new VoltageExcursion(
                            (e.startMicros() - run.startMicros()) / 1e6,
                            e.durationS(),
                            e.voltagePu(),
                            e.insideItic(),
                            e.note()))
                .toList()));
  }
}
