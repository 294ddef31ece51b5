package islet.cli.document;

import islet.bench.RunResult.HazardVerdict;
import islet.bench.defect.Defect;
import islet.bench.defect.Planted;
import islet.bench.defect.PlantedTrial;
import islet.contract.Decimal;
import java.nio.file.Path;
import java.util.List;

/** What came of each planted defect, by running it. */
final class DefectTable {

  private static final String LIST = "campaigns/planted.yaml";

  private DefectTable() {}

  /** One row a defect, with the margin of the hazard with it and without. */
  static String markdown(Path config) {
    Planted planted = Planted.read(config.resolve(LIST));
    List<PlantedTrial> trials = PlantedTrial.all(planted);
    StringBuilder out = new StringBuilder();
    out.append(
        "| defect | what is wrong | part | scenario | hazard | worst margin | without it |\n");
    out.append("| --- | --- | --- | --- | --- | --- | --- |\n");
    for (PlantedTrial trial : trials) {
      Defect defect = trial.planted().defect();
      String file = config.relativize(trial.planted().scenario()).toString();
      out.append("| `").append(defect.id()).append("` | ").append(defect.wrong());
      out.append(" | ").append(defect.part().text());
      out.append(" | [").append(trial.title()).append("](../config/").append(file).append(")");
      out.append(" | `").append(trial.planted().hazard()).append("` | ");
      out.append(margin(trial.verdict()));
      out.append(" | ").append(margin(trial.soundVerdict())).append(" |\n");
    }
    return out.toString();
  }

  private static String margin(HazardVerdict verdict) {
    return Decimal.text(verdict.worstMargin(), 3) + " " + verdict.unit();
  }
}
