package islet.bench.report;

import islet.bench.RunRecord;
import islet.bench.Signal;
import islet.bench.Trace;
import islet.site.Site;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Pictures of a run that stand alone in a file, for documents: the whole run on one time axis, and
 * a transfer in milliseconds. Same trace, same bytes.
 */
public final class RunPicture {

  private static final double CAPTION = 34;
  private static final double TEXT_DOWN = 24;
  private static final double GAP = 10;
  private static final Pattern SIZE = Pattern.compile("viewBox=\"0 0 \\S+ (\\S+)\"");

  private final List<String> captions = new ArrayList<>();
  private final List<String> drawings = new ArrayList<>();

  private RunPicture() {}

  /**
   * States, emergency panel's voltage, state of charge and powers over the whole run.
   *
   * @param fromMicros start of the run, microseconds since 1970
   * @param toMicros its end
   * @param title says in words what the picture shows
   */
  public static String run(Trace trace, Site site, long fromMicros, long toMicros, String title) {
    CivilTime time = new CivilTime(site.place().zone(), fromMicros, toMicros);
    TimeAxis axis = TimeAxis.civil(time, fromMicros, toMicros);
    RunPicture picture = new RunPicture();
    StringBuilder states = new StringBuilder();
    StateStrip.draw(states, trace, axis, List.of());
    picture.add("States", states);
    picture.chart(
        "Emergency panel, per unit of nominal voltage",
        new SvgChart(trace, axis, "pu", 130)
            .showing(0, 1.1)
            .limit("90 %", 0.9)
            .line("Voltage", "l0", Quantity.of(Signal.CRITICAL_VOLTAGE)));
    picture.chart(
        "State of charge",
        new SvgChart(trace, axis, "%", 130)
            .showing(0, 100)
            .line("Reserve", "l2", Quantity.of(Signal.SUPERVISOR_RESERVE, 100))
            .line("Charge", "l0", Quantity.of(Signal.BATTERY_SOC, 100)));
    picture.chart(
        "Powers: utility + import, inverter + into the panels",
        new SvgChart(trace, axis, "W", 200)
            .showing(0, 0)
            .line("Inverter, AC", "l3", Quantity.of(Signal.INVERTER_POWER))
            .line("PV", "l1", Quantity.of(Signal.PV_POWER))
            .line("Critical", "l2", Quantity.of(Signal.CRITICAL_POWER))
            .line("Utility", "l0", Quantity.of(Signal.PCC_POWER)));
    return picture.text(title);
  }

  /**
   * Voltages around an instant, in milliseconds from it.
   *
   * @param zeroMicros the instant, microseconds since 1970
   * @param beforeMicros how much is shown before it
   * @param afterMicros and after it
   */
  public static String transfer(
      Trace trace, long zeroMicros, long beforeMicros, long afterMicros, String title) {
    TimeAxis axis =
        TimeAxis.milliseconds(zeroMicros, zeroMicros - beforeMicros, zeroMicros + afterMicros);
    RunPicture picture = new RunPicture();
    picture.chart(
        "Voltages, per unit of nominal",
        new SvgChart(trace, axis, "pu", 230)
            .showing(0, 1.1)
            .limit("90 %", 0.9)
            .line("Utility", "l3", Quantity.of(Signal.UTILITY_VOLTAGE))
            .line("Emergency panel", "l0", Quantity.of(Signal.CRITICAL_VOLTAGE)));
    return picture.text(title);
  }

  /**
   * One chart of a lesson's picture.
   *
   * @param caption what it shows
   * @param run whose trace
   * @param unit of all lines
   * @param low the axis holds at least this value
   * @param high and this one
   * @param lines at most four, in their order of look
   */
  public record Panel(
      String caption, RunRecord run, String unit, double low, double high, List<Line> lines) {
    public Panel {
      lines = List.copyOf(lines);
    }
  }

  /**
   * A line of a chart.
   *
   * @param factor from the signal's unit to the chart's
   */
  public record Line(String name, Signal signal, double factor) {}

  /** Charts of one run or of several, one below the other, each over its whole run. */
  public static String panels(String title, List<Panel> panels) {
    RunPicture picture = new RunPicture();
    for (Panel panel : panels) {
      RunRecord run = panel.run();
      long from = run.startMicros();
      long to = CivilTime.end(run);
      CivilTime time = new CivilTime(run.site().place().zone(), from, to);
      SvgChart chart =
          new SvgChart(run.trace(), TimeAxis.civil(time, from, to), panel.unit(), 150)
              .showing(panel.low(), panel.high());
      for (int i = 0; i < panel.lines().size(); i++) {
        Line line = panel.lines().get(i);
        chart.line(line.name(), "l" + i, Quantity.of(line.signal(), line.factor()));
      }
      picture.chart(panel.caption(), chart);
    }
    return picture.text(title);
  }

  private void chart(String caption, SvgChart chart) {
    StringBuilder out = new StringBuilder();
    chart.draw(out, caption);
    add(caption, out);
  }

  private void add(String caption, CharSequence drawing) {
    captions.add(caption);
    drawings.add(drawing.toString());
  }

  /** All drawings in one file, one below the other. */
  private String text(String title) {
    double height = GAP;
    for (String drawing : drawings) {
      height += CAPTION + height(drawing) + GAP;
    }
    StringBuilder out = new StringBuilder();
    Svg svg = new Svg(out).openAlone(Look.WIDTH, height, title);
    double y = GAP;
    for (int i = 0; i < drawings.size(); i++) {
      svg.text("strong", Look.LEFT, y + TEXT_DOWN, captions.get(i));
      y += CAPTION;
      place(out, drawings.get(i), y);
      y += height(drawings.get(i)) + GAP;
    }
    svg.close();
    return out.toString();
  }

  /** Puts a drawing at a height, in its own size. */
  private static void place(StringBuilder out, String drawing, double y) {
    out.append("<svg y=\"");
    Num.coordinate(out, y).append("\" width=\"");
    Num.coordinate(out, Look.WIDTH).append("\" height=\"");
    Num.coordinate(out, height(drawing)).append('"');
    out.append(drawing, "<svg".length(), drawing.length());
  }

  private static double height(String drawing) {
    Matcher size = SIZE.matcher(drawing);
    if (!size.find()) {
      throw new IllegalArgumentException("a drawing does not state its size");
    }
    return Double.parseDouble(size.group(1));
  }
}
