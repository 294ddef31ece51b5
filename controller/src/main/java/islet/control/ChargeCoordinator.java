package islet.control;

import islet.contract.BatteryPath;
import islet.contract.ChargeStage;
import islet.site.Site;
import islet.site.Site.Battery;
import islet.site.Site.Charge;
import islet.site.Site.Rest;

/**
 * One charge stage for the battery, shared by both chargers: bulk, absorption, float, equalise,
 * rest, with temperature-compensated set points. The battery's current limit is divided so that the
 * sum of the set points never exceeds it: the sun first, then the utility if the schedule lets it.
 *
 * <p>Stages and set points after common practice for lead-acid (references R17); ends of absorption
 * on tail current or time-out. Lithium cells go through the same stages at set points that no
 * temperature moves. When their management unit refuses charge, nobody charges, and the sun serves
 * the loads past them; when it has taken them off the bus, the bus is held at float for whatever it
 * carries.
 */
final class ChargeCoordinator {

  /** The stage changes when the voltage is this close to its set point, V per V nominal. */
  private static final double NEAR = 0.15 / 48;

  /**
   * With surplus fed to the panels, the regulator's set point lies above the feed's by this, V per
   * V nominal.
   */
  private static final double FEED_GAP = 0.4 / 48;

  /**
   * Current kept free for the sun to rise into before the utility's share is cut again, A per A
   * limit.
   */
  private static final double HEADROOM = 0.1;

  /**
   * While the sun gives, a charger of its own holds the bus this much lower, so that it gives only
   * what the sun can't, V per V nominal.
   */
  private static final double SUN_FIRST = 0.2 / 48;

  /** A battery that refuses charge draws less than this, A per Ah: what a shunt can tell. */
  private static final double NOTHING_SHARE = 0.001;

  /** With little left to believe, this part of the battery's charging limit (common practice). */
  private static final double CAREFUL_SHARE = 0.5;

  private static final long REACHED_MICROS = 10_000_000;
  private static final long TAIL_MICROS = 120_000_000;
  private static final long REBULK_MICROS = 60_000_000;
  private static final double REFERENCE_C = 25;

  private final Site site;
  private final Battery battery;
  private final Charge charge;
  private final double near;
  private final boolean separate;
  private final boolean coordinated;
  private ChargeStage stage = ChargeStage.BULK;
  private final Since reached = new Since();
  private final Since tail = new Since();
  private final Since low = new Since();
  private long absorbedMicros;
  private long last;
  private boolean full;
  private boolean outsideTemperature;
  private boolean tooHigh;
  private boolean apart;
  private boolean blocked;
  private boolean wasApart;
  private final Equalising equalising;
  private final Since afloat = new Since();
  private final long restMicros;
  private final double restV;
  private double setV;
  private double surplusW;

  /** How long a condition has held without a break. */
  private static final class Since {
    private long start = Long.MAX_VALUE;

    boolean held(boolean condition, long now, long micros) {
      if (!condition) {
        start = Long.MAX_VALUE;
        return false;
      }
      if (start == Long.MAX_VALUE) {
        start = now;
      }
      return now - start >= micros;
    }
  }

  ChargeCoordinator(Site site) {
    this.site = site;
    battery = site.battery();
    charge = battery.charge();
    near = NEAR * battery.nominalV();
    equalising = new Equalising(charge.equalise());
    restMicros = GridQualification.micros(charge.rest().map(Rest::afterS).orElse(0.0));
    restV = charge.rest().map(Rest::voltageV).orElse(charge.floatV());
    separate = site.arrangement().hasCharger();
    coordinated = site.supervision().coordination() == Site.Coordination.SHARED;
  }

  /**
   * Decides the stage and divides the current.
   *
   * @param belief what is believed of the battery
   * @param fromUtility whether the utility may charge
   * @param utilityLimitA the most current from the utility
   * @param mayFeed whether surplus may go to the panels and the utility
   * @param feedCeilingW the most power that may be fed now
   */
  void decide(
      Inputs in,
      Belief belief,
      boolean fromUtility,
      double utilityLimitA,
      boolean mayFeed,
      double feedCeilingW,
      Outputs out,
      long now) {
    // Cells that frost harms are not charged on a guess.
    outsideTemperature =
        (belief.temperatureKnown || battery.chemistry() == Site.Chemistry.LFP)
            && (!belief.temperatureKnown
                || belief.coldestC < battery.limits().minimumChargeC()
                || belief.warmestC > battery.limits().maximumChargeC());
    if (fresh(in.meterAt(), now)) {
      apart = in.meter().batteryPath() == BatteryPath.OPEN;
      boolean refuses = in.meter().batteryPath() == BatteryPath.DISCHARGE_ONLY;
      outsideTemperature |= refuses;
      // Believed only as long as the shunt says the same.
      blocked = refuses && in.meter().batteryCurrentA() < NOTHING_SHARE * battery.capacity20hAh();
    } else {
      blocked = false;
    }
    step(belief, out, now);

    double limitA = outsideTemperature || tooHigh ? 0 : battery.limits().maximumChargeA();
    if (stage == ChargeStage.EQUALISE) {
      limitA = Math.min(limitA, equalising.limitA());
    }
    if (belief.careful) {
      limitA *= CAREFUL_SHARE;
    }
    // What is not heard counts as the dangerous case: a sun that may take the whole limit, and no
    // draw that would let the regulator give more than the battery may take.
    double sunA =
        fresh(in.regulatorAt(), now) ? Math.max(0, in.regulator().outputCurrentA()) : limitA;
    double drawA = fresh(in.inverterAt(), now) ? Math.max(0, -in.inverter().dcCurrentA()) : 0;
    double grantA = 0;
    if (fromUtility && stage != ChargeStage.OFF && stage != ChargeStage.REST) {
      // A charger of its own may also give what the inverter draws meanwhile.
      double mostA = separate ? limitA + drawA : limitA;
      double room = mostA - sunA - HEADROOM * limitA;
      grantA = Math.max(0, Math.min(Math.min(utilityLimitA, mostA), sunA < 0.5 ? mostA : room));
    }
    // A charger that is not heard may charge by its own settings, as much as it can.
    boolean unheard = separate && !fresh(in.chargerAt(), now);
    double othersA = unheard ? Math.max(grantA, site.utilityChargeA()) : grantA;
    // A bus that no battery holds down needs a voltage, not a current by a draw told a second ago.
    boolean free = apart || blocked;
    double mostRegulatorA =
        free ? site.regulator().ratedA() : Math.max(0, limitA - othersA) + drawA;
    double regulatorA = Math.min(site.regulator().ratedA(), mostRegulatorA);

    // What would be fed at rest came out of the battery as soon as the sun gave less.
    boolean rests = stage == ChargeStage.OFF || stage == ChargeStage.REST;
    boolean feeding = mayFeed && feedCeilingW > 0 && (!rests || blocked);
    out.stage = stage;
    out.regulatorEnabled = free || (!tooHigh && (!outsideTemperature || drawA > 0));
    out.regulatorVoltageV = feeding ? setV + FEED_GAP * battery.nominalV() : setV;
    out.regulatorLimitA = regulatorA;
    out.setPointsOrdered = coordinated;
    out.chargeVoltageV = setV;
    out.chargeLimitA = separate ? 0 : grantA;
    out.chargerEnabled = separate && grantA > 0;
    out.chargerVoltageV = sunA >= 0.5 ? setV - SUN_FIRST * battery.nominalV() : setV;
    out.chargerLimitA = separate ? grantA : 0;
    feed(in, feeding, feedCeilingW, grantA, limitA, regulatorA, out);
  }

  private static boolean fresh(long arrived, long now) {
    return now - arrived <= BatteryEstimate.FRESH_MICROS;
  }

  /**
   * Surplus: near full the feed takes whatever lifts the bus above the set point; in bulk, where
   * the battery's current limit would waste the sun, a slow search feeds just what the battery must
   * not take.
   */
  private void feed(
      Inputs in,
      boolean feeding,
      double ceilingW,
      double grantA,
      double limitA,
      double regulatorA,
      Outputs out) {
    if (!feeding || grantA > 0) {
      surplusW = 0;
      out.feedVoltageV = setV + FEED_GAP * battery.nominalV();
      out.feedLimitW = 0;
      return;
    }
    if (stage != ChargeStage.BULK) {
      surplusW = 0;
      out.feedVoltageV = setV;
      out.feedLimitW = ceilingW;
      return;
    }
    double step = 0.002 * site.inverter().ratedW();
    double batteryA = in.meter().batteryCurrentA();
    if (batteryA < 0.93 * limitA) {
      surplusW = Math.max(0, surplusW - 2 * step);
    } else if (in.regulator().outputCurrentA() > 0.97 * regulatorA) {
      surplusW = Math.min(ceilingW, surplusW + step);
    }
    out.feedVoltageV = surplusW > 0 ? battery.nominalV() : setV + FEED_GAP * battery.nominalV();
    out.feedLimitW = Math.min(surplusW, ceilingW);
  }

  private void step(Belief belief, Outputs out, long now) {
    double voltageV = belief.voltageV;
    double currentA = belief.currentA;
    // Not knowing it, no set point is raised for a cold battery.
    double temperatureC =
        belief.temperatureKnown ? belief.warmestC : Math.max(REFERENCE_C, belief.warmestC);
    long elapsed = last == 0 ? 0 : now - last;
    last = now;
    full = false;
    // A charger whose own voltmeter reads low lifts the battery above what was set.
    if (voltageV > battery.limits().maximumV()) {
      tooHigh = true;
    } else if (voltageV < compensated(charge.floatV(), temperatureC)) {
      tooHigh = false;
    }
    if (outsideTemperature || tooHigh) {
      stage = ChargeStage.OFF;
      setV = compensated(charge.floatV(), temperatureC);
      return;
    }
    double absorptionV = compensated(charge.absorptionV(), temperatureC);
    double floatV = compensated(charge.floatV(), temperatureC);
    if (apart) {
      wasApart = true;
      stage = ChargeStage.REST;
      setV = floatV;
      return;
    }
    if (wasApart) {
      wasApart = false;
      stage = ChargeStage.OFF;
    }
    switch (stage) {
      case OFF -> stage = ChargeStage.BULK;
      case BULK -> {
        if (reached.held(voltageV >= absorptionV - near, now, REACHED_MICROS)) {
          absorbedMicros = 0;
          stage = ChargeStage.ABSORPTION;
        }
      }
      case ABSORPTION -> {
        boolean atSet = voltageV >= absorptionV - 2 * near;
        if (atSet) {
          absorbedMicros += elapsed;
        }
        boolean tailed =
            tail.held(
                atSet && belief.currentSure && currentA > 0 && currentA < charge.tailA(),
                now,
                TAIL_MICROS);
        if (tailed || absorbedMicros > charge.absorptionS() * 1e6) {
          full = tailed;
          stage = ChargeStage.FLOAT;
          if (tailed && equalising.due(temperatureC, now)) {
            equalising.begin(now);
            stage = ChargeStage.EQUALISE;
            out.event("charge", "ABSORPTION", "EQUALISE", Equalising.BEGINS);
          }
        } else if (low.held(voltageV < charge.rebulkV(), now, REBULK_MICROS)) {
          stage = ChargeStage.BULK;
        }
      }
      case EQUALISE -> {
        boolean atSet = voltageV >= compensated(equalising.voltageV(), temperatureC) - 2 * near;
        if (!equalising.goesOn(atSet, temperatureC, elapsed, now)) {
          stage = ChargeStage.FLOAT;
          out.event(
              "charge",
              "EQUALISE",
              "FLOAT",
              equalising.complete()
                  ? "its time is over; look at the water when the cells have cooled"
                  : "given up for now: too warm, or the voltage was not reached in time");
        } else if (low.held(voltageV < charge.rebulkV(), now, REBULK_MICROS)) {
          stage = ChargeStage.BULK;
          out.event("charge", "EQUALISE", "BULK", "the battery is being discharged");
        }
      }
      case FLOAT -> {
        if (low.held(voltageV < charge.rebulkV(), now, REBULK_MICROS)) {
          stage = ChargeStage.BULK;
        } else if (rested(now)) {
          stage = ChargeStage.REST;
        }
      }
      case REST -> {
        if (low.held(voltageV < charge.rebulkV(), now, REBULK_MICROS)) {
          stage = ChargeStage.BULK;
        }
      }
    }
    if (stage != ChargeStage.FLOAT) {
      afloat.start = Long.MAX_VALUE;
    }
    setV =
        switch (stage) {
          case FLOAT -> floatV;
          case REST -> compensated(restV, temperatureC);
          case EQUALISE -> compensated(equalising.voltageV(), temperatureC);
          case OFF, BULK, ABSORPTION -> absorptionV;
        };
    if (belief.careful) {
      setV = Math.min(setV, floatV);
    }
  }

  /** The battery has been afloat for as long as the site says, and is left alone. */
  private boolean rested(long now) {
    return restMicros > 0 && afloat.held(true, now, restMicros);
  }

  private double compensated(double setPointV, double temperatureC) {
    double v = setPointV + charge.compensationVPerK() * (temperatureC - REFERENCE_C);
    // In the cold the compensated set point must still leave room to the battery's limit for the
    // feed's gap.
    return Math.min(v, battery.limits().maximumV() - 1.5 * FEED_GAP * battery.nominalV());
  }

  /**
   * A person asks for an equalising charge.
   *
   * @return why not; empty when one will follow the next full charge
   */
  String askEqualise() {
    return equalising.ask();
  }

  void keep(Keepsake keepsake) {
    equalising.keep(keepsake);
  }

  void remember(Memory memory) {
    equalising.remember(memory);
    wasApart = memory.flag("was apart", wasApart);
    afloat.start = memory.instant("afloat", afloat.start);
    stage = memory.word("stage", stage);
    reached.start = memory.instant("absorption reached", reached.start);
    tail.start = memory.instant("tail", tail.start);
    low.start = memory.instant("rebulk", low.start);
    absorbedMicros = memory.count("absorbed", absorbedMicros);
    last = memory.instant("charged", last);
    tooHigh = memory.flag("too high", tooHigh);
    surplusW = memory.number("surplus", surplusW);
  }

  /** Whether a full charge has just been seen. */
  boolean full() {
    return full;
  }

  boolean outsideTemperature() {
    return outsideTemperature;
  }

  /** Whether the battery's protection has taken it off the bus. */
  boolean apart() {
    return apart;
  }
}
