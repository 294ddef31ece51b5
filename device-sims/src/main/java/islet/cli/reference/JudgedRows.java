package islet.cli.reference;

import islet.judge.BusJudge;
import islet.judge.MissingProgramException;
import islet.judge.PlanJudge;
import islet.judge.SunJudge;
import islet.plant.ModuleSpec;
import islet.plant.Place;
import islet.plant.PvSpec;
import islet.plant.Row;
import islet.site.Site;
import islet.site.SiteReader;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/**
 * Checks R23, R24 and R25: an outside program is asked now. Nothing is remembered from an earlier
 * answer; where the program is missing, the row is not run.
 */
final class JudgedRows {
  private static final String SIMULATOR = "ngspice, a general circuit simulator";
  private static final String SCRIPT = "a script in Python with formulas of its own";
  private static final String SOLVER = "glpsol, an independent solver of linear programs";
  private static final int DAYS = 50;
  private static final int DRAWS = 260;
  private static final long FIRST_SEED = 1;

  /** The pair that Villalva, Gazoli, Ruppert Filho 2009 print for the module of the demo. */
  private static final double SERIES_OHM = 0.221;

  private static final double SHUNT_OHM = 415.405;

  private JudgedRows() {}

  static List<Row> rows(Path config) throws IOException {
    List<Row> rows = new ArrayList<>(bus());
    rows.addAll(sun(config));
    rows.addAll(plan());
    return rows;
  }

  private static List<Row> plan() throws IOException {
    double none = Double.NaN;
    try {
      PlanJudge.Verdict verdict = PlanJudge.compare(FIRST_SEED, DAYS);
      return plan(verdict.worst(), verdict.unplanned());
    } catch (MissingProgramException e) {
      return plan(none, none).stream().map(row -> row.notRun(e.why())).toList();
    }
  }

  private static List<Row> plan(double worst, double unplanned) {
    return List.of(
        new Row(
            "R23",
            "largest difference of cost from the optimum, " + DAYS + " random days, relative",
            SOLVER,
            false,
            0,
            worst,
            1e-6,
            ""),
        new Row("R23", "days on which only one finds a plan", SOLVER, false, 0, unplanned, 0, ""));
  }

  private static List<Row> bus() throws IOException {
    double none = Double.NaN;
    try {
      BusJudge.Verdict verdict = BusJudge.compare(FIRST_SEED, DRAWS);
      return bus(
          verdict.voltage().share() * 100, verdict.current().share() * 100, verdict.undecided());
    } catch (MissingProgramException e) {
      return bus(none, none, none).stream().map(row -> row.notRun(e.why())).toList();
    }
  }

  private static List<Row> bus(double volts, double amps, double undecided) {
    return List.of(
        new Row(
            "R24",
            "largest difference of DC bus and terminal voltages, operating points of "
                + DRAWS
                + " random circuits",
            SIMULATOR,
            false,
            0,
            volts,
            0.1,
            "%"),
        new Row(
            "R24",
            "largest difference of DC branch currents, the same circuits",
            SIMULATOR,
            false,
            0,
            amps,
            0.1,
            "%"),
        new Row("R24", "circuits left undecided", SIMULATOR, false, 0, undecided, 0, ""));
  }

  private static List<Row> sun(Path config) throws IOException {
    double none = Double.NaN;
    Site site = SiteReader.read(config.resolve("sites/ferry-landing.yaml"));
    Place place =
        new Place(
            site.place().latitudeDeg(),
            site.place().longitudeDeg(),
            site.place().altitudeM(),
            site.place().albedo());
    try {
      SunJudge.Verdict verdict =
          SunJudge.compare(
              array(site),
              place,
              SERIES_OHM,
              SHUNT_OHM,
              config.resolve("weather/chicago-ohare-tmy3.epw"));
      return sun(verdict.irradiationShare() * 100, verdict.energyShare() * 100);
    } catch (MissingProgramException e) {
      return sun(none, none).stream().map(row -> row.notRun(e.why())).toList();
    }
  }

  private static List<Row> sun(double irradiation, double energy) {
    return List.of(
        new Row(
            "R25",
            "difference of a year's irradiation in the demo array's plane",
            SCRIPT,
            false,
            0,
            irradiation,
            0.5,
            "%"),
        new Row(
            "R25",
            "difference of a year's energy at its maximum power point",
            SCRIPT,
            false,
            0,
            energy,
            0.5,
            "%"));
  }

  private static PvSpec array(Site site) {
    Site.Module m = site.pv().module();
    return new PvSpec(
        new ModuleSpec(
            m.iscA(), m.vocV(), m.impA(), m.vmpV(), m.cells(), m.kiAPerK(), m.kvVPerK(), m.noctC()),
        site.pv().series(),
        site.pv().parallel(),
        site.pv().tiltDeg(),
        site.pv().azimuthDeg());
  }
}
