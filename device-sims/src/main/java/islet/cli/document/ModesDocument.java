package islet.cli.document;

import islet.bench.report.ModeDiagram;
import islet.contract.Decimal;
import islet.control.ModeRow;
import islet.control.ModeTable;
import islet.control.Phase;
import islet.site.Site;
import java.util.List;

/** The mode machine as a table and as a picture, from its own declaration. */
final class ModesDocument {

  private ModesDocument() {}

  /** The picture: modes, with the numbers of the table's rows on the arrows. */
  static String picture() {
    return ModeDiagram.svg(
        ModeTable.rows().stream()
            .map(
                row ->
                    new islet.bench.report.ModeRow(
                        row.from().mode().name(),
                        row.on(),
                        "",
                        row.to().mode().name(),
                        row.doing(),
                        ""))
            .toList());
  }

  /** One row a transition. */
  static String table() {
    StringBuilder out = new StringBuilder();
    out.append("| no. | in step | on | to step | doing |\n| ---: | --- | --- | --- | --- |\n");
    List<ModeRow> rows = ModeTable.rows();
    for (int i = 0; i < rows.size(); i++) {
      ModeRow row = rows.get(i);
      out.append("| ").append(i + 1);
      out.append(" | ").append(step(row.from()));
      out.append(" | ").append(row.on());
      out.append(" | ").append(step(row.to()));
      out.append(" | ").append(row.doing().isEmpty() ? "–" : row.doing()).append(" |\n");
    }
    return out.toString();
  }

  private static String step(Phase phase) {
    return "`" + phase + "` (" + phase.mode() + ")";
  }

  /** What each step means, what is ordered in it, and how long it may take. */
  static String steps(Site site) {
    StringBuilder out = new StringBuilder();
    out.append("| step | mode | what it is | time limit | at the ferry landing |\n");
    out.append("| --- | --- | --- | --- | ---: |\n");
    for (Phase phase : Phase.values()) {
      out.append("| `").append(phase).append("` | `").append(phase.mode());
      out.append("` | ").append(meaning(phase)).append(" | ").append(limit(phase));
      out.append(" | ").append(seconds(phase, site.supervision().timeouts())).append(" |\n");
    }
    return out.toString();
  }

  private static String meaning(Phase phase) {
    return switch (phase) {
      case LISTEN ->
          "Listening until every device has reported. After half of the time it goes on without those that only charge, and without an inverter or a meter for which the others speak. Nothing is ordered; when the time is over, alarm START_TIMEOUT rings, and the listening goes on.";
      case CONNECTED ->
          "The tie is closed and the utility carries the panels; the inverter follows it.";
      case UNLOAD_TIE ->
          "Before a planned opening the inverter takes over the panel's power, so that the tie carries none.";
      case OPEN_TIE -> "The tie is told to open, and its opening is being proven.";
      case FORM -> "The tie is proven open, and the inverter is told to form.";
      case CARRY -> "The inverter carries the emergency panel.";
      case SYNCHRONISE ->
          "The inverter steers the island onto the utility's voltage, frequency and angle.";
      case CLOSE_TIE -> "In step; the tie is told to close.";
      case CLOSE_ON_DEAD_PANEL -> "The emergency panel is dead; the tie is told to close onto it.";
      case UNSUPPLIED -> "Nothing carries the emergency panel; tie open, inverter off.";
      case WAIT_FOR_PERSON -> "A person must look; the inverter is off until somebody resets.";
    };
  }

  private static String limit(Phase phase) {
    return switch (phase) {
      case LISTEN -> "`supervision.timeouts.start`";
      case UNLOAD_TIE -> "`supervision.timeouts.unload`";
      case OPEN_TIE -> "`supervision.timeouts.open`";
      case FORM -> "`supervision.timeouts.form`";
      case SYNCHRONISE -> "`supervision.timeouts.synchronise`";
      case CLOSE_TIE, CLOSE_ON_DEAD_PANEL -> "`supervision.timeouts.close`";
      case CONNECTED, CARRY, UNSUPPLIED, WAIT_FOR_PERSON -> "none: a step to stay in";
    };
  }

  private static String seconds(Phase phase, Site.Timeouts timeouts) {
    return switch (phase) {
      case LISTEN -> Decimal.text(timeouts.startS(), 3) + " s";
      case UNLOAD_TIE -> Decimal.text(timeouts.unloadS(), 3) + " s";
      case OPEN_TIE -> Decimal.text(timeouts.openS(), 3) + " s";
      case FORM -> Decimal.text(timeouts.formS(), 3) + " s";
      case SYNCHRONISE -> Decimal.text(timeouts.synchroniseS(), 3) + " s";
      case CLOSE_TIE, CLOSE_ON_DEAD_PANEL -> Decimal.text(timeouts.closeS(), 3) + " s";
      case CONNECTED, CARRY, UNSUPPLIED, WAIT_FOR_PERSON -> "–";
    };
  }
}
