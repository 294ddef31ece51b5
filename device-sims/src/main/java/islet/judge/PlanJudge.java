package islet.judge;

import islet.control.plan.DayPlan;
import islet.control.plan.DayPlanner;
import islet.control.plan.DayProblem;
import islet.control.plan.Means;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;

/**
 * An independent solver of linear programs as judge of the day plan. It gets the same day in a
 * formulation of its own: not powers in and out of each part, but every flow from a source to a use
 * (sun to battery, sun to panels, battery to panels, utility to battery, what is lost).
 */
public final class PlanJudge {
  /** The program. */
  public static final String PROGRAM = "glpsol";

  private static final String PACKAGE = "glpk-utils";
  private static final long LONGEST_S = 60;

  private PlanJudge() {}

  /**
   * The outcome.
   *
   * @param days compared
   * @param worst the largest distance of the costs, relative to the larger of 1 and the cost
   * @param unplanned days on which one found a plan and the other none
   * @param dearest the largest cost met, in the currency of the random prices
   */
  public record Verdict(int days, double worst, int unplanned, double dearest) {}

  /**
   * Compares random days.
   *
   * @throws MissingProgramException when the solver isn't installed
   * @throws IOException when it fails
   */
  public static Verdict compare(long seed, int days) throws IOException, MissingProgramException {
    Path folder = Files.createTempDirectory("islet-plan");
    try {
      double worst = 0;
      int unplanned = 0;
      double dearest = 0;
      for (int day = 0; day < days; day++) {
        DayProblem problem = RandomDays.day(seed + day);
        double theirs = ask(problem, folder);
        double ours = DayPlanner.solve(problem).map(DayPlan::cost).orElse(Double.NaN);
        if (Double.isNaN(ours) != Double.isNaN(theirs)) {
          unplanned++;
        } else if (!Double.isNaN(ours)) {
          worst = Math.max(worst, Math.abs(ours - theirs) / Math.max(1, Math.abs(theirs)));
          dearest = Math.max(dearest, Math.abs(theirs));
        }
      }
      return new Verdict(days, worst, unplanned, dearest);
    } finally {
      Folders.delete(folder);
    }
  }

  private static double ask(DayProblem problem, Path folder)
      throws IOException, MissingProgramException {
    Files.writeString(folder.resolve("day.lp"), text(problem), StandardCharsets.UTF_8);
    OutsideProgram.run(
        List.of(PROGRAM, "--lp", "day.lp", "--write", "day.sol"), PACKAGE, folder, LONGEST_S);
    for (String line : Files.readAllLines(folder.resolve("day.sol"), StandardCharsets.UTF_8)) {
      if (line.startsWith("s bas ")) {
        String[] words = line.split(" ", -1);
        boolean solved = words[4].equals("f") && words[5].equals("f");
        return solved ? Double.parseDouble(words[6]) : Double.NaN;
      }
    }
    throw new IOException(PROGRAM + " wrote no solution.");
  }

  /** The day as flows, in the text format for linear programs that most solvers read. */
  private static String text(DayProblem p) {
    Means m = p.means;
    int n = p.hours.length;
    StringBuilder cost = new StringBuilder("Minimize\n cost:");
    StringBuilder rows = new StringBuilder("Subject To\n");
    StringBuilder bounds = new StringBuilder("Bounds\n");
    double dearest = 0;
    for (double price : p.importPrice) {
      dearest = Math.max(dearest, price);
    }
    for (int i = 0; i < n; i++) {
      double h = p.hours[i];
      double buy = Math.max(p.importPrice[i], 0);
      double sell = Math.max(0, Math.min(buy, p.exportPrice[i]));
      term(cost, h * buy, "bought" + i);
      term(cost, -h * sell, "sold" + i);
      term(cost, h * (1 + 5 * dearest), "short" + i);
      rows.append(" sun").append(i).append(':');
      rows.append(" sunPanel" + i + " + sunBank" + i + " + sunLost" + i + " = " + say(p.sunKW[i]));
      rows.append("\n load" + i + ": bought" + i + " - gridBank" + i + " + served" + i + " = ");
      rows.append(say(p.loadKW[i])).append("\n out").append(i).append(':');
      term(rows, m.invertedShare(), "sunPanel" + i);
      term(rows, m.invertedShare(), "bankPanel" + i);
      rows.append(" - served" + i + " - sold" + i + " = 0\n inverter" + i + ':');
      term(rows, m.invertedShare(), "sunPanel" + i);
      term(rows, m.invertedShare(), "bankPanel" + i);
      rows.append(" <= " + say(m.invertKW()) + "\n charge" + i + ": sunBank" + i);
      term(rows, m.rectifiedShare(), "gridBank" + i);
      rows.append(" <= " + say(m.chargeKW()) + "\n bank" + i + ": held" + i);
      if (i > 0) {
        rows.append(" - held" + (i - 1));
      }
      term(rows, -h * m.storedShare(), "sunBank" + i);
      term(rows, -h * m.storedShare() * m.rectifiedShare(), "gridBank" + i);
      term(rows, h / m.givenShare(), "bankPanel" + i);
      rows.append(" = " + say(i > 0 ? 0 : p.storedKWh));
      rows.append("\n kept" + i + ": held" + i + " + short" + i + " >= ");
      rows.append(say(Math.min(m.fullKWh(), p.reserveKWh[i]))).append('\n');
      bound(bounds, 0, "bought" + i, m.importKW());
      bound(bounds, 0, "sold" + i, p.exportKW[i]);
      bound(bounds, 0, "gridBank" + i, m.rectifyKW());
      bound(bounds, 0, "bankPanel" + i, m.dischargeKW());
      double least = Math.min(p.storedKWh, m.floorKWh());
      bound(bounds, least, "held" + i, Math.max(p.storedKWh, m.fullKWh()));
    }
    term(cost, -p.endPerKWh, "held" + (n - 1));
    return cost.append('\n').append(rows).append(bounds).append("End\n").toString();
  }

  private static void term(StringBuilder to, double factor, String variable) {
    to.append(factor < 0 ? " - " : " + ")
        .append(say(Math.abs(factor)))
        .append(' ')
        .append(variable);
  }

  private static void bound(StringBuilder to, double least, String variable, double most) {
    to.append(' ' + say(least) + " <= " + variable + " <= " + say(most) + '\n');
  }

  private static String say(double value) {
    return String.format(Locale.ROOT, "%.17g", value);
  }

  /** Random days of all kinds. */
  static final class RandomDays {

    private RandomDays() {}

    static DayProblem day(long seed) {
      SplittableRandom r = new SplittableRandom(seed);
      double full = r.nextInt(5) == 0 ? 0.5 : 5 + 30 * r.nextDouble();
      double floor = full * 0.4 * r.nextDouble();
      double power = 0.5 + 6 * r.nextDouble();
      Means means =
          new Means(
              floor,
              full,
              power,
              power * (0.5 + r.nextDouble()),
              0.85 + 0.15 * r.nextDouble(),
              0.85 + 0.15 * r.nextDouble(),
              0.5 + 4 * r.nextDouble(),
              0.5 + 6 * r.nextDouble(),
              0.85 + 0.15 * r.nextDouble(),
              0.85 + 0.15 * r.nextDouble(),
              // Now and then a service that does not carry the highest load alone.
              r.nextInt(10) == 0 ? 2 + r.nextDouble() : 30);
      int n = 24 + r.nextInt(13);
      DayProblem p = new DayProblem(means, n);
      boolean mayExport = r.nextInt(4) > 0;
      boolean negative = r.nextInt(4) == 0;
      double reserve = full * r.nextDouble();
      p.storedKWh = full * r.nextDouble();
      p.endPerKWh = 0.3 * r.nextDouble();
      double sunny = 6 * r.nextDouble();
      for (int i = 0; i < n; i++) {
        int hour = i % 24;
        p.hours[i] = i == 0 ? 0.1 + 0.9 * r.nextDouble() : 1;
        p.loadKW[i] = 0.2 + 2.5 * r.nextDouble();
        double height = Math.max(0, StrictMath.sin(Math.PI * (hour - 6) / 12));
        p.sunKW[i] = sunny * height * r.nextDouble();
        p.importPrice[i] = 0.05 + 0.4 * r.nextDouble() - (negative && hour < 5 ? 0.2 : 0);
        p.exportPrice[i] = 0.3 * r.nextDouble() - (negative ? 0.1 : 0);
        p.exportKW[i] = mayExport && r.nextInt(6) > 0 ? 5 * r.nextDouble() : 0;
        p.reserveKWh[i] = r.nextInt(8) == 0 ? 0.9 * full : reserve;
      }
      return p;
    }
  }
}
