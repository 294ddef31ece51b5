package islet.site;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;

/**
 * What must fit together across the parts of a site. Only what makes a site impossible or absurd is
 * refused; what is merely doubtful is for a commissioning check. Comparisons with a value that
 * could not be read (NaN) find nothing.
 */
final class SiteChecks {
  private final Section s;
  private final Site site;

  SiteChecks(Section s, Site site) {
    this.s = s;
    this.site = site;
  }

  void all() {
    voltages();
    stateOfCharge();
    times();
    frequency();
    circuits();
    chargeWindows();
    reserveWindows();
  }

  private void voltages() {
    Site.Battery battery = site.battery();
    Site.Limits limits = battery.limits();
    Site.Charge charge = battery.charge();
    if (charge.absorptionV() > limits.maximumV()) {
      s.wrong(
          "battery.charge.absorptionVoltage",
          "battery.limits.maximumVoltage or less",
          "Else every full charge would pass the battery's limit.");
    }
    if (charge.floatV() <= battery.nominalV()) {
      s.wrong(
          "battery.charge.floatVoltage",
          "more than battery.nominalVoltage",
          "A battery can't be kept full below its resting voltage.");
    }
    if (limits.reconnectV() >= charge.absorptionV()) {
      s.wrong(
          "battery.limits.reconnectVoltage",
          "less than battery.charge.absorptionVoltage",
          "Else the loads would never come back.");
    }
    if (site.inverter().dcMinimumV() > limits.disconnectV()) {
      s.wrong(
          "inverter.dcMinimum",
          "battery.limits.disconnectVoltage or less",
          "Else the inverter stops before the disconnect has a say.");
    }
    if (site.inverter().dcMaximumV() < limits.maximumV()) {
      s.wrong(
          "inverter.dcMaximum",
          "battery.limits.maximumVoltage or more",
          "Else a full charge stops the inverter.");
    }
    strings(charge.absorptionV());
  }

  /** A PWM regulator needs its drop besides; neither kind steps up. */
  private void strings(double absorptionV) {
    boolean pwm = site.regulator().kind() == Site.RegulatorKind.PWM;
    double needed = absorptionV + (pwm ? site.regulator().dropV() : 0);
    if (site.pv().series() * site.pv().module().vmpV() <= needed) {
      s.wrong(
          "pv.series",
          "strings whose voltage at maximum power is above battery.charge.absorptionVoltage"
              + (pwm ? " and regulator.drop together" : ""),
          pwm
              ? "A PWM regulator ties them to the battery: take 36 cells for each 12 V of it."
              : "The regulator only steps down: put more modules in series.");
    }
  }

  private void stateOfCharge() {
    double floor = site.battery().limits().floorSoc();
    Site.Supervision supervision = site.supervision();
    if (supervision.reserveSoc() < floor) {
      s.wrong(
          "supervision.reserve",
          "battery.limits.floor or more",
          "What lies below the floor can't be used in an outage.");
    }
    site.changeover()
        .filter(c -> c.batteryAboveSoc() <= supervision.reserveSoc())
        .ifPresent(
            c ->
                s.wrong(
                    "changeover.batteryAbove",
                    "more than supervision.reserve",
                    "The loads go back to the utility at the reserve."));
    if (supervision.shedBelowSoc() <= floor) {
      s.wrong(
          "supervision.shedBelow",
          "more than battery.limits.floor",
          "At the floor all loads go at once, so shedding must begin above it.");
    }
  }

  private void times() {
    if (site.supervision().timeouts().startS() <= site.inverter().startS()) {
      s.wrong(
          "supervision.timeouts.start",
          "more than inverter.startTime",
          "Else every start would count as failed.");
    }
    if (!site.arrangement().hasSwitch()) {
      return;
    }
    String travel = site.arrangement().hasChangeover() ? "changeover" : "tie";
    String times =
        "more than "
            + travel
            + (site.arrangement().hasChangeover()
                ? ".operateTime and .deadTime together"
                : ".operateTime");
    if (site.supervision().timeouts().openS() <= site.switchTravelS()) {
      s.wrong("supervision.timeouts.open", times, "Else every opening would count as failed.");
    }
    if (site.supervision().timeouts().closeS() <= site.switchTravelS()) {
      s.wrong("supervision.timeouts.close", times, "Else every closing would count as failed.");
    }
  }

  private void frequency() {
    double nominal = site.utility().nominalHz();
    GridProfile.EnterService enter = site.profile().enter();
    if (nominal < enter.minimumHz() || nominal > enter.maximumHz()) {
      s.wrong(
          "utility.nominalFrequency",
          Dimension.FREQUENCY.text(enter.minimumHz())
              + " to "
              + Dimension.FREQUENCY.text(enter.maximumHz()),
          "The profile is for another frequency: name a profile that fits.");
    }
  }

  private void circuits() {
    Set<String> seen = new HashSet<>();
    for (int i = 0; i < site.circuits().size(); i++) {
      String name = site.circuits().get(i).name();
      if (!name.isEmpty() && !seen.add(name)) {
        s.wrong("circuits." + (i + 1) + ".name", "a name that no other circuit has", "Rename one.");
      }
    }
    if (site.arrangement() != Site.Arrangement.TWO_PANEL) {
      for (int i = 0; i < site.circuits().size(); i++) {
        if (site.circuits().get(i).panel() == Site.Panel.NONCRITICAL) {
          s.wrong(
              "circuits." + (i + 1) + ".panel",
              "critical, since only two-panel has a second panel",
              "Put it on the one panel, or take the arrangement two-panel.");
        }
      }
    }
    if (site.circuits().isEmpty() && s.has("circuits")) {
      s.wrong("circuits", "at least one circuit", "");
    }
    List<String> critical =
        site.circuits().stream()
            .filter(c -> c.panel() == Site.Panel.CRITICAL)
            .map(Site.Circuit::name)
            .toList();
    Set<String> shed = new HashSet<>();
    for (String name : site.supervision().shedding()) {
      if (!critical.contains(name)) {
        s.wrong(
            "supervision.shedding",
            "\"" + name + "\"",
            critical.stream().collect(Collectors.joining(", ", "critical circuits out of ", "")),
            Spelling.question(name, critical));
      } else if (!shed.add(name)) {
        s.wrong("supervision.shedding", "\"" + name + "\" twice", "each circuit once", "");
      }
    }
  }

  private void reserveWindows() {
    List<Site.ReserveWindow> windows = site.supervision().reserveWindows();
    for (int i = 0; i < windows.size(); i++) {
      if (windows.get(i).reserveSoc() < site.battery().limits().floorSoc()) {
        s.wrong(
            "supervision.reserveWindows." + (i + 1) + ".reserve",
            "battery.limits.floor or more",
            "What lies below the floor can't be used in an outage.");
      }
    }
  }

  private void chargeWindows() {
    List<Site.ChargeWindow> windows = site.supervision().chargeWindows();
    for (int i = 0; i < windows.size(); i++) {
      String field = "supervision.chargeWindows." + (i + 1);
      Site.ChargeWindow window = windows.get(i);
      if (windows.subList(0, i).stream().anyMatch(earlier -> overlap(earlier, window))) {
        s.wrong(field + ".between", "windows that do not overlap", "Else two rules would hold.");
      }
      if (window.days().weekdays().isEmpty() && site.tariff().holidays().isEmpty()) {
        s.wrong(
            field + ".on",
            "days that there are: the tariff lists no holiday",
            "Add a weekday, or list holidays in the tariff.");
      }
      if (windows.get(i).maximumA() > site.utilityChargeA()) {
        s.wrong(
            field + ".maximumCurrent",
            site.arrangement().hasCharger()
                ? "charger.ratedCurrent or less"
                : "inverter.chargeCurrent or less",
            "The charger gives no more.");
      }
      if (windows.get(i).untilSoc() <= site.battery().limits().floorSoc()) {
        s.wrong(field + ".untilSoc", "more than battery.limits.floor", "");
      }
    }
  }

  /** Whether there is a minute of some day in both; the tail after midnight is the new day's. */
  private static boolean overlap(Site.ChargeWindow one, Site.ChargeWindow other) {
    return Spans.minutes(one.span()).intersects(Spans.minutes(other.span()))
        && one.days().meets(other.days());
  }
}
