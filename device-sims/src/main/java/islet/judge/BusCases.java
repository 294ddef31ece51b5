package islet.judge;

import islet.plant.ChargerSpec;
import islet.plant.CircuitSpec;
import islet.plant.ConstantLoad;
import islet.plant.Efficiency;
import islet.plant.InverterSpec;
import islet.plant.LeadAcidSpec;
import islet.plant.LfpSpec;
import islet.plant.ModuleSpec;
import islet.plant.Panel;
import islet.plant.Place;
import islet.plant.PlantSpec;
import islet.plant.PvSpec;
import islet.plant.RegulatorSpec;
import islet.plant.Transfer;
import islet.plant.UtilitySpec;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;

/**
 * Draws operating points at random: banks of 12 V to 400 V, cables from stiff to poor, an array
 * from dark to more than the regulator bears, set points on both sides of the battery's voltage,
 * loads from a clock to the inverter's surge.
 *
 * <p>The battery stays where its equations are meant to hold: 10 to 97 % charged, −10 to 45 °C. A
 * lithium bank stands at whole tenths of its charge, where its table says the resting voltage and
 * nobody has to interpolate.
 */
final class BusCases {
  private static final int[] CELLS = {6, 12, 24, 200};
  private static final Place PLACE = new Place(42, -88, 200, 0.2);

  /** The datasheet printed in Villalva, Gazoli, Ruppert Filho 2009. */
  private static final ModuleSpec MODULE =
      new ModuleSpec(8.21, 32.9, 7.61, 26.3, 54, 0.0032, -0.123, 47);

  private final SplittableRandom random;
  private final SplittableRandom kinds;
  private final long seed;

  private BusCases(long seed) {
    this.seed = seed;
    this.random = new SplittableRandom(seed);
    // A stream of its own, so that a new kind of part leaves all other draws as they are.
    this.kinds = new SplittableRandom(~seed);
  }

  static BusCase of(long seed) {
    return new BusCases(seed).draw();
  }

  private BusCase draw() {
    int cells = CELLS[random.nextInt(CELLS.length)];
    double volts = 2.0 * cells;
    double ah = even(80, 1000);
    double ratedW = volts * ah * even(0.08, 0.3);
    double ohm = 0.001 * volts * volts / ratedW;
    int series = (int) Math.ceil(2.5 * cells / MODULE.vmpV() + 0.01);
    double regulatorA = ah * even(0.05, 0.3);
    int parallel = Math.max(1, (int) (regulatorA * volts * even(0.3, 1.5) / (200 * series)));
    // Some plants have a charger of their own; the inverter then never meets the utility.
    boolean ownCharger = random.nextInt(4) == 0;
    boolean lithium = random.nextInt(4) == 0;
    double loadW = ratedW * logarithmic(0.005, 1.95);
    PlantSpec spec =
        new PlantSpec(
            PLACE,
            new PvSpec(MODULE, series, parallel, 35, 180),
            regulator(regulatorA, volts, ohm),
            lithium
                ? LfpSpec.prismatic((int) (2.17 * cells / 3.2), ah)
                : LeadAcidSpec.flooded(cells, ah),
            lithium ? (1 + random.nextInt(9)) / 10.0 : even(0.10, 0.97),
            ohm * logarithmic(0.5, 20),
            new InverterSpec(
                ratedW,
                2 * ratedW,
                5,
                curve(),
                idle() * ratedW,
                ratedW / volts * even(0.5, 1),
                1.5 * cells,
                2.7 * cells,
                ohm * logarithmic(0.5, 10),
                ohm * logarithmic(0.1, 10),
                0.1,
                3,
                0.5),
            new UtilitySpec(240, 60, 0.001 * 240 * 240 / ratedW, 0, 0),
            ownCharger ? Transfer.NONE : Transfer.TIE,
            ownCharger ? Optional.of(charger(ah, volts, ohm)) : Optional.empty(),
            List.of(new CircuitSpec("load", Panel.CRITICAL, new ConstantLoad(loadW), 0, 0, 1, 1)));
    return new BusCase(
        seed,
        spec,
        even(-10, 45),
        random.nextInt(4) == 0 ? even(1, 6) : 1,
        random.nextInt(5) == 0 ? 0 : random.nextDouble(),
        setting(cells, regulatorA),
        ownCharger ? setting(cells, 0.2 * ah) : new BusCase.Setting(false, 0, 0),
        inverter(ownCharger, cells, ratedW, volts));
  }

  private RegulatorSpec regulator(double amps, double volts, double ohm) {
    Efficiency curve = curve();
    double idleW = idle() * amps * volts;
    double droopOhm = ohm * logarithmic(0.5, 10);
    double cableOhm = ohm * logarithmic(0.1, 10);
    if (kinds.nextInt(4) == 0) {
      return RegulatorSpec.pwm(amps, 2 * kinds.nextDouble(), idleW, droopOhm, cableOhm);
    }
    return new RegulatorSpec(amps, curve, idleW, droopOhm, cableOhm);
  }

  private ChargerSpec charger(double ah, double volts, double ohm) {
    double amps = ah * even(0.05, 0.2);
    return new ChargerSpec(
        amps,
        curve(),
        idle() * amps * volts,
        ohm * logarithmic(0.5, 10),
        ohm * logarithmic(0.1, 10));
  }

  /** A converter's losses: constant, in proportion and by the square, as shares of its rating. */
  private Efficiency curve() {
    double constant = even(0.003, 0.010);
    double linear = even(0.01, 0.03);
    double square = even(0.01, 0.05);
    return new Efficiency(
        0.1 / (0.1 + constant + 0.1 * linear + 0.01 * square),
        0.5 / (0.5 + constant + 0.5 * linear + 0.25 * square),
        1 / (1 + constant + linear + square));
  }

  /** An idle draw below the loss of any of these curves at a tenth of the rating, as a share. */
  private double idle() {
    return even(0.0005, 0.004);
  }

  private BusCase.Setting setting(int cells, double ratedA) {
    return new BusCase.Setting(
        random.nextInt(6) > 0, cells * even(1.9, 2.5), ratedA * even(0.02, 1.2));
  }

  private BusCase.Inverter inverter(boolean ownCharger, int cells, double ratedW, double volts) {
    int kind = random.nextInt(ownCharger ? 4 : 7);
    if (kind == 0) {
      return new BusCase.Off();
    }
    if (kind < 4) {
      return new BusCase.Forming();
    }
    double chargeV = cells * even(1.9, 2.5);
    return new BusCase.Following(
        chargeV,
        ratedW / volts * even(0.02, 1.2),
        random.nextInt(3) == 0 ? chargeV : cells * even(1.9, 2.5),
        ratedW * even(0, 1.2));
  }

  private double even(double low, double high) {
    return low + (high - low) * random.nextDouble();
  }

  private double logarithmic(double low, double high) {
    return low * StrictMath.exp(StrictMath.log(high / low) * random.nextDouble());
  }
}
