package islet.cli;

import islet.bench.RunRecord;

/** Makes the report of a run. */
final class Reports {

  private Reports() {}

  static String html(RunRecord run) {
    return "";
  }
}
