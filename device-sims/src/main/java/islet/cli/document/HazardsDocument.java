package islet.cli.document;

import islet.bench.HazardNote;
import islet.bench.RunResult.HazardVerdict;
import java.util.List;

/** Every hazard as a formula, with its bounds, their sources and who trips it. */
final class HazardsDocument {

  private HazardsDocument() {}

  /** The hazards of a run, in the order of its verdict. */
  static String markdown(List<HazardVerdict> hazards) {
    StringBuilder out = new StringBuilder();
    for (HazardVerdict hazard : hazards) {
      HazardNote note = HazardNote.of(hazard.id());
      out.append("\n## ").append(hazard.title()).append("\n\n");
      out.append("`").append(hazard.id()).append("`: ").append(note.formula()).append("\n\n");
      out.append(note.words()).append("\n\n");
      out.append("- Bounds: ").append(note.bound()).append('\n');
      out.append("- Margin in ").append(note.units()).append(".\n");
      out.append("- What trips it: ").append(note.trippedBy()).append('\n');
    }
    return out.append('\n').toString();
  }
}
