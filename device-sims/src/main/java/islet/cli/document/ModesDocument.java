package islet.cli.document;

import islet.bench.PhaseNote;
import islet.bench.WaitNote;
import islet.bench.report.ModeDiagram;
import islet.contract.Decimal;
import islet.control.ModeRow;
import islet.control.ModeTable;
import islet.control.Phase;
import islet.control.Wait;
import islet.site.Site;
import java.util.List;
import java.util.stream.Collectors;

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
    out.append("| no. | in step | on | to step | doing | counts |\n");
    out.append("| ---: | --- | --- | --- | --- | --- |\n");
    List<ModeRow> rows = ModeTable.rows();
    for (int i = 0; i < rows.size(); i++) {
      ModeRow row = rows.get(i);
      out.append("| ").append(i + 1);
      out.append(" | ").append(step(row.from()));
      out.append(" | ").append(row.on());
      out.append(" | ").append(step(row.to()));
      out.append(" | ").append(row.doing().isEmpty() ? "–" : row.doing());
      out.append(" | ").append(counts(row.waits())).append(" |\n");
    }
    return out.toString();
  }

  private static String counts(List<Wait> waits) {
    return waits.isEmpty()
        ? "–"
        : waits.stream().map(wait -> "`" + wait + "`").collect(Collectors.joining(", "));
  }

  /** What counts before a row can be taken, and how long it takes. */
  static String waits() {
    StringBuilder out = new StringBuilder("| counts | while | how long |\n| --- | --- | --- |\n");
    for (Wait wait : Wait.values()) {
      WaitNote note = WaitNote.of(wait);
      out.append("| `").append(wait).append("` | ").append(note.what());
      out.append(" | ").append(note.limit()).append(" |\n");
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
    return PhaseNote.of(phase).meaning();
  }

  private static String limit(Phase phase) {
    String limit = PhaseNote.of(phase).limit();
    return limit.isEmpty() ? "none: a step to stay in" : "`" + limit + "`";
  }

  private static String seconds(Phase phase, Site.Timeouts timeouts) {
    double limitS = PhaseNote.limitS(phase, timeouts);
    return limitS == 0 ? "–" : Decimal.text(limitS, 3) + " s";
  }
}
