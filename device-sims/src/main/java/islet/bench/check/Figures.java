package islet.bench.check;

import islet.site.Site;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** The figures that are asked first. */
final class Figures {

  private static final String CURRENTS = "Battery currents";
  private static final String AUTONOMY = "Critical panel on the battery alone";
  private static final String FILLING = "Time to full, from the reserve";
  private static final String ARRAY = "Array";
  private static final String INVERTER = "Inverter and cable";
  private static final double HOURS_A_DAY = 24;

  private final Subject s;
  private final List<Figure> all = new ArrayList<>();

  private Figures(Subject subject) {
    s = subject;
  }

  static List<Figure> of(Subject subject) {
    Figures figures = new Figures(subject);
    figures.currents();
    figures.autonomy();
    figures.filling();
    figures.array();
    figures.inverter();
    return List.copyOf(figures.all);
  }

  private void add(
      String group, String name, double value, String unit, int decimals, String note) {
    all.add(new Figure(group, name, value, unit, decimals, note));
  }

  private void currents() {
    double limitA = s.limits().maximumChargeA();
    String parts = "regulator " + Say.amps(s.regulatorA());
    if (s.site().arrangement().hasUtility()) {
      parts += ", charger " + Say.amps(s.site().utilityChargeA());
    }
    add(CURRENTS, "worst sum of charge currents", s.chargeSumA(), "A", 1, parts);
    add(CURRENTS, "the bank's charge limit", limitA, "A", 1, Say.rate(s.rate(limitA)));
    add(CURRENTS, "charge rate, all sources", s.rate(s.chargeMostA()), "C", 2, "within the limit");
    double peakA = s.dcA(s.critical().peakW());
    add(
        CURRENTS,
        "discharge rate, critical peak",
        s.rate(peakA),
        "C",
        2,
        Say.amps(peakA) + " for " + Say.watts(s.critical().peakW()));
    double ratedA = s.dcA(s.inverter().ratedW());
    add(
        CURRENTS,
        "discharge rate, rated inverter",
        s.rate(ratedA),
        "C",
        2,
        Say.amps(ratedA) + " for " + Say.watts(s.inverter().ratedW()));
  }

  private void autonomy() {
    double reserve = s.supervision().reserveSoc();
    double floor = s.limits().floorSoc();
    lasts("full to the reserve", 1, reserve);
    lasts("full to the floor", 1, floor);
    lasts("reserve to the floor", reserve, floor);
  }

  private void lasts(String name, double from, double to) {
    double meanW = s.critical().meanW();
    double worstW = s.critical().worstDayW();
    String span = Say.share(from) + " to " + Say.share(to) + ", ";
    add(
        AUTONOMY,
        name + ", mean load",
        s.autonomyH(from, to, meanW),
        "h",
        1,
        span + Say.watts(meanW));
    add(
        AUTONOMY,
        name + ", worst day",
        s.autonomyH(from, to, worstW),
        "h",
        1,
        span + Say.watts(worstW));
  }

  private void filling() {
    double reserve = s.supervision().reserveSoc();
    double utilityA = Math.min(s.site().utilityChargeA(), s.limits().maximumChargeA());
    if (utilityA > 0) {
      add(
          FILLING,
          "by the utility alone",
          s.chargeH(reserve, 1, utilityA),
          "h",
          1,
          "at "
              + Say.amps(utilityA)
              + "; up to "
              + Say.number(s.charge().absorptionS() / 3600, 1)
              + " h more of absorption");
    }
    sun("21 June", s.juneKWh());
    sun("21 December", s.decemberKWh());
  }

  private void sun(String day, double clearKWh) {
    double needsKWh = s.energyWh(1, s.supervision().reserveSoc()) * s.ampHoursIn() / 1000;
    double getsKWh = clearKWh * s.arrayUse();
    add(
        FILLING,
        "by the sun alone, no loads, clear " + day,
        needsKWh / getsKWh,
        "days",
        1,
        Say.number(clearKWh, 1) + " kWh from the array");
  }

  private void array() {
    double bankKWh = s.energyWh(1, 0) / 1000;
    add(
        ARRAY,
        "array over bank",
        s.arrayW() / 1000 / bankKWh,
        "kW/kWh",
        2,
        Say.watts(s.arrayW()) + ", " + Say.number(bankKWh, 1) + " kWh");
    double perDay = HOURS_A_DAY * s.islandW(s.critical().meanW()) / 1000;
    add(
        ARRAY,
        "clear 21 December over a day's critical load",
        s.decemberKWh() / perDay,
        "",
        2,
        Say.number(s.decemberKWh(), 1) + " kWh, " + Say.number(perDay, 1) + " kWh");
    add(
        ARRAY,
        "string, open, coldest morning",
        s.stringColdV(),
        "V",
        1,
        "cells at " + Say.celsius(s.assumptions().coldestC()));
    add(
        ARRAY,
        "string, maximum power, hottest noon",
        s.stringHotV(),
        "V",
        1,
        "cells at "
            + Say.celsius(s.cellHotC())
            + "; absorption "
            + Say.volts(s.charge().absorptionV()));
  }

  private void inverter() {
    Site.Inverter inverter = s.inverter();
    add(
        INVERTER,
        "critical peak over rated power",
        100 * s.critical().peakVa() / inverter.ratedW(),
        "%",
        1,
        Say.voltAmps(s.critical().peakVa()) + " of " + Say.watts(inverter.ratedW()));
    s.critical().starts().stream()
        .max(Comparator.comparingDouble(PanelLoad.MotorStart::panelVa))
        .ifPresent(
            start ->
                add(
                    INVERTER,
                    "worst motor start over surge",
                    100 * start.panelVa() / s.borneVa(start.forS()),
                    "%",
                    1,
                    start.circuit() + (start.stated() ? ", as stated" : ", assumed")));
    double ratedA = Math.max(s.dcA(inverter.ratedW()), s.chargeMostA());
    double dropV = ratedA * s.battery().cableOhm();
    add(
        INVERTER,
        "drop over the battery's cable",
        100 * dropV / s.battery().nominalV(),
        "%",
        2,
        Say.volts(dropV) + " at " + Say.amps(ratedA));
  }
}
