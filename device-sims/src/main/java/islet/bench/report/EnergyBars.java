package islet.bench.report;

import java.util.ArrayList;
import java.util.List;

/** Where every kWh came from and went, as bars on one scale. Losses are hatched. */
final class EnergyBars {

  private static final double BAR_LEFT = 250;
  private static final double BAR_WIDTH = 640;
  private static final double PITCH = 34;
  private static final double TALL = 22;

  private EnergyBars() {}

  /** Draws the bars. */
  static void draw(StringBuilder out, EnergyLedger ledger) {
    List<EnergyLedger.Flow> in = seen(ledger.in());
    List<EnergyLedger.Flow> went = seen(ledger.out());
    List<EnergyLedger.Flow> beside = seen(ledger.beside());
    double most = 1e-6;
    for (List<EnergyLedger.Flow> side : List.of(in, went, beside)) {
      for (EnergyLedger.Flow flow : side) {
        most = Math.max(most, flow.kWh());
      }
    }
    int sides = beside.isEmpty() ? 2 : 3;
    int rows = in.size() + went.size() + beside.size();
    Svg svg =
        new Svg(out)
            .open(
                Look.WIDTH, sides * 44 + rows * PITCH + 6, "Energy that came in and where it went");
    double y = side(svg, 0, "Came in", in, most, ledger.totalIn());
    y = side(svg, y, "Went to", went, most, ledger.totalOut());
    if (sides == 3) {
      side(svg, y, "Beside the books", beside, most, Double.NaN);
    }
    svg.close();
  }

  /** Flows that would not read 0.00; the table beside the bars has them all. */
  private static List<EnergyLedger.Flow> seen(List<EnergyLedger.Flow> flows) {
    List<EnergyLedger.Flow> seen = new ArrayList<>();
    for (EnergyLedger.Flow flow : flows) {
      if (Math.abs(flow.kWh()) >= 0.005) {
        seen.add(flow);
      }
    }
    return seen;
  }

  private static double side(
      Svg svg,
      double top,
      String heading,
      List<EnergyLedger.Flow> flows,
      double most,
      double total) {
    svg.text("strong", 0, top + 26, heading);
    double y = top + 38;
    for (EnergyLedger.Flow flow : flows) {
      double width = Math.max(0, flow.kWh()) / most * BAR_WIDTH;
      svg.text("end", BAR_LEFT - 12, y + 17, flow.name());
      String ground = flow.loss() ? "f-rise" : Double.isNaN(total) ? "f-light" : "f-mid";
      svg.rect(ground, BAR_LEFT, y, width, TALL);
      svg.rect("edge", BAR_LEFT, y, width, TALL);
      svg.text("", BAR_LEFT + width + 10, y + 17, amount(flow.kWh(), total));
      y += PITCH;
    }
    svg.line("axis", BAR_LEFT, top + 34, BAR_LEFT, Math.max(top + 38, y - 6));
    return y + 6;
  }

  private static String amount(double kWh, double total) {
    String amount = Num.fixed(kWh, 2) + " kWh";
    return total > 0 ? amount + " · " + share(kWh, total) : amount;
  }

  /** A part of a whole in percent. */
  static String share(double part, double whole) {
    return Num.fixed(100 * part / whole, 1) + " %";
  }
}
