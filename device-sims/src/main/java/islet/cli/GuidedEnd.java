package islet.cli;

import islet.bench.RunFolder;
import islet.bench.RunFolderException;
import islet.bench.RunRecord;
import islet.bench.Timing;
import islet.bench.guided.GuidedRecord;
import islet.bench.guided.RecordJson;
import islet.bench.guided.Seal;
import islet.bench.guided.Verdict;
import islet.bench.report.RecordPage;
import islet.bench.report.Report;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.Map;

/**
 * The end of a guided rehearsal, the same however it was asked: the folder with the record, and
 * what the terminal says of it.
 *
 * @param run the run that is over
 * @param record as it was signed
 * @param folder where both go
 */
record GuidedEnd(RunRecord run, GuidedRecord record, Path folder) {

  /** The record's files by name. */
  Map<String, byte[]> files() throws IOException {
    byte[] json = RecordJson.sealed(record);
    Map<String, byte[]> files = new LinkedHashMap<>();
    files.put(RunFolder.RECORD_JSON, json);
    files.put(
        RunFolder.RECORD_PAGE,
        RecordPage.html(record, Seal.digest(json)).getBytes(StandardCharsets.UTF_8));
    return files;
  }

  /** Writes the folder. */
  void write(Timing timing, Map<String, byte[]> files) throws RunFolderException, IOException {
    RunFolder.writeGuided(folder, run, timing, Report::html, files);
  }

  /** Tells the verdict and where the record is. */
  void tell(PrintWriter out) {
    out.println();
    out.println(VerdictText.of(run.result(), folder).stripTrailing());
    out.println();
    out.println(
        "Record: "
            + record.outcome().name()
            + ", "
            + record.count(Verdict.PASS)
            + " steps passed, "
            + record.count(Verdict.FAIL)
            + " failed, "
            + record.count(Verdict.SKIP)
            + " skipped: "
            + folder.resolve(RunFolder.RECORD_PAGE));
  }

  /** The exit code. */
  int code() {
    return record.outcome() == GuidedRecord.Outcome.PASS ? Main.PASSED : Main.FAILED;
  }

  /** What is said when the answers end before the record is signed. */
  static String brokenOff(int answered, int steps, Path folder, String goOn) {
    return "The answers ended here. "
        + answered
        + " of "
        + steps
        + " steps are answered and kept in "
        + RunFolder.answers(folder)
        + ". Go on with: "
        + goOn;
  }
}
