package islet.cli.reference;

import islet.plant.Efficiency;
import islet.plant.LossCurve;
import islet.plant.Row;
import islet.plant.WeightedEfficiency;
import islet.site.Site;
import islet.site.SiteReader;
import java.nio.file.Path;
import java.util.List;

/** Check R19 on the demo site's inverter. */
final class InverterRows {

  /**
   * Loss as the parabola through 400 W at 90 %, 2 kW at 94 % and 4 kW at 91 %, weighted by hand in
   * exact fractions.
   */
  private static final double EUROPEAN = 0.92808135484;

  private static final double CALIFORNIAN = 0.92988743345;

  private InverterRows() {}

  static List<Row> rows(Path config) {
    Site.Inverter inverter = SiteReader.read(config.resolve("sites/ferry-landing.yaml")).inverter();
    double rated = inverter.ratedW();
    Site.Efficiency e = inverter.efficiency();
    LossCurve losses =
        LossCurve.through(rated, new Efficiency(e.at10(), e.at50(), e.at100()), inverter.idleW());
    return List.of(
        row("European", "EN 50530", EUROPEAN, WeightedEfficiency.european(losses, rated)),
        row(
            "Californian",
            "CEC inverter test protocol, 2004",
            CALIFORNIAN,
            WeightedEfficiency.californian(losses, rated)));
  }

  private static Row row(String name, String source, double expected, double computed) {
    return new Row(
        "R19",
        name + " efficiency of the ferry landing's inverter",
        source + ": weights; the curve by hand",
        false,
        expected,
        computed,
        1e-9,
        "");
  }
}
