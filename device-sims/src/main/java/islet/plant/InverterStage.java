package islet.plant;

/**
 * The inverter's power stage as the DC bus sees it. Currents into the bus are positive: it charges;
 * negative: it feeds AC.
 */
final class InverterStage {
  /** What it does on its DC side. */
  enum Duty {
    /** Nothing but the idle draw, if on. */
    REST,
    /** Holds the bus between two voltages, charging below and feeding above. */
    DROOP,
    /** Takes the power that its AC loads ask for. */
    CARRY,
    /** Is driven backwards by another source. */
    ABSORB
  }

  private final InverterSpec spec;
  private final LossCurve losses;
  private final double slopeOhm;

  private Duty duty = Duty.REST;
  private double chargeV;
  private double chargeLimitA;
  private double chargeLimitW;
  private double feedV;
  private double feedDcW;
  private double powerW;

  private double slope;

  InverterStage(InverterSpec spec) {
    this.spec = spec;
    this.losses = LossCurve.through(spec.ratedW(), spec.efficiency(), spec.idleW());
    this.slopeOhm = spec.droopOhm() + spec.cableOhm();
  }

  void rest() {
    duty = Duty.REST;
  }

  /** Charges below one voltage, feeds above the other; powers are AC limits, W. */
  void droop(double chargeV, double chargeLimitA, double chargeAcW, double feedV, double feedAcW) {
    duty = Duty.DROOP;
    this.chargeV = chargeV;
    this.chargeLimitA = Math.max(0, Math.min(chargeLimitA, spec.ratedChargeA()));
    this.chargeLimitW = losses.outputW(Math.max(0, chargeAcW) + losses.idleW());
    this.feedV = Math.max(feedV, chargeV);
    this.feedDcW = feedAcW > 0 ? inputForW(feedAcW) : 0;
  }

  void carry(double acW) {
    duty = Duty.CARRY;
    powerW = inputForW(acW);
  }

  void absorb(double acW) {
    duty = Duty.ABSORB;
    powerW = losses.outputW(acW + losses.idleW());
    chargeLimitA = spec.ratedChargeA();
  }

  /** DC power at the terminals, idle draw left out, that gives an AC power. */
  private double inputForW(double acW) {
    return acW + losses.lossW(acW) - losses.idleW();
  }

  /** AC power that a DC power at the terminals gives, W. */
  double acFromDcW(double dcW) {
    return losses.outputW(dcW + losses.idleW());
  }

  /** AC power drawn to give a DC power at the terminals, W. */
  double acForChargingW(double dcW) {
    return dcW + losses.lossW(dcW) - losses.idleW();
  }

  /** Conversion loss at an output, idle draw left out, W. */
  double conversionLossW(double outputW) {
    return losses.lossW(outputW) - losses.idleW();
  }

  double currentA(double busV) {
    return switch (duty) {
      case REST -> nothing();
      case DROOP -> droopA(busV);
      case CARRY -> -sinkA(powerW, busV);
      case ABSORB -> sourceA(powerW, busV);
    };
  }

  private double nothing() {
    slope = 0;
    return 0;
  }

  private double droopA(double busV) {
    if (busV < chargeV) {
      double held = (chargeV - busV) / slopeOhm;
      double limited = sourceA(chargeLimitW, busV);
      if (held < limited) {
        slope = -1 / slopeOhm;
        return held;
      }
      return limited;
    }
    if (busV > feedV) {
      double held = (busV - feedV) / slopeOhm;
      double limited = sinkA(feedDcW, busV);
      if (held < limited) {
        slope = -1 / slopeOhm;
        return -held;
      }
      return -limited;
    }
    return nothing();
  }

  private double sourceA(double watts, double busV) {
    double amps = DcPower.given(watts, busV, spec.cableOhm());
    if (amps < chargeLimitA) {
      slope = DcPower.slopeGiven(amps, busV, spec.cableOhm());
      return amps;
    }
    slope = 0;
    return chargeLimitA;
  }

  /** Constant power down to the lowest working voltage, resistive below it. */
  private double sinkA(double watts, double busV) {
    double lowest = spec.dcMinimumV();
    if (busV >= lowest) {
      double amps = DcPower.taken(watts, busV, spec.cableOhm());
      // The sign turns: a sink's current counts negative.
      slope = -DcPower.slopeTaken(amps, busV, spec.cableOhm());
      return amps;
    }
    if (busV <= 0) {
      return nothing();
    }
    double atLowest = DcPower.taken(watts, lowest, spec.cableOhm());
    slope = -atLowest / lowest;
    return atLowest * busV / lowest;
  }

  /** The most it could ever take from the bus, A. */
  double largestSinkA() {
    return switch (duty) {
      case REST, ABSORB -> 0;
      case DROOP -> DcPower.taken(feedDcW, spec.dcMinimumV(), spec.cableOhm());
      case CARRY -> DcPower.taken(powerW, spec.dcMinimumV(), spec.cableOhm());
    };
  }

  /** The most it could ever give to the bus, A. */
  double largestSourceA() {
    return switch (duty) {
      case REST, CARRY -> 0;
      case DROOP, ABSORB -> chargeLimitA;
    };
  }

  /** Above this bus voltage it gives nothing, V; a bus must not float beyond what absorbs. */
  double highestSourceV() {
    return switch (duty) {
      case REST, CARRY, ABSORB -> 0;
      case DROOP -> chargeV;
    };
  }

  double slope() {
    return slope;
  }

  Duty duty() {
    return duty;
  }

  double lossAtRatedW() {
    return losses.lossW(spec.ratedW());
  }

  double idleW() {
    return losses.idleW();
  }

  String describe() {
    return duty
        + " charge "
        + chargeV
        + " V "
        + chargeLimitA
        + " A "
        + chargeLimitW
        + " W, feed "
        + feedV
        + " V "
        + feedDcW
        + " W, power "
        + powerW
        + " W";
  }
}
