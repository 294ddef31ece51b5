package islet.bench.check;

import static islet.bench.check.Severity.DANGER;
import static islet.bench.check.Severity.DOUBTFUL;
import static islet.bench.check.Severity.NOTE;
import static islet.bench.check.Severity.WRONG;

import islet.site.Site;
import java.util.List;

/** Currents of the bank, and the cable between bank and bus. */
final class CurrentRules {

  private static final String MEMORY = "common practice, from memory";
  private static final String ARITHMETIC = "arithmetic on the site's own figures";
  private static final double EDGE = 1e-9;

  private CurrentRules() {}

  static final List<Rule> ALL =
      List.of(
          new Rule(
              "charge-limit",
              WRONG,
              "the bank's charge limit: flooded lead-acid 0.20 C, lithium iron phosphate 0.50 C at"
                  + " most",
              "More current than the plates take makes heat and gas, in lithium cells plated metal.",
              MEMORY,
              CurrentRules::chargeLimit),
          new Rule(
              "charge-sum",
              DANGER,
              "regulator and charger together within the bank's limit, or one stage shared by both",
              "Left to themselves, each gives its most at the same time. Even where a supervisor"
                  + " shares the limit, it can be silent.",
              ARITHMETIC,
              CurrentRules::chargeSum),
          new Rule(
              "charger-alone",
              WRONG,
              "the charger's rated current within the bank's limit",
              "A charger that falls back to its own settings gives all it has.",
              ARITHMETIC,
              CurrentRules::chargerAlone),
          new Rule(
              "charge-slow",
              DOUBTFUL,
              "all sources together at least 0.05 C",
              "A bank that is charged too slowly is seldom full, and a lead-acid one stratifies.",
              MEMORY,
              CurrentRules::chargeSlow),
          new Rule(
              "discharge-rate",
              WRONG,
              "the critical panel's peak: lead-acid 0.33 C, lithium 0.50 C at most",
              "At high rates a lead-acid bank gives far less than its 20-hour capacity, and its"
                  + " voltage sags into the disconnect.",
              MEMORY,
              CurrentRules::dischargeRate),
          new Rule(
              "management-charge",
              DANGER,
              "all charge currents together below the management unit's over-current",
              "The unit takes the bank off a bus that is being charged: the voltage jumps, and the"
                  + " critical panel may go dark.",
              ARITHMETIC,
              CurrentRules::managementCharge),
          new Rule(
              "management-discharge",
              WRONG,
              "the inverter's surge below the management unit's over-current",
              "A motor's start would open the bank's contactor and darken the panel.",
              ARITHMETIC,
              CurrentRules::managementDischarge),
          new Rule(
              "cable-drop",
              WRONG,
              "drop over the battery's cable at rated power: 2 % at most, 5 % never",
              "The drop is heat in the cable, and an error in every voltage that is judged on the"
                  + " other side of it.",
              MEMORY,
              CurrentRules::cableDrop),
          new Rule(
              "cable-surge",
              DOUBTFUL,
              "drop over the battery's cable at the inverter's surge: 5 % at most",
              "A motor's start sags the bus until the inverter's own low-voltage stop.",
              MEMORY,
              CurrentRules::cableSurge),
          new Rule(
              "dc-minimum",
              WRONG,
              "the inverter's lowest DC voltage below the disconnect less the cable's drop",
              "Else the inverter stops by itself before the disconnect has its say, and nobody sheds"
                  + " or restores in order.",
              ARITHMETIC,
              CurrentRules::dcMinimum),
          new Rule(
              "dc-maximum",
              WRONG,
              "the inverter's highest DC voltage above the bank's limit and the cable's rise",
              "While it is charged the bus stands above the bank: the inverter stops at the end of"
                  + " each charge.",
              ARITHMETIC,
              CurrentRules::dcMaximum));

  private static void chargeLimit(Subject s, Findings f) {
    double rate = s.rate(s.limits().maximumChargeA());
    double doubtful = s.leadAcid() ? 0.20 : 0.50;
    double wrong = s.leadAcid() ? 0.30 : 1.0;
    if (rate > doubtful + EDGE) {
      f.tell(
          rate > wrong + EDGE ? WRONG : DOUBTFUL,
          "battery.limits.maximumChargeCurrent",
          Say.amps(s.limits().maximumChargeA())
              + ", which is "
              + Say.rate(rate)
              + "; asked is "
              + Say.rate(doubtful)
              + " at most",
          "Set "
              + Say.amps(doubtful * s.battery().capacity20hAh())
              + ", or what the bank's data sheet allows.");
    }
  }

  private static void chargeSum(Subject s, Findings f) {
    double sumA = s.chargeSumA();
    double limitA = s.limits().maximumChargeA();
    if (s.site().utilityChargeA() <= 0 || sumA <= limitA + EDGE) {
      return;
    }
    String sum =
        Say.amps(s.regulatorA())
            + " of the regulator and "
            + Say.amps(s.site().utilityChargeA())
            + " of the charger are "
            + Say.amps(sumA)
            + "; the bank's limit is "
            + Say.amps(limitA);
    switch (s.supervision().coordination()) {
      case NONE ->
          f.tell(
              DANGER,
              "supervision.coordination",
              sum + ", and nobody shares it",
              "Set coordination: shared, or set both units so that together they keep the limit.");
      case SHARED ->
          f.tell(
              NOTE,
              "battery.limits.maximumChargeCurrent",
              sum + ", which the supervisor shares",
              "See that the units' own settings keep the limit too when the supervisor is silent:"
                  + " the sum of what each gives by itself.");
    }
  }

  private static void chargerAlone(Subject s, Findings f) {
    double a = s.site().utilityChargeA();
    if (a > s.limits().maximumChargeA() + EDGE) {
      f.tell(
          WRONG,
          s.site().arrangement().hasTie() ? "inverter.chargeCurrent" : "charger.ratedCurrent",
          Say.amps(a) + "; the bank's limit is " + Say.amps(s.limits().maximumChargeA()),
          "Set the unit itself to the bank's limit or below.");
    }
  }

  private static void chargeSlow(Subject s, Findings f) {
    double rate = s.rate(s.chargeMostA());
    if (rate < 0.05 - EDGE) {
      f.tell(
          DOUBTFUL,
          "battery.capacity",
          Say.number(s.battery().capacity20hAh(), 1)
              + " Ah; all sources together give "
              + Say.amps(s.chargeMostA())
              + ", which is "
              + Say.rate(rate),
          "A smaller bank, a larger array or charger.");
    }
  }

  private static void dischargeRate(Subject s, Findings f) {
    double a = s.dcA(s.critical().peakW());
    double rate = s.rate(a);
    double doubtful = s.leadAcid() ? 0.33 : 0.50;
    if (rate > doubtful) {
      f.tell(
          rate > 1 ? WRONG : DOUBTFUL,
          "battery.capacity",
          "a critical peak of "
              + Say.watts(s.critical().peakW())
              + " takes "
              + Say.amps(a)
              + ", which is "
              + Say.rate(rate)
              + "; asked is "
              + Say.rate(doubtful)
              + " at most",
          "A larger bank, or fewer circuits on the emergency panel.");
    }
  }

  private static void managementCharge(Subject s, Findings f) {
    s.battery()
        .management()
        .map(Site.Management::chargeA)
        .filter(tripA -> s.chargeSumA() > tripA)
        .ifPresent(
            tripA ->
                f.tell(
                    s.supervision().coordination() == Site.Coordination.NONE ? DANGER : DOUBTFUL,
                    "battery.management.chargeCurrent",
                    Say.amps(tripA) + "; all sources together give " + Say.amps(s.chargeSumA()),
                    "Set regulator and charger themselves so that their sum stays below it."));
  }

  private static void managementDischarge(Subject s, Findings f) {
    double surgeA = s.dcW(s.inverter().surgeW()) / s.limits().disconnectV();
    s.battery()
        .management()
        .map(Site.Management::dischargeA)
        .filter(tripA -> surgeA > tripA)
        .ifPresent(
            tripA ->
                f.tell(
                    WRONG,
                    "battery.management.dischargeCurrent",
                    Say.amps(tripA)
                        + "; a surge of "
                        + Say.watts(s.inverter().surgeW())
                        + " at the disconnect voltage takes "
                        + Say.amps(surgeA),
                    "Cells and unit for a higher current, or a smaller inverter."));
  }

  private static void cableDrop(Subject s, Findings f) {
    double a = Math.max(s.dcA(s.inverter().ratedW()), s.chargeMostA());
    double share = a * s.battery().cableOhm() / s.battery().nominalV();
    if (share > 0.02) {
      f.tell(
          share > 0.05 ? WRONG : DOUBTFUL,
          "battery.cableResistance",
          Say.amps(a) + " drop " + Say.share(share) + " of the nominal voltage",
          "A shorter or thicker cable; look for a loose or corroded joint first.");
    }
  }

  private static void cableSurge(Subject s, Findings f) {
    double a = s.dcA(s.inverter().surgeW());
    double share = a * s.battery().cableOhm() / s.battery().nominalV();
    if (share > 0.05) {
      f.tell(
          DOUBTFUL,
          "inverter.surgePower",
          Say.watts(s.inverter().surgeW())
              + " take "
              + Say.amps(a)
              + " and drop "
              + Say.share(share)
              + " of the nominal voltage",
          "A shorter or thicker cable, or count on less surge than the plate says.");
    }
  }

  private static void dcMinimum(Subject s, Findings f) {
    double v = s.limits().disconnectV();
    double busV = v - s.dcW(s.inverter().ratedW()) / v * s.battery().cableOhm();
    if (busV < s.inverter().dcMinimumV()) {
      f.tell(
          WRONG,
          "inverter.dcMinimum",
          Say.volts(s.inverter().dcMinimumV())
              + "; with the bank at its disconnect of "
              + Say.volts(v)
              + " the inverter sees "
              + Say.volts(busV)
              + " at rated power",
          "Lower the inverter's limit, raise the disconnect, or shorten the cable.");
    }
  }

  private static void dcMaximum(Subject s, Findings f) {
    double busV = s.limits().maximumV() + s.chargeMostA() * s.battery().cableOhm();
    if (busV > s.inverter().dcMaximumV()) {
      f.tell(
          WRONG,
          "inverter.dcMaximum",
          Say.volts(s.inverter().dcMaximumV())
              + "; the bus may stand at "
              + Say.volts(busV)
              + " at the end of a charge",
          "An inverter for a higher voltage, or lower limits of the bank.");
    }
  }
}
