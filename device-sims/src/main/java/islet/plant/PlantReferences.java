package islet.plant;

import java.time.ZoneOffset;
import java.time.ZonedDateTime;
import java.util.ArrayList;
import java.util.List;
import net.e175.klaus.solarpositioning.SPA;
import net.e175.klaus.solarpositioning.SolarPosition;

/** The published values that the plant's models are held against, worked out when asked. */
public final class PlantReferences {
  private static final String VILLALVA =
      "Villalva, Gazoli, Ruppert Filho, IEEE Trans. Power Electronics 24(5), 2009";
  private static final String JAIN = "Jain, Kapoor, Solar Energy Materials & Solar Cells 81, 2004";
  private static final String REDA = "Reda, Andreas, Solar Energy 76, 2004";
  private static final String HAURWITZ = "Haurwitz, J. Meteorology 2, 1945";
  private static final String ERBS = "Erbs, Klein, Duffie, Solar Energy 28, 1982";
  private static final String NOCT = "NOCT relation, from the definition in IEC 61215";

  /** The paper's own module. */
  private static final ModuleSpec PAPER_MODULE =
      new ModuleSpec(8.21, 32.9, 7.61, 26.3, 54, 0.0032, -0.123, 47);

  private PlantReferences() {}

  /** The module whose datasheet and fit Villalva, Gazoli and Ruppert Filho print. */
  public static ModuleSpec paperModule() {
    return PAPER_MODULE;
  }

  /** All rows, in the order of their numbers. */
  public static List<Row> rows() {
    List<Row> rows = new ArrayList<>();
    singleDiode(rows);
    sun(rows);
    sky(rows);
    cellTemperature(rows);
    rows.addAll(BatteryReferences.rows());
    weighted(rows);
    conversions(rows);
    openSwitch(rows);
    return List.copyOf(rows);
  }

  private static void singleDiode(List<Row> rows) {
    ModuleModel module = new ModuleModel(PAPER_MODULE);
    rows.add(
        new Row("R7", "series resistance", VILLALVA, false, 0.221, module.seriesOhm(), 5e-4, "Ω"));
    rows.add(
        new Row("R7", "shunt resistance", VILLALVA, false, 415.405, module.shuntOhm(), 1.0, "Ω"));
    double peak = module.at(1000, 25).maximumPowerW();
    rows.add(new Row("R7", "maximum power at 25 °C", VILLALVA, false, 200.14, peak, 0.01, "W"));
    double worst = 0;
    for (int g = 50; g <= 1200; g += 50) {
      for (int t = -20; t <= 80; t += 10) {
        SingleDiode curve = module.at(g, t);
        double open = curve.openCircuitV();
        for (int i = 0; i <= 20; i++) {
          double v = open * i / 20;
          // Against a bisection of the implicit equation, which knows no Lambert W.
          worst = Math.max(worst, Math.abs(curve.currentA(v) - bisectedA(curve, v)));
        }
      }
    }
    rows.add(
        new Row(
            "R8",
            "largest difference of explicit current and implicit root",
            JAIN,
            true,
            0,
            worst,
            1e-9,
            "A"));
  }

  private static double bisectedA(SingleDiode curve, double volts) {
    double low = -1;
    double high = curve.photoA() + 1;
    for (int i = 0; i < 80; i++) {
      double middle = 0.5 * (low + high);
      if (curve.residualA(volts, middle) > 0) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return 0.5 * (low + high);
  }

  private static void sun(List<Row> rows) {
    ZonedDateTime time = ZonedDateTime.of(2003, 10, 17, 12, 30, 30, 0, ZoneOffset.ofHours(-7));
    SolarPosition refracted =
        SPA.calculateSolarPosition(time, 39.742476, -105.1786, 1830.14, 67, 820, 11);
    rows.add(
        new Row("R9", "zenith angle", REDA, false, 50.11162, refracted.zenithAngle(), 2e-5, "°"));
    rows.add(new Row("R9", "azimuth", REDA, false, 194.34024, refracted.azimuth(), 2e-5, "°"));
    SolarPosition plain = SPA.calculateSolarPosition(time, 39.742476, -105.1786, 1830.14, 67);
    SunPosition ours = new SunPosition(new Place(39.742476, -105.1786, 1830.14, 0.2));
    ours.turnTo(time.toEpochSecond() * 1_000_000L);
    rows.add(
        new Row(
            "R9",
            "zenith angle as the plant interpolates it, without refraction",
            REDA,
            false,
            plain.zenithAngle(),
            ours.zenithDeg(),
            1e-3,
            "°"));
  }

  private static void sky(List<Row> rows) {
    rows.add(
        new Row(
            "R10",
            "clear sky, sun in the zenith",
            HAURWITZ,
            true,
            1037.164,
            ClearSky.haurwitz(1),
            0.001,
            "W/m²"));
    rows.add(
        new Row(
            "R10",
            "clear sky, zenith angle 60°",
            HAURWITZ,
            true,
            489.850,
            ClearSky.haurwitz(0.5),
            0.001,
            "W/m²"));
    erbs(rows, 0.10, 0.99100);
    erbs(rows, 0.50, 0.65915);
    erbs(rows, 0.80, 0.16527);
    erbs(rows, 0.90, 0.16500);
  }

  private static void erbs(List<Row> rows, double kt, double expected) {
    rows.add(
        new Row(
            "R11",
            "diffuse share at clearness " + kt,
            ERBS,
            true,
            expected,
            ClearSky.erbsDiffuseShare(kt),
            1e-5,
            ""));
  }

  private static void cellTemperature(List<Row> rows) {
    ModuleModel module = new ModuleModel(PAPER_MODULE);
    rows.add(
        new Row(
            "R12",
            "cell at 800 W/m² and 20 °C, NOCT 47 °C",
            NOCT,
            false,
            47,
            module.cellC(800, 20),
            1e-9,
            "°C"));
    rows.add(
        new Row(
            "R12",
            "cell at 1000 W/m² and 25 °C, NOCT 47 °C",
            NOCT,
            false,
            58.75,
            module.cellC(1000, 25),
            1e-9,
            "°C"));
  }

  /** A flat curve, and one of 1 kW that loses 10 W + 2 % + 40 W per (kW)², weighted by hand. */
  private static void weighted(List<Row> rows) {
    LossCurve flat = LossCurve.through(1000, new Efficiency(0.9, 0.9, 0.9), 0);
    LossCurve curved =
        LossCurve.through(1000, new Efficiency(100 / 112.4, 500 / 530.0, 1000 / 1070.0), 10);
    String[] names = {"European", "Californian"};
    String[] sources = {"EN 50530", "CEC inverter test protocol, 2004"};
    double[] byHand = {0.93213780380, 0.93788496024};
    double[] ofFlat = {
      WeightedEfficiency.european(flat, 1000), WeightedEfficiency.californian(flat, 1000)
    };
    double[] ofCurved = {
      WeightedEfficiency.european(curved, 1000), WeightedEfficiency.californian(curved, 1000)
    };
    for (int i = 0; i < names.length; i++) {
      String name = names[i] + " efficiency, ";
      rows.add(new Row("R19", name + "flat curve", sources[i], false, 0.9, ofFlat[i], 1e-12, ""));
      rows.add(
          new Row(
              "R19",
              name + "a curve worked out by hand",
              sources[i],
              false,
              byHand[i],
              ofCurved[i],
              1e-9,
              ""));
    }
  }

  /** An AC-to-DC charger at 90 % and an inverter at 92 %, each with its own loss curve. */
  private static void conversions(List<Row> rows) {
    double out = 500;
    LossCurve inverter = LossCurve.through(1000, new Efficiency(0.85, 0.92, 0.90), 10);
    double between = out + inverter.lossW(out);
    LossCurve charger = LossCurve.through(2 * between, new Efficiency(0.82, 0.90, 0.88), 10);
    double in = between + charger.lossW(between);
    rows.add(
        new Row(
            "R20",
            "two conversions in series, 0.90 and 0.92",
            "arithmetic",
            false,
            0.828,
            out / in,
            1e-9,
            ""));
  }

  private static void openSwitch(List<Row> rows) {
    rows.add(
        new Row(
            "R21",
            "voltage across an open switch, both sides 1 pu, 20° apart",
            "textbook: 2·V·sin(δ/2)",
            false,
            0.347296,
            Plant.acrossOpenSwitchPu(1, 1, StrictMath.toRadians(20)),
            1e-6,
            "pu"));
  }
}
