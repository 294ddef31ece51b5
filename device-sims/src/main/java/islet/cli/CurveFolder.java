package islet.cli;

import islet.bench.report.CurvePage;
import islet.bench.reserve.CurveJson;
import islet.bench.reserve.CurveText;
import islet.bench.reserve.ReserveCurve;
import java.io.IOException;
import java.nio.file.Path;

/** The folder that a reserve curve leaves behind; of the same kind as a comparison's. */
final class CurveFolder {

  private CurveFolder() {}

  /** Writes the files, each in one go. */
  static void write(Path folder, ReserveCurve curve) throws IOException {
    CompareFolder.write(folder, CurvePage.html(curve), CurveJson.of(curve), CurveText.of(curve));
  }
}
