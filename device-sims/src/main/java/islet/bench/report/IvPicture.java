package islet.bench.report;

import islet.plant.IvCurve;
import islet.plant.ModuleModel;
import islet.plant.ModuleSpec;

/**
 * A module's current-voltage curves at four irradiances, each with its maximum power point, and the
 * voltage at which a PWM regulator works it on a 12 V bank.
 */
public final class IvPicture {
  private static final double TOP = 44;
  private static final double BOTTOM = 430;
  private static final double HEIGHT = 500;
  private static final double CELL_C = 25;
  private static final int STEPS = 160;
  private static final double[] IRRADIANCES = {1000, 800, 500, 200};

  /**
   * A 12 V lead-acid bank that is charged, and a switch's drop: 13.2 V + 0.4 V, common practice.
   */
  private static final double PWM_V = 13.6;

  private final ModuleModel module;
  private final Scale volts;
  private final Scale amps;

  private IvPicture(ModuleSpec spec) {
    module = new ModuleModel(spec);
    volts = Scale.covering(0, spec.vocV(), Look.LEFT, Look.RIGHT);
    amps = Scale.covering(0, spec.iscA(), TOP, BOTTOM);
  }

  /** The drawing, standing alone. */
  public static String svg(ModuleSpec module) {
    return new IvPicture(module).draw();
  }

  private double x(double value) {
    return Look.LEFT + (value - volts.low()) / (volts.high() - volts.low()) * Look.PLOT;
  }

  private String draw() {
    StringBuilder out = new StringBuilder();
    Svg svg =
        new Svg(out)
            .openAlone(
                Look.WIDTH,
                HEIGHT,
                "Current of a module over its voltage at 25 °C and four irradiances, with the"
                    + " maximum power points");
    for (double value : amps.ticks()) {
      svg.line(value == 0 ? "axis" : "grid", Look.LEFT, amps.y(value), Look.RIGHT, amps.y(value));
      svg.text("end", Look.LEFT - 8, amps.y(value) + 5.5, Num.tick(value, amps.step()));
    }
    for (double value = 0; value <= volts.high() + 1e-9; value += 5) {
      svg.line(value == 0 ? "axis" : "grid", x(value), TOP, x(value), BOTTOM);
      svg.text("middle", x(value), BOTTOM + 22, Num.tick(value, 5));
    }
    svg.text("small end", Look.LEFT - 8, TOP - 16, "A");
    svg.text("small middle", Look.LEFT + Look.PLOT / 2, BOTTOM + 46, "Voltage, V");
    svg.line("l5", x(PWM_V), TOP, x(PWM_V), BOTTOM);
    svg.text("small middle", x(PWM_V), TOP - 10, "12 V bank, PWM regulator");
    for (double irradiance : IRRADIANCES) {
      curve(svg, IvCurve.of(module, irradiance, CELL_C, STEPS), irradiance);
    }
    svg.close();
    return out.toString();
  }

  private void curve(Svg svg, IvCurve curve, double irradiance) {
    PathData path = new PathData();
    for (int i = 0; i < curve.points().size(); i++) {
      IvCurve.Point p = curve.points().get(i);
      if (i == 0) {
        path.move(x(p.volts()), amps.y(p.amps()));
      } else {
        path.line(x(p.volts()), amps.y(p.amps()));
      }
    }
    svg.path("l0", path.toString());
    svg.text(
        "small halo",
        x(0) + 12,
        amps.y(curve.shortCircuitA()) + 20,
        Num.fixed(irradiance, 0) + " W/m²");
    IvCurve.Point best = curve.maximumPower();
    svg.circle("dot", x(best.volts()), amps.y(best.amps()), 5);
    svg.text(
        "small end halo",
        x(best.volts()) - 6,
        amps.y(best.amps()) + 22,
        Num.fixed(best.watts(), 1) + " W at " + Num.fixed(best.volts(), 1) + " V");
  }
}
