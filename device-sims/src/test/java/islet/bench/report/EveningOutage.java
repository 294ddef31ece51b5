package islet.bench.report;

import islet.bench.EventLog;
import islet.bench.RunRecord;
import islet.bench.RunResult;
import islet.bench.RunResult.Outcome;
import islet.bench.Sample;
import islet.bench.Signal;
import islet.bench.Trace;
import islet.bench.VoltageExcursion;
import islet.contract.AlarmId;
import islet.contract.ChargeStage;
import islet.contract.InverterState;
import islet.contract.Mode;
import islet.site.GridProfile;
import islet.site.Site;
import islet.site.Tariff;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * A made-up run to draw: a winter's afternoon at the ferry landing, the utility gone from 17:00 to
 * 20:00, a sag at 21:00. Plausible in shape, computed by no plant.
 */
final class EveningOutage {

  static final ZoneId ZONE = ZoneId.of("America/Chicago");
  static final long START =
      LocalDateTime.of(2026, 1, 14, 15, 0).atZone(ZONE).toEpochSecond() * 1_000_000L;
  static final double HOURS = 9;

  private static final long SECOND = 1_000_000L;
  private static final long OUTAGE = 2 * 3600 * SECOND;
  private static final long OPEN = OUTAGE + 12_000;
  private static final long FORMED = OUTAGE + 17_000;
  private static final long BACK = 5 * 3600 * SECOND;
  private static final long SYNCHRONISING = BACK + 302 * SECOND;
  private static final long CLOSED = SYNCHRONISING + 6_408_000;
  private static final long SAG = 6 * 3600 * SECOND;
  private static final long SAG_END = SAG + 400_000;

  private EveningOutage() {}

  /** A run in which all went well. */
  static RunRecord good() {
    return data(true, "Evening outage at the ferry landing", "title: Evening outage\nseed: 7\n");
  }

  /** The same evening with a tie that stays shut and a supervisor that gives up. */
  static RunRecord bad() {
    return data(
        false, "Evening outage, tie welded", "title: Evening outage, tie welded\nseed: 7\n");
  }

  /** The same evening under a title and a scenario of one's own. */
  static RunRecord named(String title, String yaml) {
    return data(true, title, yaml);
  }

  private static RunRecord data(boolean good, String title, String yaml) {
    return new RunRecord(
        result(good, title), trace(good), events(good), site(), START, yaml, excursions(good));
  }

  static Trace trace(boolean good) {
    List<Long> instants = new ArrayList<>();
    for (long at = 0; at <= Math.round(HOURS * 3600) * SECOND; at += 10 * SECOND) {
      instants.add(at);
    }
    for (long event :
        new long[] {OUTAGE, OPEN, FORMED, BACK, SYNCHRONISING, CLOSED, SAG, SAG_END}) {
      for (long around = -20_000; around <= 40_000; around += 1000) {
        instants.add(event + around);
      }
    }
    instants.sort(null);
    Trace trace = new Trace();
    Sample sample = new Sample();
    for (long at : instants) {
      fill(sample, at, good);
      trace.add(sample);
    }
    return trace;
  }

  private static void fill(Sample sample, long at, boolean good) {
    double hour = at / 3.6e9;
    boolean live = at < OUTAGE || at >= BACK;
    boolean closed = !good || at < OPEN || at >= CLOSED;
    boolean forming = good && at >= FORMED && at < CLOSED;
    double sag = at >= SAG && at < SAG_END ? 0.62 : 1;
    double pu = live ? (0.995 + 0.008 * StrictMath.sin(hour * 3)) * sag : 0;
    double critical = closed ? pu : forming ? (at < FORMED + 6000 ? 0.94 : 1.0) : 0;
    sample.at(START + at);
    sample.set(Signal.UTILITY_VOLTAGE, pu);
    sample.set(Signal.UTILITY_FREQUENCY, live ? 60.0 : Double.NaN);
    sample.set(Signal.UTILITY_LIVE, live);
    sample.set(Signal.MAIN_VOLTAGE, pu * 0.99);
    sample.set(Signal.CRITICAL_VOLTAGE, critical);
    sample.set(Signal.TIE_CLOSED, closed);
    double sun = Math.max(0, 1900 * StrictMath.cos((hour + 1.5) / 3.25 * Math.PI / 2));
    sun = hour > 1.75 ? 0 : sun * (0.8 + 0.2 * StrictMath.sin(hour * 40));
    double taken = Math.min(sun, 1150);
    boolean fridge = at / SECOND % 2400 < 900;
    double loads = critical > 0.5 ? 340 + (fridge ? 130 : 0) + (hour > 2.5 ? 90 : 0) : 0;
    double rest = live ? 900 + 350 * StrictMath.sin(hour * 1.7) + (hour > 3 ? 250 : 0) : 0;
    boolean island = good && !(closed && live);
    double charge = island ? taken - loads * 1.07 : Math.min(taken, 500);
    double inverter = island ? loads : taken - charge;
    double soc =
        0.85
            + 0.01 * Math.min(hour, 2)
            - (good ? 0.062 * Math.max(0, Math.min(hour, 5.08) - 2) : 0)
            + 0.012 * Math.max(0, hour - 5.08);
    double volts = 50.4 + 3.2 * (soc - 0.5) + charge / 48 * 0.035 + (hour < 1.6 ? 3.4 : 0);
    sample.set(Signal.CRITICAL_POWER, loads);
    sample.set(Signal.NONCRITICAL_POWER, rest);
    sample.set(Signal.PCC_POWER, live && closed ? loads + rest - inverter : live ? rest : 0);
    sample.set(Signal.PV_AVAILABLE, sun);
    sample.set(Signal.PV_POWER, taken);
    sample.set(Signal.INVERTER_POWER, inverter);
    sample.set(Signal.BATTERY_CURRENT, charge / volts);
    sample.set(Signal.BATTERY_VOLTAGE, volts);
    sample.set(Signal.BUS_VOLTAGE, volts + charge / volts * 0.02);
    sample.set(Signal.BATTERY_SOC, soc);
    sample.set(Signal.BATTERY_TEMPERATURE, 18);
    sample.set(Signal.SUPERVISOR_SOC, soc);
    sample.set(Signal.SUPERVISOR_VOLTAGE_SOC, soc - (island ? 0.15 : 0));
    sample.set(Signal.SUPERVISOR_RESERVE, hour > 2 && hour < 7 ? 0.6 : 0.5);
    ChargeStage stage =
        hour < 0.9
            ? ChargeStage.BULK
            : hour < 1.6 ? ChargeStage.ABSORPTION : island ? ChargeStage.OFF : ChargeStage.FLOAT;
    sample.set(Signal.REGULATOR_STAGE, stage);
    sample.set(Signal.SUPERVISOR_STAGE, stage);
    sample.set(
        Signal.INVERTER_STATE,
        forming
            ? at >= SYNCHRONISING ? InverterState.SYNCHRONISING : InverterState.FORMING
            : !good && at >= OUTAGE + 400_000 && at < BACK
                ? InverterState.FAULT
                : InverterState.FOLLOWING);
    sample.set(Signal.SUPERVISOR_MODE, mode(at, good));
    sample.set(Signal.PRICE_IMPORT, hour > 2 && hour < 6 ? 0.31 : 0.14);
    sample.set(Signal.PRICE_EXPORT, 0.04);
  }

  private static Mode mode(long at, boolean good) {
    if (at < 2 * SECOND) {
      return Mode.STARTING;
    }
    if (at < OUTAGE + 100_000) {
      return Mode.GRID_PRESENT;
    }
    if (!good) {
      return at < OUTAGE + 2 * SECOND ? Mode.ISLANDING : at < BACK ? Mode.DARK : Mode.HELD;
    }
    if (at < OUTAGE + 200_000) {
      return Mode.ISLANDING;
    }
    return at < SYNCHRONISING ? Mode.ISLANDED : at < CLOSED ? Mode.RECONNECTING : Mode.GRID_PRESENT;
  }

  private static EventLog events(boolean good) {
    EventLog log = new EventLog();
    log.add(
        START + 2 * SECOND,
        "supervisor",
        "mode",
        "STARTING",
        "GRID_PRESENT",
        "tie closed, utility qualified");
    log.add(START + OUTAGE, "utility", "source", "live", "dead", "outage for 3 h");
    if (good) {
      log.add(START + OUTAGE + 4000, "tie", "trip", "NONE", "LOSS", "below 0.5 pu for 4 ms");
      log.add(START + OPEN, "tie", "contact", "closed", "open", "");
      log.add(START + FORMED, "inverter", "state", "FOLLOWING", "FORMING", "tie proven open");
      log.add(
          START + OUTAGE + 100_000,
          "supervisor",
          "mode",
          "GRID_PRESENT",
          "ISLANDING",
          "the utility is gone");
      log.add(
          START + OUTAGE + 200_000,
          "supervisor",
          "mode",
          "ISLANDING",
          "ISLANDED",
          "tie proven open, inverter forming");
      log.add(START + BACK, "utility", "source", "dead", "live", "outage over");
      log.add(
          START + SYNCHRONISING,
          "supervisor",
          "mode",
          "ISLANDED",
          "RECONNECTING",
          "qualified for 300 s");
      log.add(START + CLOSED, "tie", "contact", "open", "closed", "0.4 % 0.02 Hz 3.1°");
      log.add(START + CLOSED, "inverter", "state", "SYNCHRONISING", "FOLLOWING", "");
      log.add(
          START + CLOSED + 50_000,
          "supervisor",
          "mode",
          "RECONNECTING",
          "GRID_PRESENT",
          "tie proven closed");
    } else {
      log.add(START + OUTAGE, "tie", "fault", "", "tie-welded", "injected");
      log.add(START + OUTAGE + 400_000, "inverter", "state", "FOLLOWING", "FAULT", "UTILITY");
      log.add(
          START + OUTAGE + 2 * SECOND,
          "supervisor",
          "mode",
          "ISLANDING",
          "DARK",
          "the tie did not open in 2 s");
    }
    log.add(START + SAG, "utility", "voltage", "1.00 pu", "0.62 pu", "sag for 0.4 s");
    log.add(START + SAG_END, "utility", "voltage", "0.62 pu", "1.00 pu", "sag over");
    return log;
  }

  private static List<VoltageExcursion> excursions(boolean good) {
    long outage = START + OUTAGE;
    long sag = START + SAG;
    return good
        ? List.of(
            new VoltageExcursion(outage, 0.017, 0, true, "until the inverter carried the panel"),
            new VoltageExcursion(
                sag, 0.4, 0.62, false, "the site rides sags through: the grid code is the bound"))
        : List.of(
            new VoltageExcursion(outage, 10_800, 0, false, "no island: the tie did not open"),
            new VoltageExcursion(sag, 0.4, 0.62, false, "no healthy path"));
  }

  private static RunResult result(boolean good, String title) {
    List<RunResult.HazardVerdict> hazards = new ArrayList<>();
    double outage = OUTAGE / 1e6;
    if (good) {
      hazards.add(
          hazard(
              "backfeed",
              "Energising a dead utility",
              Outcome.PASS,
              1.998,
              "s",
              outage,
              "Ours was on the dead line for 2 ms; allowed are 2 s."));
    } else {
      hazards.add(
          hazard(
              "backfeed",
              "Energising a dead utility",
              Outcome.FAIL,
              -0.41,
              "s",
              outage + 2,
              "The tie stayed closed and the inverter fed the dead line for 2.41 s."));
    }
    hazards.add(
        hazard(
            "out-of-sync-close",
            "Closing out of step",
            Outcome.PASS,
            good ? 16.9 : 0,
            "°",
            good ? CLOSED / 1e6 : -1,
            good ? "Closed at 3.1° with 20° allowed." : "The tie never closed."));
    hazards.add(
        hazard(
            "early-return",
            "Returning too early",
            Outcome.PASS,
            good ? 8.408 : 0,
            "s",
            good ? CLOSED / 1e6 : -1,
            ""));
    hazards.add(
        hazard(
            "overcharge",
            "Charging beyond limits",
            Outcome.PASS,
            3.46,
            "V",
            3400,
            "Most 56.5 V of 60 V."));
    hazards.add(
        hazard(
            "deep-discharge",
            "Discharging below the floor",
            Outcome.PASS,
            0.365,
            "SoC",
            18_300,
            ""));
    hazards.add(
        good
            ? hazard(
                "lost-load",
                "Losing the critical panel",
                Outcome.PASS,
                0.003,
                "s",
                outage,
                "The sag at 21:00 lies outside the ITIC envelope; the site rides through for the utility's sake, so the grid code was the bound.")
            : hazard(
                "lost-load",
                "Losing the critical panel",
                Outcome.WAIVED,
                -10_800,
                "s",
                outage + 0.02,
                "Waived: the welded tie leaves no healthy path."));
    hazards.add(
        hazard(
            "forbidden-export",
            "Exporting without leave",
            Outcome.PASS,
            Double.POSITIVE_INFINITY,
            "W",
            0,
            "No limit is set."));
    hazards.add(
        hazard("stale-command", "Acting on a late command", Outcome.PASS, 2.93, "s", 4000, ""));
    hazards.add(
        hazard("wrong-picture", "Stating what is not so", Outcome.PASS, 1.8, "s", outage, ""));
    List<RunResult.AlarmEntry> alarms = new ArrayList<>();
    if (!good) {
      for (AlarmId id :
          List.of(AlarmId.TIE_NOT_OPEN, AlarmId.SYNC_TIMEOUT, AlarmId.COMMAND_REFUSED)) {
        alarms.add(
            new RunResult.AlarmEntry(
                outage + 1.2,
                id.name(),
                id.priority().name(),
                id.text(),
                id.consequence(),
                id.action()));
      }
    }
    return new RunResult(
        title,
        "ferry-landing",
        7,
        "0.1.0",
        HOURS * 3600,
        good,
        hazards,
        List.of(
            new RunResult.ExpectationVerdict(
                "signal: supervisor.mode, is: ISLANDED, within: PT1S, after: PT2H",
                good ? Outcome.PASS : Outcome.FAIL,
                good ? 0.8 : -10_799,
                "s",
                outage + 0.2),
            new RunResult.ExpectationVerdict(
                "signal: critical.voltage_pu, above: 0.9, allowing: PT0.02S",
                good ? Outcome.PASS : Outcome.FAIL,
                good ? 0.003 : -10_800,
                "s",
                outage),
            new RunResult.ExpectationVerdict(
                "signal: battery.soc, above: 0.5, always: true", Outcome.PASS, 0.179, "", 18_290)),
        good
            ? List.of(
                new RunResult.Transition(
                    2, "STARTING", "GRID_PRESENT", "tie closed, utility qualified"),
                new RunResult.Transition(
                    outage + 0.1, "GRID_PRESENT", "ISLANDING", "the utility is gone"),
                new RunResult.Transition(
                    outage + 0.2, "ISLANDING", "ISLANDED", "tie proven open, inverter forming"),
                new RunResult.Transition(
                    SYNCHRONISING / 1e6, "ISLANDED", "RECONNECTING", "qualified for 300 s"),
                new RunResult.Transition(
                    CLOSED / 1e6 + 0.05, "RECONNECTING", "GRID_PRESENT", "tie proven closed"))
            : List.of(
                new RunResult.Transition(
                    2, "STARTING", "GRID_PRESENT", "tie closed, utility qualified"),
                new RunResult.Transition(
                    outage + 0.1, "GRID_PRESENT", "ISLANDING", "the utility is gone"),
                new RunResult.Transition(
                    outage + 2, "ISLANDING", "DARK", "the tie did not open in 2 s")),
        List.of(
            entry("pv_available_kWh", 2.31),
            entry("pv_kWh", 1.74),
            entry("curtailed_kWh", 0.57),
            entry("import_kWh", 7.92),
            entry("critical_kWh", 3.86),
            entry("noncritical_kWh", 6.24),
            entry("export_kWh", 0.18),
            entry("stored_change_kWh", -1.06),
            entry("battery_in_kWh", 0.9),
            entry("battery_out_kWh", 1.61),
            entry("battery_ohmic_loss_kWh", 0.07),
            entry("battery_self_discharge_kWh", 0.02),
            entry("regulator_loss_kWh", 0.05),
            entry("inverter_loss_kWh", 0.19),
            entry("inverter_idle_kWh", 0.08),
            entry("cable_loss_kWh", 0.03),
            entry("service_loss_kWh", 0.04),
            entry("utility_source_kWh", 7.78),
            entry("self_consumption", 0.9)),
        List.of(
            entry("import_USD", 1.71),
            entry("export_credit_USD", -0.01),
            entry("standing_USD", 0.19),
            entry("total_USD", 1.89)),
        alarms,
        List.of(
            "The tie opened by itself in this run: on the real plant prove it open before anybody touches the line."));
  }

  private static RunResult.HazardVerdict hazard(
      String id,
      String title,
      Outcome outcome,
      double margin,
      String unit,
      double at,
      String detail) {
    return new RunResult.HazardVerdict(id, title, outcome, margin, unit, at, detail);
  }

  private static RunResult.Entry entry(String name, double value) {
    return new RunResult.Entry(name, value);
  }

  /** An invented site of the shape that the demo has. */
  static Site site() {
    Site.Efficiency efficiency = new Site.Efficiency(0.93, 0.97, 0.96);
    return new Site(
        "ferry-landing",
        "Ferry landing",
        new Site.Place(42, -87.9, 201, 0.2, ZONE),
        Site.Arrangement.TWO_PANEL,
        new Site.Utility(240, 60, 0.05, 0.03, 2000, 5000),
        new GridProfile(
            "category III",
            "IEEE Std 1547-2018, Tables 4, 5, 13, 18 (from memory)",
            List.of(
                new GridProfile.Trip("OV2", GridProfile.Quantity.OVER_VOLTAGE, 1.2, 0.16),
                new GridProfile.Trip("OV1", GridProfile.Quantity.OVER_VOLTAGE, 1.1, 13),
                new GridProfile.Trip("UV1", GridProfile.Quantity.UNDER_VOLTAGE, 0.88, 21),
                new GridProfile.Trip("UV2", GridProfile.Quantity.UNDER_VOLTAGE, 0.5, 2),
                new GridProfile.Trip("OF2", GridProfile.Quantity.OVER_FREQUENCY, 62, 0.16),
                new GridProfile.Trip("UF2", GridProfile.Quantity.UNDER_FREQUENCY, 56.5, 0.16)),
            new GridProfile.EnterService(0.917, 1.05, 59.5, 60.1, 300, 300),
            new GridProfile.SyncLimits(0.1, 0.3, 20),
            2,
            0.5),
        new Site.Pv(
            new Site.Module(8.21, 32.9, 7.61, 26.3, 54, 0.0032, -0.123, 47, 3),
            3,
            8,
            40,
            180,
            Site.Sky.ISOTROPIC,
            List.of()),
        new Site.Regulator(80, Optional.of(efficiency), 3, Site.RegulatorKind.MPPT, 0),
        new Site.Battery(
            Site.Chemistry.LEAD_ACID,
            48,
            24,
            400,
            0.005,
            new Site.Limits(60, 80, 0, 45, 0.3, 0.4, 44, 50, 5),
            new Site.Charge(57.6, 54, -0.096, 7200, 8, 50.4)),
        Optional.empty(),
        new Site.Inverter(4000, 8000, 5, efficiency, 25, 60, 42, 62, 0.2),
        Optional.of(new Site.Tie(0.008, 0.5, 0.004, 0.7, 0.004)),
        Optional.empty(),
        List.of(
            circuit("radio", Site.Panel.CRITICAL, new Site.ConstantLoad(60)),
            circuit(
                "dock-lights",
                Site.Panel.CRITICAL,
                new Site.DailyLoad(180, List.of(new Site.MinuteSpan(1020, 420)))),
            circuit(
                "ticket-office-refrigerator",
                Site.Panel.CRITICAL,
                new Site.CyclingLoad(130, 900, 1500)),
            circuit("pump", Site.Panel.CRITICAL, new Site.CyclingLoad(400, 120, 3480)),
            circuit(
                "walkway-lights",
                Site.Panel.CRITICAL,
                new Site.ProfileLoad("loads.csv", "exterior", 0.4)),
            circuit("heating", Site.Panel.NONCRITICAL, new Site.CyclingLoad(1500, 600, 900)),
            circuit(
                "kiosk",
                Site.Panel.NONCRITICAL,
                new Site.ProfileLoad("loads.csv", "appliances", 0.8))),
        new Site.Supervision(
            0.1,
            2,
            10,
            3,
            Site.Coordination.SHARED,
            Site.OnSag.SEPARATE,
            0.5,
            List.of(new Site.ChargeWindow(new Site.MinuteSpan(0, 300), 0.9, 40)),
            List.of("pump", "walkway-lights"),
            0.45,
            0.55,
            new Site.Timeouts(10, 2, 3, 60, 2, 10)),
        Tariff.ofBands(
            "USD",
            List.of(
                new Tariff.Band("evening peak", new Site.MinuteSpan(1020, 1260), 0.31, 0.04),
                new Tariff.Band("night", new Site.MinuteSpan(1380, 360), 0.09, 0.04),
                new Tariff.Band("day", new Site.MinuteSpan(0, 1440), 0.14, 0.04)),
            0.5));
  }

  private static Site.Circuit circuit(String name, Site.Panel panel, Site.Load load) {
    return new Site.Circuit(name, panel, load, 0.4, 0.2, 0.4, 0.95);
  }
}
