package islet.cli.document;

import islet.contract.AlarmId;
import islet.contract.Decimal;
import islet.fault.FaultFamily;
import islet.fault.FaultKind;
import islet.fault.Owed;
import java.util.Locale;
import java.util.stream.Collectors;

/** The catalogue of faults for people, family by family. */
final class FaultsDocument {

  private static final int DECIMALS = 3;

  private FaultsDocument() {}

  /** Every kind: where it bites, its fields, what it does, what a good supervisor does. */
  static String tables() {
    StringBuilder out = new StringBuilder();
    for (FaultFamily family : FaultFamily.values()) {
      out.append("### ").append(family.title()).append("\n\n");
      out.append("| kind | where | fields | what it does | what a good supervisor does | owed |\n");
      out.append("| --- | --- | --- | --- | --- | --- |\n");
      for (FaultKind kind : FaultKind.values()) {
        if (kind.family() == family) {
          row(out, kind);
        }
      }
      out.append('\n');
    }
    return out.toString();
  }

  private static void row(StringBuilder out, FaultKind kind) {
    out.append("| `").append(kind.word()).append("` | ");
    out.append(String.join(", ", kind.devices())).append(" | ");
    out.append(fields(kind)).append(" | ");
    out.append(kind.effect()).append(" | ");
    out.append(kind.duty()).append(" | ");
    out.append(owed(kind.owed())).append(" |\n");
  }

  private static String fields(FaultKind kind) {
    StringBuilder out = new StringBuilder();
    for (FaultKind.Parameter p : kind.parameters()) {
      out.append(out.isEmpty() ? "" : "; ").append('`').append(p.name()).append("` ");
      out.append(Decimal.text(p.minimum(), DECIMALS)).append(" to ");
      out.append(Decimal.text(p.maximum(), DECIMALS)).append(": ").append(p.meaning());
    }
    if (!kind.claims().isEmpty()) {
      out.append(out.isEmpty() ? "" : "; ").append("`as` ");
      out.append(kind.claims().stream().map(w -> "`" + w + "`").collect(Collectors.joining(", ")));
    }
    return out.isEmpty() ? "–" : out.toString();
  }

  private static String owed(Owed owed) {
    if (!owed.any()) {
      return "nothing: " + owed.reason();
    }
    String alarms =
        owed.alarms().stream().map(FaultsDocument::word).collect(Collectors.joining(" or "));
    return alarms
        + " within "
        + Decimal.text(owed.withinS(), DECIMALS)
        + " s, "
        + from(owed.from())
        + ": "
        + owed.reason();
  }

  private static String word(AlarmId id) {
    return "`" + id.name().toLowerCase(Locale.ROOT).replace('_', '-') + "`";
  }

  private static String from(Owed.From from) {
    return switch (from) {
      case NEVER -> "never";
      case BEGINNING -> "from its beginning";
      case TIE_SHOULD_BE_OPEN -> "while the tie is closed on a dead utility";
      case TIE_SHOULD_CLOSE -> "while the supervisor returns to the utility";
      case PANEL_SHOULD_LIVE -> "while the emergency panel is dead behind an open tie";
      case FAR_OFF -> "while it is off by more than twice what the supervisor bears";
    };
  }
}
