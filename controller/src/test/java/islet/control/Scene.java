package islet.control;

import islet.contract.BatteryPath;
import islet.contract.ChargeStage;
import islet.contract.ChargerTelemetry;
import islet.contract.GridState;
import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import islet.contract.MeterTelemetry;
import islet.contract.RegulatorTelemetry;
import islet.contract.TieTelemetry;
import islet.contract.TieTrip;
import islet.site.Site;

/**
 * One instant at a site, put together by hand: what each device said last and how long ago, what
 * went before, and what the utility is taken for. Fields are open; it begins as an island that
 * stands well on a dead utility.
 */
final class Scene {

  static final long NOW = FakeSite.START;
  static final long SECOND = 1_000_000;

  /** Three periods of telemetry at 1 Hz, which still counts as heard. */
  static final long OLDEST = 3 * SECOND;

  /** The first instant at which a report counts no longer. */
  static final long STALE = OLDEST + 1;

  final Site site;

  /** What went before, by the names under which the situation remembers it. */
  final Given before = new Given();

  GridState grid = GridState.GONE;
  boolean contactClosed;
  boolean orderedClosed;
  boolean held;
  double sidePu;
  double sideHz;
  double panelPu = 1;
  double panelHz = 60.05;
  double angleDeg = 90;
  double lowestPu = 1;
  InverterState inverter = InverterState.FORMING;
  InverterTrip trip = InverterTrip.NONE;
  double acPu = 1;
  double acHz = 60.05;
  double acPowerW;
  double criticalPu = 1;
  double criticalW;
  double soc = 0.7;
  double doubt = 0.01;

  /** As a share of nominal voltage. */
  double volts = 1.04;

  BatteryPath path = BatteryPath.CLOSED;
  long regulatorAge;
  long inverterAge;

  /** For how long the inverter's report was on its way. */
  long inverterLate;

  long tieAge;
  long meterAge;
  long chargerAge;

  final Inputs in = new Inputs();
  final Outputs out = new Outputs();
  final HoldBoard holds = new HoldBoard();
  final AlarmBoard alarms = new AlarmBoard();
  final ChargeSchedule schedule;

  Scene(Site site) {
    this.site = site;
    schedule = new ChargeSchedule(site, new WarningBoard(), new UtilityTrust());
    before.with("phase", Phase.CARRY).with("entered", NOW - 1000 * SECOND);
  }

  /** The utility carries the panels, and has for long. */
  Scene connected() {
    grid = GridState.QUALIFIED;
    contactClosed = true;
    orderedClosed = true;
    sidePu = 1;
    sideHz = 60;
    panelHz = 60;
    angleDeg = 0;
    acHz = 60;
    inverter = InverterState.FOLLOWING;
    before.with("phase", Phase.CONNECTED);
    return this;
  }

  /** The utility is back and qualified; the island is exactly in step with it. */
  Scene inStep() {
    grid = GridState.QUALIFIED;
    sidePu = 1;
    sideHz = 60;
    panelHz = 60;
    acHz = 60;
    angleDeg = 0;
    inverter = InverterState.SYNCHRONISING;
    before.with("phase", Phase.SYNCHRONISE).with("in step", NOW - SECOND);
    before.with("foreign seen", true);
    return this;
  }

  /** Nothing carries the panel, and the utility is still gone. */
  Scene dark() {
    panelPu = 0;
    panelHz = 0;
    acPu = 0;
    acHz = 0;
    criticalPu = 0;
    inverter = InverterState.OFF;
    before.with("phase", Phase.UNSUPPLIED);
    return this;
  }

  /** The same site, dark, with the utility back and qualified. */
  Scene darkButForTheUtility() {
    dark();
    grid = GridState.QUALIFIED;
    sidePu = 1;
    sideHz = 60;
    return this;
  }

  /** What is known now, after one look at the field. */
  Situation observed() {
    report();
    GridQualification judged = new GridQualification(site);
    judge(judged);
    BatteryEstimate battery = new BatteryEstimate(site);
    if (soc >= 0) {
      Given counted =
          new Given()
              .with("soc", soc)
              .with("doubt", doubt)
              .with("known", true)
              .with("counted", NOW);
      battery.rememberCourse(counted);
      battery.remember(counted);
    }
    battery.measure(in, NOW, out);
    alarms.begin(NOW, out);
    Situation situation = new Situation(site, judged, battery, alarms, holds, schedule);
    situation.remember(before);
    situation.observe(in, out, NOW);
    return situation;
  }

  private void judge(GridQualification judged) {
    switch (grid) {
      case UNKNOWN -> judged.blind();
      case GONE -> judged.measure(0, 0, NOW);
      case OUT -> {
        judged.measure(1.3, 60, NOW - SECOND);
        judged.measure(1.3, 60, NOW);
      }
      case RIDING -> judged.measure(1.15, 60, NOW);
      case RETURNING -> judged.measure(1, 60, NOW);
      case QUALIFIED -> {
        judged.measure(1, 60, NOW - 300 * SECOND);
        judged.measure(1, 60, NOW);
      }
    }
    if (judged.state() != grid) {
      throw new AssertionError("meant " + grid + ", got " + judged.state());
    }
  }

  private void report() {
    double batteryV = volts * site.battery().nominalV();
    in.take(tie(sidePu), NOW - tieAge);
    in.scanned();
    in.take(tie(Math.min(sidePu, lowestPu)), NOW - tieAge);
    in.take(tie(sidePu), NOW - tieAge);
    in.take(
        new RegulatorTelemetry(0, NOW, batteryV, 25, 0, 0, 0, 0, 0, ChargeStage.BULK, true, false),
        NOW - regulatorAge);
    in.take(
        new InverterTelemetry(
            0,
            NOW - inverterAge - inverterLate,
            batteryV,
            0,
            acPowerW,
            acPu,
            acHz,
            inverter,
            trip,
            false,
            false),
        NOW - inverterAge);
    in.take(
        new MeterTelemetry(
            0, NOW, sidePu, sideHz, 0, criticalW, 0, criticalPu, batteryV, 0, 25, "", false, path),
        NOW - meterAge);
    in.take(
        new ChargerTelemetry(0, NOW, batteryV, 25, 0, 0, 0, 0, ChargeStage.BULK, true, false),
        NOW - chargerAge);
  }

  private TieTelemetry tie(double pu) {
    return new TieTelemetry(
        0,
        NOW - tieAge,
        contactClosed,
        orderedClosed,
        pu,
        sideHz,
        panelPu,
        panelHz,
        angleDeg,
        TieTrip.NONE,
        held,
        false);
  }
}
