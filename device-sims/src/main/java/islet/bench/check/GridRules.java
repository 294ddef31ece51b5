package islet.bench.check;

import static islet.bench.check.Severity.DANGER;
import static islet.bench.check.Severity.DOUBTFUL;
import static islet.bench.check.Severity.WRONG;

import islet.site.GridProfile;
import islet.site.Site;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/** Leaving the utility and coming back to it. */
final class GridRules {

  private static final String TABLE_4 = "IEEE Std 1547-2018, Table 4, from memory";
  private static final String ITI = "ITI (CBEMA) curve application note, 2000, from memory";
  private static final double ITI_DROPOUT_S = 0.020;
  private static final double EDGE = 1e-9;

  private GridRules() {}

  static final List<Rule> ALL =
      List.of(
          new Rule(
              "enter-delay",
              WRONG,
              "a healthy utility for 300 s before the site comes back to it",
              "After an outage lines are tried and switched again; who returns at once is there when"
                  + " they fail.",
              TABLE_4,
              GridRules::enterDelay),
          new Rule(
              "enter-band",
              DOUBTFUL,
              "a return within 0.917 to 1.05 pu and, at 60 Hz, 59.5 to 60.1 Hz",
              "A wider band returns to a utility that is still in trouble.",
              TABLE_4,
              GridRules::enterBand),
          new Rule(
              "return-ramp",
              DOUBTFUL,
              "power to rise over 300 s after the return, where the site feeds",
              "All sites of a line that come back at full power at once upset it again.",
              TABLE_4,
              GridRules::returnRamp),
          new Rule(
              "trips-missing",
              DANGER,
              "trips on over- and under-voltage, over- and under-frequency, where a tie joins both"
                  + " sides",
              "A site that does not notice one of them stays on a utility that is gone.",
              "IEEE Std 1547-2018, 6.4 and 6.5, from memory",
              GridRules::tripsMissing),
          new Rule(
              "trips-slow",
              WRONG,
              "trips no later than the defaults of category III",
              "What trips later than the utility's own protection counts on is in its way.",
              "IEEE Std 1547-2018, Tables 13 and 18, from memory",
              GridRules::tripsSlow),
          new Rule(
              "island-detection",
              DANGER,
              "an unintentional island to end within 2 s",
              "A line that is kept alive by a site can kill who works on it.",
              "IEEE Std 1547-2018, 8.1, from memory",
              GridRules::islandDetection),
          new Rule(
              "sync-limits",
              DANGER,
              "a sync check no wider than 10 %, 0.3 Hz and 20°",
              "Closing out of step is a short circuit with a delay: 20° are a third of the voltage"
                  + " across the switch.",
              "IEEE Std 1547-2018, Table 5, to 500 kVA, from memory",
              GridRules::syncLimits),
          new Rule(
              "sag-ride-through",
              DOUBTFUL,
              "a tie that leaves in a sag, where critical loads hang on it",
              "Riding through serves the utility; the critical loads see the sag all its length.",
              ITI,
              GridRules::sagRideThrough),
          new Rule(
              "separate-below",
              DOUBTFUL,
              "a tie that leaves below 0.70 pu at the latest",
              "Loads bear 0.70 pu for half a second, and less for 20 ms.",
              ITI,
              GridRules::separateBelow),
          new Rule(
              "transfer-time",
              WRONG,
              "detection and the tie's travel within 16 ms, 4 ms of the loads' 20 ms left for the"
                  + " inverter",
              "Beyond 20 ms without voltage computers restart and contactors drop.",
              ITI,
              GridRules::transferTime),
          new Rule(
              "changeover-time",
              WRONG,
              "detection, travel and dead time of an automatic changeover within 20 ms",
              "Beyond 20 ms without voltage computers restart and contactors drop.",
              ITI,
              GridRules::changeoverTime),
          new Rule(
              "changeover-manual",
              DOUBTFUL,
              "an automatic changeover, where loads are critical",
              "Until somebody comes, the loads are dark.",
              "common practice",
              GridRules::changeoverManual),
          new Rule(
              "service-rise",
              WRONG,
              "rise over the service at the full export limit: 2 % at most, 5 % never",
              "The panel's voltage climbs until the site trips on over-voltage on sunny days.",
              "common practice; service voltage within 5 %, ANSI C84.1, from memory",
              GridRules::serviceRise),
          new Rule(
              "service-drop",
              DOUBTFUL,
              "drop over the service with all loads on and the bank charged: 3 % at most",
              "Lights dip when the charge begins, and sags look deeper than they are.",
              "common practice, from memory",
              GridRules::serviceDrop));

  private static boolean returns(Subject s) {
    return s.site().arrangement().hasSwitch();
  }

  private static void enterDelay(Subject s, Findings f) {
    double delayS = s.site().profile().enter().delayS();
    if (returns(s) && delayS < 300 - EDGE) {
      f.tell(
          s.site().arrangement().hasTie() ? WRONG : DOUBTFUL,
          "profile",
          "a delay of " + Say.seconds(delayS) + "; asked is 300 s",
          "Set 300 s, unless the utility has agreed to less in writing.");
    }
  }

  private static void enterBand(Subject s, Findings f) {
    if (!returns(s)) {
      return;
    }
    GridProfile.EnterService e = s.site().profile().enter();
    List<String> wide = new ArrayList<>();
    if (e.minimumPu() < 0.917 - EDGE) {
      wide.add("from " + Say.number(e.minimumPu(), 3) + " pu");
    }
    if (e.maximumPu() > 1.05 + EDGE) {
      wide.add("to " + Say.number(e.maximumPu(), 3) + " pu");
    }
    if (sixty(s) && e.minimumHz() < 59.5 - EDGE) {
      wide.add("from " + Say.number(e.minimumHz(), 2) + " Hz");
    }
    if (sixty(s) && e.maximumHz() > 60.1 + EDGE) {
      wide.add("to " + Say.number(e.maximumHz(), 2) + " Hz");
    }
    if (!wide.isEmpty()) {
      f.tell(
          DOUBTFUL,
          "profile",
          "a return " + String.join(", ", wide),
          "Take the band of the grid code, unless the utility asks for another.");
    }
  }

  /** The tables name frequencies for 60 Hz only. */
  private static boolean sixty(Subject s) {
    return Math.abs(s.site().utility().nominalHz() - 60) < EDGE;
  }

  private static void returnRamp(Subject s, Findings f) {
    double rampS = s.site().profile().enter().rampS();
    if (s.site().arrangement().mayFeed() && rampS < 300 - EDGE) {
      f.tell(
          DOUBTFUL,
          "profile",
          "a ramp of " + Say.seconds(rampS) + "; asked is 300 s",
          "Set 300 s, unless the utility has agreed to less.");
    }
  }

  private static void tripsMissing(Subject s, Findings f) {
    if (!s.site().arrangement().hasTie()) {
      return;
    }
    for (GridProfile.Quantity quantity : GridProfile.Quantity.values()) {
      if (s.site().profile().trips().stream().noneMatch(t -> t.quantity() == quantity)) {
        f.tell(
            DANGER,
            "profile",
            "no trip on " + word(quantity),
            "Add it, or name a profile that ships.");
      }
    }
  }

  private static String word(GridProfile.Quantity quantity) {
    return switch (quantity) {
      case OVER_VOLTAGE -> "over-voltage";
      case UNDER_VOLTAGE -> "under-voltage";
      case OVER_FREQUENCY -> "over-frequency";
      case UNDER_FREQUENCY -> "under-frequency";
    };
  }

  private static void tripsSlow(Subject s, Findings f) {
    if (!s.site().arrangement().hasTie()) {
      return;
    }
    late(s, f, GridProfile.Quantity.OVER_VOLTAGE, 1.20, 0.16, "pu");
    late(s, f, GridProfile.Quantity.OVER_VOLTAGE, 1.10, 13, "pu");
    late(s, f, GridProfile.Quantity.UNDER_VOLTAGE, 0.45, 2, "pu");
    late(s, f, GridProfile.Quantity.UNDER_VOLTAGE, 0.70, 21, "pu");
    if (sixty(s)) {
      late(s, f, GridProfile.Quantity.OVER_FREQUENCY, 62, 0.16, "Hz");
      late(s, f, GridProfile.Quantity.UNDER_FREQUENCY, 56.5, 0.16, "Hz");
    }
  }

  /** Tells when no trip of this kind acts at the limit, or closer to nominal, in its time. */
  private static void late(
      Subject s,
      Findings f,
      GridProfile.Quantity quantity,
      double limit,
      double clearingS,
      String unit) {
    boolean over =
        switch (quantity) {
          case OVER_VOLTAGE, OVER_FREQUENCY -> true;
          case UNDER_VOLTAGE, UNDER_FREQUENCY -> false;
        };
    List<GridProfile.Trip> trips =
        s.site().profile().trips().stream().filter(t -> t.quantity() == quantity).toList();
    boolean inTime =
        trips.stream()
            .anyMatch(
                t ->
                    (over ? t.limit() <= limit + EDGE : t.limit() >= limit - EDGE)
                        && t.clearingS() <= clearingS + EDGE);
    if (!trips.isEmpty() && !inTime) {
      f.tell(
          WRONG,
          "profile",
          "no "
              + word(quantity)
              + " trip at "
              + Say.number(limit, 2)
              + " "
              + unit
              + " within "
              + Say.seconds(clearingS),
          "Compare the profile with the standard and with the utility's letter.");
    }
  }

  private static void islandDetection(Subject s, Findings f) {
    double detectionS = s.site().profile().islandDetectionS();
    if (s.site().arrangement().hasTie() && detectionS > 2 + EDGE) {
      f.tell(
          DANGER,
          "profile",
          "an island may last " + Say.seconds(detectionS) + "; asked is 2 s at most",
          "Set 2 s.");
    }
  }

  private static void syncLimits(Subject s, Findings f) {
    GridProfile.SyncLimits sync = s.site().profile().sync();
    boolean wide =
        sync.voltagePu() > 0.10 + EDGE
            || sync.frequencyHz() > 0.3 + EDGE
            || sync.angleDeg() > 20 + EDGE;
    if (s.site().arrangement().hasTie() && wide) {
      f.tell(
          DANGER,
          "profile",
          "closing at up to "
              + Say.share(sync.voltagePu())
              + ", "
              + Say.number(sync.frequencyHz(), 2)
              + " Hz and "
              + Say.degrees(sync.angleDeg()),
          "Set 10 %, 0.3 Hz and 20 deg or less.");
    }
  }

  private static void sagRideThrough(Subject s, Findings f) {
    if (s.site().arrangement().hasTie()
        && s.supervision().onSag() == Site.OnSag.RIDE_THROUGH
        && s.critical().peakW() > 0) {
      f.tell(
          DOUBTFUL,
          "supervision.onSag",
          "ride-through, with "
              + Say.watts(s.critical().peakW())
              + " of critical loads behind the tie",
          "Set separate, unless the utility asks for ride-through; then give loads that must not"
              + " stop a supply of their own.");
    }
  }

  private static void separateBelow(Subject s, Findings f) {
    s.site()
        .tie()
        .map(Site.Tie::separateBelowPu)
        .filter(pu -> s.supervision().onSag() == Site.OnSag.SEPARATE && pu < 0.70 - EDGE)
        .ifPresent(
            pu ->
                f.tell(
                    DOUBTFUL,
                    "tie.separateBelow",
                    Say.number(pu, 2) + " pu; asked is 0.7 pu or more",
                    "Set 0.70 pu."));
  }

  private static void transferTime(Subject s, Findings f) {
    Optional<Site.Tie> tie = s.site().tie();
    if (tie.isEmpty()) {
      return;
    }
    double sumS = tie.get().lossS() + tie.get().operateS();
    if (sumS > ITI_DROPOUT_S - 0.004 + EDGE) {
      f.tell(
          sumS > ITI_DROPOUT_S + EDGE ? WRONG : DOUBTFUL,
          "tie.operateTime",
          Say.seconds(tie.get().lossS())
              + " to see the loss and "
              + Say.seconds(tie.get().operateS())
              + " of travel are "
              + Say.seconds(sumS)
              + " without voltage; loads bear 20 ms",
          "A faster switch; or say to the owner which loads will restart.");
    }
  }

  private static void changeoverTime(Subject s, Findings f) {
    Optional<Site.Changeover> changeover = s.site().changeover().filter(c -> !c.manual());
    if (changeover.isEmpty()) {
      return;
    }
    Site.Changeover c = changeover.get();
    double sumS = c.lossS() + c.operateS() + c.deadS();
    if (sumS > ITI_DROPOUT_S + EDGE) {
      f.tell(
          WRONG,
          "changeover.deadTime",
          Say.seconds(c.lossS())
              + " to see the loss, "
              + Say.seconds(c.operateS())
              + " of travel and "
              + Say.seconds(c.deadS())
              + " between the contacts are "
              + Say.seconds(sumS)
              + "; loads bear 20 ms",
          "A faster switch; or say to the owner which loads will restart.");
    }
  }

  private static void changeoverManual(Subject s, Findings f) {
    if (s.site().changeover().filter(Site.Changeover::manual).isPresent()) {
      f.tell(
          DOUBTFUL,
          "changeover.kind",
          "manual, with " + Say.watts(s.critical().peakW()) + " of critical loads behind it",
          "An automatic one, or nothing behind it that can't wait for a person.");
    }
  }

  private static void serviceRise(Subject s, Findings f) {
    Site.Utility u = s.site().utility();
    double share = u.exportLimitW() * u.serviceOhm() / (u.nominalV() * u.nominalV());
    if (s.site().arrangement().mayFeed() && share > 0.02) {
      f.tell(
          share > 0.05 ? WRONG : DOUBTFUL,
          "utility.exportLimit",
          Say.watts(u.exportLimitW())
              + " lift the panel by "
              + Say.share(share)
              + " over "
              + Say.number(1000 * u.serviceOhm(), 0)
              + " mΩ of service",
          "A lower limit or a thicker service; ask the utility for its own figure.");
    }
  }

  private static void serviceDrop(Subject s, Findings f) {
    if (!s.site().arrangement().hasUtility()) {
      return;
    }
    Site.Utility u = s.site().utility();
    double chargeW = s.site().utilityChargeA() * s.charge().absorptionV();
    double loadW =
        s.noncritical().peakW()
            + (s.site().arrangement().hasSwitch() ? s.critical().peakW() : 0)
            + chargeW;
    double share = loadW * u.serviceOhm() / (u.nominalV() * u.nominalV());
    if (share > 0.03) {
      f.tell(
          DOUBTFUL,
          "utility.serviceResistance",
          Say.watts(loadW) + " of loads and charge drop " + Say.share(share),
          "A thicker service, or charge while the loads are small.");
    }
  }
}
