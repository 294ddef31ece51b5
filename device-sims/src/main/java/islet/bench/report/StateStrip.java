package islet.bench.report;

import islet.bench.Signal;
import islet.bench.Trace;
import islet.contract.ChargeStage;
import islet.contract.InverterState;
import islet.contract.Mode;
import java.util.ArrayList;
import java.util.List;

/** Who was in which state when: one lane each for utility, tie, mode, charge and inverter. */
final class StateStrip {

  /** What a lane may show: a word and its ground. */
  private record State(String word, String ground) {}

  private record Lane(String name, Signal signal, List<State> states) {}

  private static final double TOP = 38;
  private static final double TALL = 34;
  private static final double PITCH = 44;
  private static final double LEGEND_PITCH = 30;
  private static final double THIN = 1.5;
  private static final String DARK = "f-dark";
  private static final String HELD = "f-held";

  private static final List<Lane> LANES =
      List.of(
          new Lane(
              "Utility",
              Signal.UTILITY_LIVE,
              List.of(new State("Dead", "f-rise"), new State("Live", "f-light"))),
          new Lane(
              "Tie",
              Signal.TIE_CLOSED,
              List.of(new State("Open", "f-mid"), new State("Closed", "f-light"))),
          new Lane("Mode", Signal.SUPERVISOR_MODE, modes()),
          new Lane("Charge", Signal.SUPERVISOR_STAGE, stages()),
          new Lane("Inverter", Signal.INVERTER_STATE, inverter()));

  private StateStrip() {}

  private static List<State> modes() {
    List<State> states = new ArrayList<>();
    for (Mode mode : Mode.values()) {
      states.add(new State(Words.of(mode), Words.ground(mode)));
    }
    return states;
  }

  private static List<State> stages() {
    List<State> states = new ArrayList<>();
    for (ChargeStage stage : ChargeStage.values()) {
      states.add(new State(Words.of(stage), Words.ground(stage)));
    }
    return states;
  }

  private static List<State> inverter() {
    List<State> states = new ArrayList<>();
    for (InverterState state : InverterState.values()) {
      states.add(new State(Words.of(state), Words.ground(state)));
    }
    return states;
  }

  /** Draws the strip; {@code alerts} are the hazards' violations. */
  static void draw(StringBuilder out, Trace trace, TimeAxis axis, List<SvgChart.Mark> alerts) {
    double bottom = TOP + LANES.size() * PITCH;
    double legend = bottom + 62;
    Svg svg =
        new Svg(out)
            .open(
                Look.WIDTH,
                legend + 3 * LEGEND_PITCH,
                "State of utility, tie, mode, charge stage and inverter over the run");
    axis.draw(svg, TOP, bottom);
    svg.line("axis", Look.LEFT, bottom, Look.RIGHT, bottom);
    for (int i = 0; i < LANES.size(); i++) {
      lane(svg, LANES.get(i), trace, axis, TOP + i * PITCH);
    }
    SvgChart.marks(svg, axis, alerts, TOP, bottom);
    for (int i = 2; i < LANES.size(); i++) {
      legend(svg, LANES.get(i), legend + (i - 2) * LEGEND_PITCH);
    }
    svg.close();
  }

  private static void lane(Svg svg, Lane lane, Trace trace, TimeAxis axis, double y) {
    boolean first = lane.signal() == Signal.SUPERVISOR_MODE;
    svg.text(first ? "end strong" : "end", Look.LEFT - 8, y + 23, lane.name());
    int begin = Math.max(0, StepPath.rowAt(trace, axis.from()));
    double drawnTo = Double.NEGATIVE_INFINITY;
    double alertedTo = Double.NEGATIVE_INFINITY;
    for (int row = begin; row < trace.rows() && trace.micros(row) <= axis.to(); ) {
      int state = (int) trace.value(row, lane.signal());
      int next = row + 1;
      while (next < trace.rows() && (int) trace.value(next, lane.signal()) == state) {
        next++;
      }
      double x = axis.x(trace.micros(row));
      double end = axis.x(next < trace.rows() ? trace.micros(next) : axis.to());
      if (state >= 0 && state < lane.states().size()) {
        State shown = lane.states().get(state);
        boolean alert = shown.ground().equals(DARK) || shown.ground().equals(HELD);
        // Of several states within one column only the first is seen, except those that matter.
        if (end - x >= THIN || x - drawnTo >= THIN || (alert && x - alertedTo >= THIN)) {
          state(svg, shown, x, y, Math.max(THIN, end - x));
          drawnTo = x;
          alertedTo = alert ? x : alertedTo;
        }
      }
      row = next;
    }
    svg.rect("edge", Look.LEFT, y, Look.PLOT, TALL);
  }

  private static void state(Svg svg, State state, double x, double y, double width) {
    svg.rect(state.ground(), x, y, width, TALL);
    if (width > 6) {
      svg.line("edge", x, y, x, y + TALL);
    }
    if (width >= Look.textWidth(state.word(), 16) + 12) {
      String look = state.ground().equals(DARK) ? "inverse middle strong" : "middle halo";
      svg.text(look, x + width / 2, y + 23, state.word());
    }
  }

  /** Every ground of a lane with its word, for states too short to carry it. */
  private static void legend(Svg svg, Lane lane, double y) {
    svg.text("small end", Look.LEFT - 8, y + 15, lane.name());
    double x = Look.LEFT;
    for (State state : lane.states()) {
      svg.rect(state.ground(), x, y, 24, 20);
      svg.rect("edge", x, y, 24, 20);
      svg.text("small", x + 30, y + 15, state.word());
      x += 46 + Look.textWidth(state.word(), 14);
    }
  }
}
