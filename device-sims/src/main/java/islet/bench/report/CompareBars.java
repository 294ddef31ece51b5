package islet.bench.report;

import islet.bench.RunResult.Entry;
import islet.bench.compare.Column;
import java.util.ArrayList;
import java.util.List;

/**
 * For each run two stacked bars on one scale: where its energy came from and where it went. Then
 * one of what it cost. Grounds differ by tone and hatch, so that they are told apart without
 * colour.
 */
final class CompareBars {

  private static final double LEFT = 100;
  private static final double WIDTH = 850;

  /** A line of its own for a run's name: shortened names of two runs may be the same. */
  private static final double NAME = 26;

  private static final double TALL = 24;
  private static final double KEY_PITCH = 26;
  private static final int KEYS_A_LINE = 4;

  /** A part of a bar. */
  private record Part(String name, String ground, double amount) {}

  private record Bar(String name, String remark, List<Part> parts, String after) {
    double length() {
      double length = 0;
      for (Part part : parts) {
        length += Math.max(0, part.amount());
      }
      return length;
    }
  }

  private CompareBars() {}

  /** Where every kWh came from and went, by the books that close at meter and array. */
  static void energy(StringBuilder out, List<Column> columns) {
    List<Bar> bars = new ArrayList<>();
    for (Column column : columns) {
      EnergyLedger ledger = EnergyLedger.of(column.result().energy());
      bars.add(new Bar(column.label(), "came from", parts(ledger.in(), false), ""));
      bars.add(new Bar("", "went to", parts(ledger.out(), true), ""));
    }
    draw(out, bars, 2, "kWh", 1, "Where the energy of each run came from and went");
  }

  private static List<Part> parts(List<EnergyLedger.Flow> flows, boolean outward) {
    List<Part> parts = new ArrayList<>();
    double losses = 0;
    for (EnergyLedger.Flow flow : flows) {
      if (flow.loss()) {
        losses += flow.kWh();
      } else {
        parts.add(new Part(flow.name(), ground(flow.name(), outward), flow.kWh()));
      }
    }
    if (outward) {
      parts.add(new Part("Losses", "f-rise", losses));
    }
    return parts;
  }

  private static String ground(String name, boolean outward) {
    if (name.startsWith("Battery")) {
      return "f-dots";
    }
    if (name.startsWith("Utility")) {
      return outward ? "f-bars" : "f-fall";
    }
    return name.startsWith("Critical") || name.startsWith("PV") ? "f-mid" : "f-light";
  }

  /** What each run cost: what is owed, and below it what is credited. */
  static void cost(StringBuilder out, List<Column> columns, String currency) {
    List<Bar> bars = new ArrayList<>();
    for (Column column : columns) {
      List<Entry> cost = column.result().cost();
      if (cost.isEmpty()) {
        continue;
      }
      bars.add(
          new Bar(
              column.label(),
              "owed",
              List.of(
                  new Part("Energy", "f-mid", value(cost, "import_" + currency)),
                  new Part("Demand", "f-fall", value(cost, "demand_" + currency)),
                  new Part("Standing", "f-light", value(cost, "standing_" + currency))),
              ""));
      bars.add(
          new Bar(
              "",
              "credited",
              List.of(
                  new Part("Export credit", "f-bars", value(cost, "export_credit_" + currency))),
              ", leaves " + Num.fixed(value(cost, "total_" + currency), 2) + " " + currency));
    }
    draw(out, bars, 2, currency, 2, "What each run cost");
  }

  private static double value(List<Entry> entries, String name) {
    for (Entry entry : entries) {
      if (entry.name().equals(name)) {
        return entry.value();
      }
    }
    return 0;
  }

  private static void draw(
      StringBuilder out, List<Bar> bars, int aRun, String unit, int decimals, String label) {
    double most = 1e-6;
    for (Bar bar : bars) {
      most = Math.max(most, bar.length());
    }
    List<Part> keys = keys(bars);
    double keyLines = Math.ceil(keys.size() / (double) KEYS_A_LINE);
    double top = keyLines * KEY_PITCH + 14;
    double pitch = NAME + aRun * (TALL + 4) + 16;
    double height = top + bars.size() / (double) aRun * pitch;
    Svg svg = new Svg(out).open(Look.WIDTH, height, label);
    for (int i = 0; i < keys.size(); i++) {
      double x = i % KEYS_A_LINE * (Look.WIDTH / KEYS_A_LINE);
      double y = Math.floor(i / (double) KEYS_A_LINE) * KEY_PITCH + 4;
      svg.rect(keys.get(i).ground(), x, y, 26, 16).rect("edge", x, y, 26, 16);
      svg.text("", x + 34, y + 14, keys.get(i).name());
    }
    for (int i = 0; i < bars.size(); i++) {
      double y = top + NAME + Math.floor(i / (double) aRun) * pitch + i % aRun * (TALL + 4);
      bar(svg, bars.get(i), y, WIDTH / most, unit, decimals);
    }
    for (double run = 0; run < bars.size() / (double) aRun; run++) {
      double from = top + NAME + run * pitch;
      svg.line("axis", LEFT, from - 4, LEFT, from + aRun * (TALL + 4));
    }
    svg.close();
  }

  /** Each ground once; a part that no bar shows needs no key. */
  private static List<Part> keys(List<Bar> bars) {
    List<Part> keys = new ArrayList<>();
    for (Bar bar : bars) {
      for (Part part : bar.parts()) {
        boolean known = keys.stream().anyMatch(key -> key.name().equals(part.name()));
        if (!known && Math.abs(part.amount()) >= 0.005) {
          keys.add(part);
        }
      }
    }
    return keys;
  }

  private static void bar(Svg svg, Bar bar, double y, double scale, String unit, int decimals) {
    if (!bar.name().isEmpty()) {
      svg.text("strong", 0, y - 8, bar.name());
    }
    svg.text("small end", LEFT - 10, y + 17, bar.remark());
    double x = LEFT;
    for (Part part : bar.parts()) {
      double width = Math.max(0, part.amount()) * scale;
      svg.rect(part.ground(), x, y, width, TALL).rect("edge", x, y, width, TALL);
      x += width;
    }
    svg.text("", x + 8, y + 17, Num.fixed(bar.length(), decimals) + " " + unit + bar.after());
  }
}
