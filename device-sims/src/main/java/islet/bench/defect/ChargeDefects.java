package islet.bench.defect;

import static islet.bench.defect.Defect.Part.CHARGE_COORDINATION;
import static islet.bench.defect.Defect.Part.INTERLOCKS;
import static islet.bench.defect.Defect.Part.SIGNAL_VALIDATION;
import static islet.bench.defect.SpoiltSupervisor.misreading;
import static islet.bench.defect.SpoiltSupervisor.ordering;
import static islet.bench.defect.SpoiltSupervisor.seeing;

import islet.contract.ChargerTelemetry;
import islet.contract.InverterTelemetry;
import islet.contract.MeterTelemetry;
import islet.contract.RegulatorTelemetry;
import islet.control.Inputs;
import islet.control.Outputs;
import islet.site.Site;
import islet.site.Site.Charge;
import islet.site.Site.Limits;
import java.util.List;

/** What can go wrong when the battery is charged and discharged. */
final class ChargeDefects {

  static final List<Defect> ALL =
      List.of(
          new Defect(
              "current-limit-not-shared",
              "Charge current limit not shared",
              "Regulator and charger are each given the battery's whole charge current, so that"
                  + " both together give up to twice of it.",
              CHARGE_COORDINATION,
              ordering(ChargeDefects::eachTheWhole)),
          new Defect(
              "regulator-rating-for-battery-limit",
              "Regulator's rating taken for the battery's limit",
              "The charge current limit is taken from the regulator's entry in the site file"
                  + " instead of the battery's.",
              CHARGE_COORDINATION,
              misreading(ChargeDefects::ratingForLimit)),
          new Defect(
              "compensation-wrong-sign",
              "Temperature compensation with the wrong sign",
              "A warm battery is charged to a higher voltage and a cold one to a lower, instead of"
                  + " the other way round.",
              CHARGE_COORDINATION,
              ordering(ChargeDefects::wrongSign)),
          new Defect(
              "rebulk-at-float",
              "Rebulk voltage taken from the float's entry",
              "A new charge begins whenever the bank falls below its float voltage, as each full"
                  + " bank does that is left alone, so that it is never left alone.",
              CHARGE_COORDINATION,
              misreading(ChargeDefects::rebulkAtFloat)),
          new Defect(
              "frost-not-looked-at",
              "Battery temperature taken as 25 °C",
              "The battery's temperature is left at its starting value of 25 °C, so that neither"
                  + " frost nor heat stops the charge.",
              SIGNAL_VALIDATION,
              seeing(RoomTemperature::new)),
          new Defect(
              "inverter-limit-for-battery-limit",
              "Inverter's highest voltage taken for the battery's",
              "The voltage above which nobody may charge is taken from the inverter's entry in the"
                  + " site file instead of the battery's, so a charger that reads low is not"
                  + " stopped.",
              INTERLOCKS,
              misreading(ChargeDefects::inverterLimit)),
          new Defect(
              "one-voltmeter-for-three",
              "One voltmeter for three",
              "The votes of regulator and inverter are filled in from the battery meter's reading,"
                  + " so that three voltmeters always agree and one that is wrong is never"
                  + " outvoted.",
              SIGNAL_VALIDATION,
              seeing(OneVoltmeter::new)),
          new Defect(
              "current-sign-swapped",
              "Sign of the battery current swapped",
              "The shunt is read as if current out of the battery were positive: the count of charge"
                  + " rises while the battery empties.",
              SIGNAL_VALIDATION,
              seeing(SwappedSign::new)),
          new Defect(
              "floor-lost",
              "Floor of the battery lost",
              "The floor is read as a percentage and compared with a share, so that it is never"
                  + " reached.",
              INTERLOCKS,
              misreading(ChargeDefects::withoutFloor)));

  private ChargeDefects() {}

  private static Hands eachTheWhole(Site site) {
    double limitA = site.battery().limits().maximumChargeA();
    double utilityA = Math.min(limitA, site.utilityChargeA());
    boolean separate = site.arrangement().hasCharger();
    return (in, now, out) -> {
      if (out.regulatorEnabled && out.regulatorLimitA > 0) {
        out.regulatorLimitA = Math.min(site.regulator().ratedA(), limitA);
      }
      if (out.chargeLimitA > 0) {
        out.chargeLimitA = utilityA;
      }
      if (separate && out.chargerLimitA > 0) {
        out.chargerLimitA = utilityA;
      }
    };
  }

  private static Site ratingForLimit(Site site) {
    Limits l = site.battery().limits();
    return SiteSlips.limits(
        site,
        new Limits(
            l.maximumV(),
            Math.max(l.maximumChargeA(), site.regulator().ratedA()),
            l.minimumChargeC(),
            l.maximumChargeC(),
            l.floorSoc(),
            l.recoverySoc(),
            l.disconnectV(),
            l.reconnectV(),
            l.toleranceS()));
  }

  /** The set points of a good supervisor, with their compensation taken twice the other way. */
  private static Hands wrongSign(Site site) {
    double perK = site.battery().charge().compensationVPerK();
    return (in, now, out) -> {
      double twiceV = 2 * perK * (in.meter().batteryTemperatureC() - 25);
      out.regulatorVoltageV -= twiceV;
      out.chargeVoltageV -= twiceV;
      out.chargerVoltageV -= twiceV;
      out.feedVoltageV -= twiceV;
    };
  }

  private static Site rebulkAtFloat(Site site) {
    Charge c = site.battery().charge();
    return SiteSlips.charge(
        site,
        new Charge(
            c.absorptionV(),
            c.floatV(),
            c.compensationVPerK(),
            c.absorptionS(),
            c.tailA(),
            c.floatV(),
            c.equalise(),
            c.rest()));
  }

  private static final class RoomTemperature extends Eyes {
    @Override
    MeterTelemetry meter(MeterTelemetry m) {
      return Readings.battery(m, m.batteryCurrentA(), 25);
    }

    @Override
    RegulatorTelemetry regulator(RegulatorTelemetry t) {
      return Readings.temperature(t, 25);
    }

    @Override
    ChargerTelemetry charger(ChargerTelemetry t) {
      return Readings.temperature(t, 25);
    }
  }

  private static Site inverterLimit(Site site) {
    Limits l = site.battery().limits();
    return SiteSlips.limits(
        site,
        new Limits(
            site.inverter().dcMaximumV(),
            l.maximumChargeA(),
            l.minimumChargeC(),
            l.maximumChargeC(),
            l.floorSoc(),
            l.recoverySoc(),
            l.disconnectV(),
            l.reconnectV(),
            l.toleranceS()));
  }

  private static final class OneVoltmeter extends Eyes {
    private double volts;

    @Override
    void open(Inputs in, long now, Outputs before) {
      volts = in.meter().batteryVoltageV();
    }

    @Override
    RegulatorTelemetry regulator(RegulatorTelemetry t) {
      return Readings.bus(t, volts);
    }

    @Override
    InverterTelemetry inverter(InverterTelemetry t) {
      return Readings.bus(t, volts);
    }
  }

  private static final class SwappedSign extends Eyes {
    @Override
    MeterTelemetry meter(MeterTelemetry m) {
      return Readings.battery(m, -m.batteryCurrentA(), m.batteryTemperatureC());
    }
  }

  private static Site withoutFloor(Site site) {
    Limits l = site.battery().limits();
    return SiteSlips.limits(
        site,
        new Limits(
            l.maximumV(),
            l.maximumChargeA(),
            l.minimumChargeC(),
            l.maximumChargeC(),
            l.floorSoc() / 100,
            l.recoverySoc() / 100,
            l.disconnectV(),
            l.reconnectV(),
            l.toleranceS()));
  }
}
