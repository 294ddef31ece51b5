package islet.cli.reference;

import islet.bench.VoltageEnvelope;
import islet.plant.Row;
import java.util.ArrayList;
import java.util.List;

/**
 * Check R6: how long the envelope that judges the emergency panel bears a voltage, found by trying
 * one duration after another.
 */
final class EnvelopeRows {

  private static final String SOURCE = "ITI (CBEMA) curve application note, 2000";
  private static final long BEGIN = 1_000_000;
  private static final double STEADY_S = 3600;
  private static final double MICROSECOND = 1.5e-6;

  private EnvelopeRows() {}

  static List<Row> rows() {
    List<Row> rows = new ArrayList<>();
    rows.add(row("no voltage at all is borne for", 0, 0.02));
    rows.add(row("70 % is borne for", 0.70, 0.5));
    rows.add(row("80 % is borne for", 0.80, 10));
    rows.add(row("90 % is steady: borne for an hour and more", 0.90, STEADY_S));
    rows.add(row("120 % is borne for", 1.20, 0.5));
    rows.add(row("110 % is steady: borne for an hour and more", 1.10, STEADY_S));
    return rows;
  }

  private static Row row(String check, double pu, double expectedS) {
    return new Row("R6", check, SOURCE, true, expectedS, borneS(pu), MICROSECOND, "s");
  }

  /** The longest stay at a voltage that is inside, s, found by bisection; at most an hour. */
  private static double borneS(double pu) {
    long inside = 0;
    long outside = Math.round(STEADY_S * 1e6) + 1;
    while (outside - inside > 1) {
      long middle = (inside + outside) / 2;
      if (inside(pu, middle)) {
        inside = middle;
      } else {
        outside = middle;
      }
    }
    return inside / 1e6;
  }

  private static boolean inside(double pu, long micros) {
    VoltageEnvelope envelope = new VoltageEnvelope();
    envelope.voltage(0, 1);
    envelope.voltage(BEGIN, pu);
    envelope.voltage(BEGIN + micros, 1);
    envelope.finish(2 * BEGIN + micros);
    return envelope.excursions().stream().allMatch(e -> e.insideItic());
  }
}
