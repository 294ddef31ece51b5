package islet.bench.check;

import islet.bench.SiteParts;
import islet.plant.BatterySpec;
import islet.plant.ClearDay;
import islet.plant.LossCurve;
import islet.plant.PvSpec;
import islet.plant.TerminalVoltage;
import islet.site.Site;
import java.time.LocalDate;
import java.util.Optional;

/** A site as rules look at it: its settings, and what follows from them. */
final class Subject {

  private static final double REFERENCE_C = 25;
  private static final double STANDARD_W_PER_M2 = 1000;
  private static final double NOCT_W_PER_M2 = 800;
  private static final double NOCT_AIR_C = 20;

  /** Air on a clear day of either season, °C; a module's power changes by some 0.5 %/K. */
  private static final double CLEAR_DAY_C = 15;

  private static final long MICROS_PER_DAY = 86_400_000_000L;
  private static final LocalDate JUNE = LocalDate.of(2023, 6, 21);
  private static final LocalDate DECEMBER = LocalDate.of(2023, 12, 21);

  private final Site site;
  private final Assumptions assumptions;
  private final PanelLoad critical;
  private final PanelLoad noncritical;
  private final BatterySpec bank;
  private final Optional<LossCurve> losses;
  private final String lossesWrong;
  private final double juneKWh;
  private final double decemberKWh;

  Subject(Site site, Assumptions assumptions) {
    this.site = site;
    this.assumptions = assumptions;
    critical = PanelLoad.of(site, Site.Panel.CRITICAL);
    noncritical = PanelLoad.of(site, Site.Panel.NONCRITICAL);
    bank = SiteParts.battery(site.battery());
    Optional<LossCurve> curve = Optional.empty();
    String wrong = "";
    try {
      curve = Optional.of(curve(site.inverter()));
    } catch (IllegalArgumentException e) {
      wrong = String.valueOf(e.getMessage());
    }
    losses = curve;
    lossesWrong = wrong;
    juneKWh = clearDay(JUNE);
    decemberKWh = clearDay(DECEMBER);
  }

  private static LossCurve curve(Site.Inverter inverter) {
    return LossCurve.through(
        inverter.ratedW(), SiteParts.efficiency(inverter.efficiency()), inverter.idleW());
  }

  private double clearDay(LocalDate day) {
    PvSpec pv = SiteParts.pv(site, day.toEpochDay() * MICROS_PER_DAY);
    return ClearDay.energyKWh(pv, SiteParts.place(site), day, CLEAR_DAY_C);
  }

  Site site() {
    return site;
  }

  Assumptions assumptions() {
    return assumptions;
  }

  Site.Battery battery() {
    return site.battery();
  }

  Site.Limits limits() {
    return site.battery().limits();
  }

  Site.Charge charge() {
    return site.battery().charge();
  }

  Site.Inverter inverter() {
    return site.inverter();
  }

  Site.Supervision supervision() {
    return site.supervision();
  }

  boolean leadAcid() {
    return site.battery().chemistry() == Site.Chemistry.LEAD_ACID;
  }

  /** Of the circuits that the inverter carries. */
  PanelLoad critical() {
    return critical;
  }

  /** Of the circuits upstream of the tie. */
  PanelLoad noncritical() {
    return noncritical;
  }

  /** Why the inverter's efficiencies make no loss curve; empty when they do. */
  String lossesWrong() {
    return lossesWrong;
  }

  double perCell(double bankV) {
    return bankV / site.battery().cells();
  }

  /** A current over the capacity, 1/h. */
  double rate(double amps) {
    return amps / site.battery().capacity20hAh();
  }

  /** A charge set point at a battery temperature, V. */
  double compensated(double setPointV, double celsius) {
    return setPointV + charge().compensationVPerK() * (celsius - REFERENCE_C);
  }

  /** Voltage of the rested bank at 25 °C, V. */
  double restingV(double soc) {
    return TerminalVoltage.restingV(bank, soc);
  }

  /** Voltage of the rested bank at once after a load came on, at 25 °C, V. */
  double loadedV(double soc, double amps) {
    return TerminalVoltage.loadedV(bank, soc, amps, REFERENCE_C);
  }

  /** DC power that the inverter takes to give an AC power, its idle draw included, W. */
  double dcW(double acW) {
    double at50 = inverter().efficiency().at50();
    return losses.map(curve -> acW + curve.lossW(acW)).orElse(acW / at50 + inverter().idleW());
  }

  /** Current at nominal voltage that gives an AC power, A. */
  double dcA(double acW) {
    return dcW(acW) / site.battery().nominalV();
  }

  /** Everything that the bank gives in an outage for a mean AC power, W. */
  double islandW(double meanAcW) {
    return dcW(meanAcW) + site.regulator().idleW();
  }

  /** Energy between two states of charge at the 20-hour capacity, Wh. */
  double energyWh(double fromSoc, double toSoc) {
    double middleV = restingV(0.5 * (fromSoc + toSoc));
    return (fromSoc - toSoc) * battery().capacity20hAh() * middleV;
  }

  /** How long the bank carries a mean AC load between two states of charge, h. */
  double autonomyH(double fromSoc, double toSoc, double meanAcW) {
    return energyWh(fromSoc, toSoc) / islandW(meanAcW);
  }

  /** The array at standard test conditions, W. */
  double arrayW() {
    Site.Module m = site.pv().module();
    return m.impA() * m.vmpV() * site.pv().series() * site.pv().parallel();
  }

  /** Whether the regulator ties the array to the bus without tracking. */
  boolean pwm() {
    return site.regulator().kind() == Site.RegulatorKind.PWM;
  }

  /**
   * Share of the array's best power that comes to the bus: the regulator's efficiency; with PWM
   * what is left when the array works at the bank's voltage instead of its own.
   */
  double arrayUse() {
    double stringV = site.pv().series() * site.pv().module().vmpV();
    return pwm()
        ? Math.min(1, charge().absorptionV() / stringV)
        : site.regulator().efficiency().map(Site.Efficiency::at50).orElse(1.0);
  }

  /** The most that the regulator can give, with the bank as low as it may be, A. */
  double regulatorA() {
    double arrayA =
        pwm()
            ? site.pv().module().iscA() * site.pv().parallel()
            : arrayW() * arrayUse() / limits().disconnectV();
    return Math.min(site.regulator().ratedA(), arrayA);
  }

  /** What regulator and charger give together when each gives its most, A. */
  double chargeSumA() {
    return regulatorA() + site.utilityChargeA();
  }

  /** The same, and no more than the bank takes, A. */
  double chargeMostA() {
    return Math.min(chargeSumA(), limits().maximumChargeA());
  }

  /** Ampere-hours in per ampere-hour stored; lead-acid gasses (common practice, from memory). */
  double ampHoursIn() {
    return leadAcid() ? 1.1 : 1.01;
  }

  /** How long a current takes from one state of charge to another, h. */
  double chargeH(double fromSoc, double toSoc, double amps) {
    return (toSoc - fromSoc) * battery().capacity20hAh() * ampHoursIn() / amps;
  }

  /** Open-circuit voltage of a string on the coldest morning, cells as cold as the air, V. */
  double stringColdV() {
    Site.Module m = site.pv().module();
    return site.pv().series() * (m.vocV() + m.kvVPerK() * (assumptions.coldestC() - REFERENCE_C));
  }

  /** Cell temperature at the hottest noon, °C. */
  double cellHotC() {
    double rise = (site.pv().module().noctC() - NOCT_AIR_C) / NOCT_W_PER_M2 * STANDARD_W_PER_M2;
    return assumptions.hottestC() + rise;
  }

  /** Voltage at maximum power of a string at the hottest noon, by the slope of its Voc, V. */
  double stringHotV() {
    Site.Module m = site.pv().module();
    return site.pv().series() * (m.vmpV() + m.kvVPerK() * (cellHotC() - REFERENCE_C));
  }

  /** Open-circuit voltage of a string at the hottest noon, V. */
  double openHotV() {
    Site.Module m = site.pv().module();
    return site.pv().series() * (m.vocV() + m.kvVPerK() * (cellHotC() - REFERENCE_C));
  }

  /** What the array could give on a clear 21 June, kWh. */
  double juneKWh() {
    return juneKWh;
  }

  /** What the array could give on a clear 21 December, kWh. */
  double decemberKWh() {
    return decemberKWh;
  }

  /** The highest load that the inverter bears for a time, VA. */
  double borneVa(double forS) {
    double most = inverter().ratedW();
    if (inverter().surgeS() >= forS) {
      most = Math.max(most, inverter().surgeW());
    }
    for (Site.SurgePoint point : inverter().surge()) {
      if (point.forS() >= forS) {
        most = Math.max(most, point.powerW());
      }
    }
    return most;
  }
}
