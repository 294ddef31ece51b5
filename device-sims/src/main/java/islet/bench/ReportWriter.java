package islet.bench;

/** Makes the report of a run. */
@FunctionalInterface
public interface ReportWriter {

  /** The report as one self-contained HTML text, the same for the same record. */
  String html(RunRecord record);
}
