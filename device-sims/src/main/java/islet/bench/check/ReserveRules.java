package islet.bench.check;

import static islet.bench.check.Severity.DOUBTFUL;
import static islet.bench.check.Severity.NOTE;
import static islet.bench.check.Severity.WRONG;

import islet.site.Site;
import java.util.List;

/** Floor, reserve, disconnect and shedding: how a bank is emptied. */
final class ReserveRules {

  private static final String MEMORY = "common practice, from memory";
  private static final String MODEL = "resting and loaded voltages of the plant's model";
  private static final double EDGE = 1e-9;
  private static final double HOURS_A_DAY = 24;

  /** A mean day of the darkest month over a clear one; a rule of thumb, from memory. */
  private static final double MEAN_OVER_CLEAR = 0.5;

  private ReserveRules() {}

  static final List<Rule> ALL =
      List.of(
          new Rule(
              "disconnect-band",
              WRONG,
              "disconnect under load: lead-acid 1.75 to 1.95 V per cell, lithium 2.80 to 3.10",
              "Too low empties cells beyond return; too high drops the loads of a bank that is still"
                  + " half full.",
              MEMORY,
              ReserveRules::disconnectBand),
          new Rule(
              "disconnect-load",
              WRONG,
              "the bank's voltage under the critical peak above the disconnect, from the reserve down"
                  + " to the floor",
              "The disconnect is judged under load: it drops the panel while energy that was kept for"
                  + " it is still in the bank.",
              MODEL,
              ReserveRules::disconnectLoad),
          new Rule(
              "reconnect-rest",
              WRONG,
              "reconnect above the voltage to which the bank recovers at its floor by itself",
              "The voltage rises when the loads drop: they would come back onto an empty bank, again"
                  + " and again.",
              MODEL,
              ReserveRules::reconnectRest),
          new Rule(
              "reconnect-reach",
              DOUBTFUL,
              "reconnect below the resting voltage of the full bank",
              "Else the loads come back only while something charges hard.",
              MODEL,
              ReserveRules::reconnectReach),
          new Rule(
              "recovery-hysteresis",
              DOUBTFUL,
              "recovery at least 5 % above the floor",
              "State of charge is known to some percent only: loads would come and go.",
              "common practice",
              ReserveRules::recoveryHysteresis),
          new Rule(
              "floor-depth",
              WRONG,
              "floor: lead-acid 20 % or more, lithium 5 % or more",
              "Each deep discharge costs a lead-acid bank a part of its life; a cell at the end of the"
                  + " string is reversed.",
              MEMORY,
              ReserveRules::floorDepth),
          new Rule(
              "reserve-margin",
              DOUBTFUL,
              "reserve at least 10 % above the floor",
              "State of charge is in doubt by some 5 %, lithium by more: what lies between may be"
                  + " nothing.",
              "common practice",
              ReserveRules::reserveMargin),
          new Rule(
              "stated-outage",
              WRONG,
              "a reserve that carries the critical panel through the stated outage on its worst day",
              "The reserve is what is left when the outage begins at the worst moment.",
              "arithmetic on the site's own figures",
              ReserveRules::statedOutage),
          new Rule(
              "autonomy",
              DOUBTFUL,
              "without a utility: three days from full to the floor without sun",
              "Dull days come in rows, and a bank that is emptied each night does not last.",
              MEMORY,
              ReserveRules::autonomy),
          new Rule(
              "winter-sun",
              WRONG,
              "without a utility: an array that feeds the loads through the darkest month",
              "A month has no reserve: what the sun does not bring is missing.",
              "half of a clear day's yield as the month's mean, common practice, from memory",
              ReserveRules::winterSun),
          new Rule(
              "shed-above-reserve",
              DOUBTFUL,
              "shedding to begin below the reserve",
              "Else an outage that begins at the reserve drops circuits at once, though the reserve"
                  + " was kept for them.",
              "common practice",
              ReserveRules::shedAboveReserve),
          new Rule(
              "shed-hysteresis",
              DOUBTFUL,
              "circuits to come back at least 5 % above where they went",
              "State of charge is known to some percent only: circuits would come and go.",
              "common practice",
              ReserveRules::shedHysteresis),
          new Rule(
              "shed-steps",
              DOUBTFUL,
              "at least 2 % of charge between one circuit and the next",
              "Closer than the doubt of the measurement they all go at once, in no order.",
              "common practice",
              ReserveRules::shedSteps),
          new Rule(
              "shed-nothing",
              NOTE,
              "at least one circuit that may be shed",
              "Without one, all critical loads go together at the floor.",
              "common practice",
              ReserveRules::shedNothing),
          new Rule(
              "limit-tolerance",
              DOUBTFUL,
              "limits of the bank to be tolerated for 5 min at most",
              "A limit that may be passed for long is none.",
              "common practice",
              ReserveRules::limitTolerance));

  private static void disconnectBand(Subject s, Findings f) {
    double v = s.perCell(s.limits().disconnectV());
    double low = s.leadAcid() ? 1.75 : 2.80;
    double high = s.leadAcid() ? 1.95 : 3.10;
    if (v < low - EDGE || v > high + EDGE) {
      f.tell(
          v < low ? WRONG : DOUBTFUL,
          "battery.limits.disconnectVoltage",
          Say.volts(s.limits().disconnectV())
              + ", which is "
              + Say.cellVolts(v)
              + "; asked is "
              + Say.cellVolts(low)
              + " to "
              + Say.cellVolts(high),
          "Set "
              + Say.volts(low * s.battery().cells())
              + " to "
              + Say.volts(high * s.battery().cells())
              + ".");
    }
  }

  private static void disconnectLoad(Subject s, Findings f) {
    double peakA = s.dcA(s.critical().peakW());
    double meanA = s.dcA(s.critical().worstDayW());
    double atReserveV = s.loadedV(s.supervision().reserveSoc(), peakA);
    double atFloorV = s.loadedV(Math.max(s.limits().floorSoc(), 0.02), meanA);
    double disconnectV = s.limits().disconnectV();
    if (atReserveV < disconnectV) {
      f.tell(
          WRONG,
          "battery.limits.disconnectVoltage",
          Say.volts(disconnectV)
              + "; at the reserve a peak of "
              + Say.amps(peakA)
              + " takes the bank down to "
              + Say.volts(atReserveV),
          "Lower the disconnect within the bank's band, or take a larger bank.");
    } else if (atFloorV < disconnectV) {
      f.tell(
          DOUBTFUL,
          "battery.limits.disconnectVoltage",
          Say.volts(disconnectV)
              + "; at the floor the mean load of "
              + Say.amps(meanA)
              + " takes the bank down to "
              + Say.volts(atFloorV)
              + ", so that the floor is never reached",
          "Lower the disconnect within the bank's band, or raise the floor.");
    }
  }

  private static void reconnectRest(Subject s, Findings f) {
    double restV = s.restingV(s.limits().floorSoc());
    if (s.limits().reconnectV() < restV) {
      f.tell(
          WRONG,
          "battery.limits.reconnectVoltage",
          Say.volts(s.limits().reconnectV())
              + "; at the floor the bank recovers to "
              + Say.volts(restV)
              + " without any charge",
          "Set it above that, to a voltage that only a charge brings.");
    }
  }

  private static void reconnectReach(Subject s, Findings f) {
    double restV = s.restingV(1);
    if (s.limits().reconnectV() > restV) {
      f.tell(
          DOUBTFUL,
          "battery.limits.reconnectVoltage",
          Say.volts(s.limits().reconnectV()) + "; a full bank rests at " + Say.volts(restV),
          "Lower it, else a passing cloud keeps the panel dark.");
    }
  }

  private static void recoveryHysteresis(Subject s, Findings f) {
    double gap = s.limits().recoverySoc() - s.limits().floorSoc();
    if (gap < 0.05 - EDGE) {
      f.tell(
          DOUBTFUL,
          "battery.limits.recovery",
          Say.share(s.limits().recoverySoc()) + ", " + Say.share(gap) + " above the floor",
          "Set it 5 % to 15 % above the floor.");
    }
  }

  private static void floorDepth(Subject s, Findings f) {
    double floor = s.limits().floorSoc();
    double least = s.leadAcid() ? 0.20 : 0.05;
    if (floor < least - EDGE) {
      f.tell(
          s.leadAcid() && floor < 0.10 - EDGE ? WRONG : DOUBTFUL,
          "battery.limits.floor",
          Say.share(floor) + "; asked is " + Say.share(least) + " or more",
          "Raise it; for a long life of a lead-acid bank to 50 %.");
    }
  }

  private static void reserveMargin(Subject s, Findings f) {
    double gap = s.supervision().reserveSoc() - s.limits().floorSoc();
    if (gap < 0.10 - EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.reserve",
          Say.share(s.supervision().reserveSoc()) + ", " + Say.share(gap) + " above the floor",
          "Raise the reserve by the load that it shall carry.");
    }
  }

  private static void statedOutage(Subject s, Findings f) {
    if (s.assumptions().outageS().isEmpty()) {
      return;
    }
    double statedH = s.assumptions().outageS().getAsDouble() / 3600;
    double hours =
        s.autonomyH(s.supervision().reserveSoc(), s.limits().floorSoc(), s.critical().worstDayW());
    if (hours < statedH) {
      double need = s.limits().floorSoc() + needed(s, statedH);
      f.tell(
          WRONG,
          "supervision.reserve",
          Say.share(s.supervision().reserveSoc())
              + " lasts "
              + Say.hours(hours)
              + "; the stated outage is "
              + Say.hours(statedH),
          need <= 1
              ? "Raise the reserve to " + Say.share(need) + ", or shed more and sooner."
              : "The bank is too small for that outage: a larger one, or fewer circuits.");
    }
  }

  /** Share of the bank that the stated outage takes. */
  private static double needed(Subject s, double hours) {
    return s.islandW(s.critical().worstDayW()) * hours / s.energyWh(1, 0);
  }

  private static void autonomy(Subject s, Findings f) {
    double hours = s.autonomyH(1, s.limits().floorSoc(), s.critical().worstDayW());
    if (!s.site().arrangement().hasUtility() && hours < 3 * HOURS_A_DAY) {
      f.tell(
          DOUBTFUL,
          "battery.capacity",
          Say.number(s.battery().capacity20hAh(), 1)
              + " Ah last "
              + Say.number(hours, 1)
              + " h from full to the floor; asked are three days",
          "A larger bank, or fewer loads; say who comes when it is dark.");
    }
  }

  private static void winterSun(Subject s, Findings f) {
    if (s.site().arrangement().hasUtility()) {
      return;
    }
    double clearKWh = Math.min(s.juneKWh(), s.decemberKWh());
    double clearWh = 1000 * clearKWh * s.arrayUse() / s.ampHoursIn();
    double needsWh = HOURS_A_DAY * s.islandW(s.critical().meanW());
    if (MEAN_OVER_CLEAR * clearWh < needsWh) {
      // Half is a rule of thumb; that a clear day is not enough needs no rule.
      f.tell(
          clearWh < needsWh ? WRONG : DOUBTFUL,
          "pv",
          "a clear day of the darkest month brings "
              + Say.number(clearWh / 1000, 2)
              + " kWh to the loads, a mean one about half; they take "
              + Say.number(needsWh / 1000, 2)
              + " kWh",
          "More modules, a steeper tilt, fewer loads; rehearse a December with real weather.");
    }
  }

  private static void shedAboveReserve(Subject s, Findings f) {
    Site.Supervision v = s.supervision();
    if (s.site().arrangement().hasUtility()
        && !v.shedding().isEmpty()
        && v.shedBelowSoc() > v.reserveSoc() + EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.shedBelow",
          Say.share(v.shedBelowSoc()) + "; the reserve is " + Say.share(v.reserveSoc()),
          "Set it between the floor and the reserve.");
    }
  }

  private static void shedHysteresis(Subject s, Findings f) {
    double gap = s.supervision().restoreAboveSoc() - s.supervision().shedBelowSoc();
    if (gap < 0.05 - EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.restoreAbove",
          Say.share(s.supervision().restoreAboveSoc()) + ", " + Say.share(gap) + " above shedBelow",
          "Set it 5 % to 15 % above shedBelow.");
    }
  }

  private static void shedSteps(Subject s, Findings f) {
    int circuits = s.supervision().shedding().size();
    double step = (s.supervision().shedBelowSoc() - s.limits().floorSoc()) / Math.max(1, circuits);
    if (circuits > 0 && step < 0.02 - EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.shedBelow",
          circuits
              + (circuits == 1 ? " circuit goes" : " circuits go")
              + " between "
              + Say.share(s.supervision().shedBelowSoc())
              + " and the floor, one each "
              + Say.share(step),
          "Begin to shed earlier.");
    }
  }

  private static void shedNothing(Subject s, Findings f) {
    if (s.supervision().shedding().isEmpty()) {
      f.tell(
          NOTE,
          "supervision.shedding",
          "no circuit that may be shed",
          "Name the circuits that can wait, the first to go first.");
    }
  }

  private static void limitTolerance(Subject s, Findings f) {
    if (s.limits().toleranceS() > 300) {
      f.tell(
          DOUBTFUL,
          "battery.limits.tolerance",
          Say.seconds(s.limits().toleranceS()) + "; asked is 300 s at most",
          "Set 60 s.");
    }
  }
}
