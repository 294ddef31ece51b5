package islet.bench.reserve;

import islet.bench.IslandLife;
import islet.bench.reserve.Outage.End;
import islet.contract.Decimal;
import java.time.Instant;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.List;

/** A reserve curve for the terminal, and its sentences for every form. */
public final class CurveText {

  private static final double HOUR = 3.6e9;

  /** How many of the shortest outages of a reserve are named. */
  static final int WORST = 3;

  private final ReserveCurve curve;
  private final StringBuilder out = new StringBuilder();

  private CurveText(ReserveCurve curve) {
    this.curve = curve;
  }

  /** The text, lines ended by a line feed. */
  public static String of(ReserveCurve curve) {
    CurveText text = new CurveText(curve);
    text.write();
    return text.out.toString();
  }

  private void write() {
    out.append("Reserve against savings: ").append(curve.scenario().title()).append(", ");
    out.append(curve.scenario().site().name()).append('\n');
    for (String sentence : about(curve)) {
      out.append(sentence).append('\n');
    }
    out.append('\n');
    List<List<String>> rows = new ArrayList<>();
    rows.add(
        List.of(
            "Reserve",
            "Bill, " + curve.points().get(0).currency(),
            "Median",
            "5th percentile",
            "Worst",
            hours(curve.outageMicros()) + " survived"));
    for (ReservePoint point : curve.points()) {
      rows.add(cells(curve, point));
    }
    table(rows);
    out.append("\nShortest outages, by the hour at which the utility went\n");
    for (ReservePoint point : curve.points()) {
      out.append("  ").append(point.reserve()).append("  ").append(worst(curve, point));
      out.append('\n');
    }
    if (!curve.proofs().isEmpty()) {
      proofs();
    }
    for (String note : notes(curve)) {
      out.append('\n').append(note);
    }
    out.append(notes(curve).isEmpty() ? "" : "\n");
  }

  /** How the curve came about. */
  public static List<String> about(ReserveCurve curve) {
    long outages = curve.points().get(0).outages().size();
    return List.of(
        "For each reserve the span was rehearsed once, for the bill; then an outage was begun at"
            + " every full hour,",
        outages
            + " of them, each lasting until the emergency panel first went dark, for 7 days at"
            + " most.",
        curve.wraps()
            ? "The span is a year: weather and loads go on at its beginning when it is over."
            : "The span is no year: an outage is cut at its end, and counts for as long as it was"
                + " watched.");
  }

  /** What makes the curve doubtful, or is not to be seen in the table. */
  public static List<String> notes(ReserveCurve curve) {
    List<String> notes = new ArrayList<>();
    for (ReservePoint point : curve.points()) {
      if (!point.result().passed()) {
        notes.add(
            "The rehearsal with a reserve of "
                + point.reserve()
                + " failed its verdict; rehearse it alone to see why.");
      }
      long cut = point.count(End.CUT);
      if (cut > 0) {
        notes.add(
            "With "
                + point.reserve()
                + ", "
                + cut
                + " of "
                + point.outages().size()
                + " outages were cut at the span's end.");
      }
    }
    if (!curve.scenario().site().supervision().reserveWindows().isEmpty()) {
      notes.add("Reserve windows of the site hold at their hours, whatever reserve is asked for.");
    }
    long close = curve.proofs().stream().filter(ReserveCurve.Proof::close).count();
    if (!curve.proofs().isEmpty()) {
      notes.add(
          close
              + " of "
              + curve.proofs().size()
              + " outages rehearsed whole lasted as the account says, within 5 % or 15 minutes.");
    }
    return notes;
  }

  /** A reserve's line of the table. */
  public static List<String> cells(ReserveCurve curve, ReservePoint point) {
    Survival survival = point.survival();
    double share = survival.share(curve.outageMicros());
    return List.of(
        point.reserve(),
        fixed(point.bill(), 2),
        quantile(survival, 0.5),
        quantile(survival, 0.05),
        quantile(survival, 1e-9),
        Double.isNaN(share) ? "unknown" : fixed(100 * share, 1) + " %");
  }

  /** After how long a share of panels is dark, in words. */
  static String quantile(Survival survival, double dark) {
    long micros = survival.quantileMicros(dark);
    if (micros < Long.MAX_VALUE) {
      return hours(micros);
    }
    return survival.watchedMicros() >= IslandLife.LONGEST
        ? "7 days and more"
        : "over " + hours(survival.watchedMicros());
  }

  /** The shortest outages of a reserve, in words. */
  public static String worst(ReserveCurve curve, ReservePoint point) {
    List<String> words = new ArrayList<>();
    for (Outage outage : point.worst(WORST)) {
      words.add(hours(outage.micros()) + " from " + local(curve, outage));
    }
    return words.isEmpty() ? "the panel never went dark" : String.join(", ", words);
  }

  /** When an outage began, by the site's clock. */
  public static String local(ReserveCurve curve, Outage outage) {
    LocalDateTime time =
        LocalDateTime.ofInstant(
            Instant.ofEpochSecond(Math.floorDiv(outage.startMicros(), 1_000_000L)),
            curve.scenario().site().place().zone());
    return time.toLocalDate() + " " + time.toLocalTime();
  }

  /** How long an outage that was rehearsed whole lasted. */
  public static String lasted(Outage outage) {
    return (outage.end() == End.CUT ? "over " : "") + fixed(outage.micros() / HOUR, 2) + " h";
  }

  private void proofs() {
    out.append("\nOutages rehearsed whole, with every device, message and scan\n");
    List<List<String>> rows = new ArrayList<>();
    rows.add(List.of("Reserve", "Began", "Account", "Rehearsed", ""));
    for (ReserveCurve.Proof proof : curve.proofs()) {
      rows.add(
          List.of(
              proof.reserve(),
              local(curve, proof.account()),
              lasted(proof.account()),
              lasted(proof.rehearsed()),
              proof.close() ? "close" : "apart"));
    }
    table(rows);
  }

  private void table(List<List<String>> rows) {
    for (List<String> row : rows) {
      StringBuilder line = new StringBuilder("  ");
      for (int i = 0; i < row.size(); i++) {
        int column = i;
        int width = rows.stream().mapToInt(r -> r.get(column).length()).max().orElse(0);
        String gap = " ".repeat(width - row.get(i).length());
        line.append(i == 0 ? row.get(i) + gap : "  " + gap + row.get(i));
      }
      out.append(line.toString().stripTrailing()).append('\n');
    }
  }

  /** A time in hours. */
  public static String hours(long micros) {
    return fixed(micros / HOUR, 1) + " h";
  }

  private static String fixed(double value, int decimals) {
    StringBuilder text = new StringBuilder(Decimal.text(value, decimals));
    int point = text.indexOf(".");
    if (point < 0) {
      point = text.length();
      text.append('.');
    }
    while (text.length() - point <= decimals) {
      text.append('0');
    }
    return text.toString();
  }
}
