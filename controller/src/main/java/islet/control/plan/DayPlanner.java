package islet.control.plan;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.hipparchus.exception.MathRuntimeException;
import org.hipparchus.optim.MaxIter;
import org.hipparchus.optim.PointValuePair;
import org.hipparchus.optim.linear.LinearConstraint;
import org.hipparchus.optim.linear.LinearConstraintSet;
import org.hipparchus.optim.linear.LinearObjectiveFunction;
import org.hipparchus.optim.linear.NonNegativeConstraint;
import org.hipparchus.optim.linear.PivotSelectionRule;
import org.hipparchus.optim.linear.Relationship;
import org.hipparchus.optim.linear.SimplexSolver;
import org.hipparchus.optim.nonlinear.scalar.GoalType;

/**
 * Solves a day as a linear program with a simplex of the library. Per interval: import m, export x,
 * rectified g and inverted f (AC), battery in c and out d (DC), store e, short of the reserve s.
 *
 * <pre>
 * minimise  sum h (buy m - sell x) + short h s  -  worth e_last
 * panels    m + f = x + g + load
 * sun       0 <= c + f / invertedShare - d - rectifiedShare g <= sun     (the rest is curtailed)
 * store     e = e_before + h (storedShare c - d / givenShare)
 * reserve   e + s >= reserve
 * </pre>
 *
 * <p>Each power has its limit, the store lies between floor and full. Import and export at once, or
 * both ways through a converter or the battery at once, never cost less than their difference
 * alone, since no price is negative, no credit above the price at the same time, and no share above
 * 1; so a plan that does so is as dear as one that does not, and only the difference is told.
 */
public final class DayPlanner {

  private static final int VARIABLES = 8;
  private static final int IMPORT = 0;
  private static final int EXPORT = 1;
  private static final int RECTIFY = 2;
  private static final int INVERT = 3;
  private static final int CHARGE = 4;
  private static final int DISCHARGE = 5;
  private static final int STORED = 6;
  private static final int SHORT = 7;

  /** A plan of a day takes a few hundred steps; who needs so many goes round in circles. */
  private static final int MOST_STEPS = 50_000;

  /** Comparisons of the simplex; results are wanted to a millionth. */
  private static final double EPSILON = 1e-9;

  private static final double CUT_OFF = 1e-11;
  private static final int ULPS = 10;

  private DayPlanner() {}

  /**
   * The cheapest plan.
   *
   * @return empty when the simplex finds none, as with a load beyond all that import and inverter
   *     can bring
   */
  public static Optional<DayPlan> solve(DayProblem problem) {
    try {
      PointValuePair best =
          new SimplexSolver(EPSILON, ULPS, CUT_OFF)
              .optimize(
                  new MaxIter(MOST_STEPS),
                  objective(problem),
                  new LinearConstraintSet(constraints(problem)),
                  GoalType.MINIMIZE,
                  new NonNegativeConstraint(true),
                  PivotSelectionRule.DANTZIG);
      return Optional.of(told(problem, best));
    } catch (MathRuntimeException e) {
      return Optional.empty();
    }
  }

  private static LinearObjectiveFunction objective(DayProblem p) {
    int n = p.intervals();
    double[] cost = new double[n * VARIABLES];
    double shortAt = p.shortPerKWhHour();
    for (int i = 0; i < n; i++) {
      cost[at(i, IMPORT)] = p.hours[i] * p.buyAt(i);
      cost[at(i, EXPORT)] = -p.hours[i] * p.sellAt(i);
      cost[at(i, SHORT)] = p.hours[i] * shortAt;
    }
    cost[at(n - 1, STORED)] = -p.endPerKWh;
    return new LinearObjectiveFunction(cost, 0);
  }

  private static List<LinearConstraint> constraints(DayProblem p) {
    Means m = p.means;
    List<LinearConstraint> rows = new ArrayList<>();
    for (int i = 0; i < p.intervals(); i++) {
      double[] panels = row(p);
      panels[at(i, IMPORT)] = 1;
      panels[at(i, INVERT)] = 1;
      panels[at(i, EXPORT)] = -1;
      panels[at(i, RECTIFY)] = -1;
      rows.add(new LinearConstraint(panels, Relationship.EQ, p.loadKW[i]));
      double[] sun = row(p);
      sun[at(i, CHARGE)] = 1;
      sun[at(i, INVERT)] = 1 / m.invertedShare();
      sun[at(i, DISCHARGE)] = -1;
      sun[at(i, RECTIFY)] = -m.rectifiedShare();
      rows.add(new LinearConstraint(sun, Relationship.GEQ, 0));
      rows.add(new LinearConstraint(sun, Relationship.LEQ, p.sunKW[i]));
      double[] store = row(p);
      store[at(i, STORED)] = 1;
      store[at(i, CHARGE)] = -p.hours[i] * m.storedShare();
      store[at(i, DISCHARGE)] = p.hours[i] / m.givenShare();
      if (i > 0) {
        store[at(i - 1, STORED)] = -1;
      }
      rows.add(new LinearConstraint(store, Relationship.EQ, i > 0 ? 0 : p.storedKWh));
      double[] reserve = row(p);
      reserve[at(i, STORED)] = 1;
      reserve[at(i, SHORT)] = 1;
      rows.add(
          new LinearConstraint(reserve, Relationship.GEQ, Math.min(p.reserveKWh[i], m.fullKWh())));
      // What is already below the floor may stay there, but sinks no further.
      most(rows, p, i, STORED, Relationship.GEQ, Math.min(m.floorKWh(), p.storedKWh));
      most(rows, p, i, STORED, Relationship.LEQ, Math.max(m.fullKWh(), p.storedKWh));
      most(rows, p, i, IMPORT, Relationship.LEQ, m.importKW());
      most(rows, p, i, EXPORT, Relationship.LEQ, p.exportKW[i]);
      most(rows, p, i, RECTIFY, Relationship.LEQ, m.rectifyKW());
      most(rows, p, i, INVERT, Relationship.LEQ, m.invertKW());
      most(rows, p, i, CHARGE, Relationship.LEQ, m.chargeKW());
      most(rows, p, i, DISCHARGE, Relationship.LEQ, m.dischargeKW());
    }
    return rows;
  }

  private static void most(
      List<LinearConstraint> rows,
      DayProblem p,
      int i,
      int variable,
      Relationship relationship,
      double limit) {
    double[] row = row(p);
    row[at(i, variable)] = 1;
    rows.add(new LinearConstraint(row, relationship, limit));
  }

  private static double[] row(DayProblem p) {
    return new double[p.intervals() * VARIABLES];
  }

  private static int at(int interval, int variable) {
    return interval * VARIABLES + variable;
  }

  private static DayPlan told(DayProblem p, PointValuePair best) {
    double[] v = best.getPointRef();
    DayPlan plan = new DayPlan(p.intervals(), best.getValue());
    for (int i = 0; i < p.intervals(); i++) {
      double net = v[at(i, IMPORT)] - v[at(i, EXPORT)];
      plan.importKW[i] = Math.max(0, net);
      plan.exportKW[i] = Math.max(0, -net);
      double inverted = v[at(i, INVERT)] - v[at(i, RECTIFY)];
      plan.invertKW[i] = Math.max(0, inverted);
      plan.rectifyKW[i] = Math.max(0, -inverted);
      plan.chargeKW[i] = v[at(i, CHARGE)];
      plan.dischargeKW[i] = v[at(i, DISCHARGE)];
      plan.storedKWh[i] = v[at(i, STORED)];
      plan.shortKWh[i] = v[at(i, SHORT)];
    }
    return plan;
  }
}
