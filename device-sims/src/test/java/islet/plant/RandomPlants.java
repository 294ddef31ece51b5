package islet.plant;

import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;

/**
 * Draws plants: banks of 12 to 400 V of both chemistries, from dead to full, worn or new;
 * converters and cables from stiff to poor; services from strong to weak; tracking and PWM
 * regulators, arrays in the open and in part shade; loads from a clock to ten times what the
 * inverter gives; every transfer, with and without a charger and a heat sink.
 */
final class RandomPlants {
  private static final int[] CELLS = {6, 12, 24, 60, 200};
  private static final double PER_CELL_V = 2;

  private final SplittableRandom random;

  RandomPlants(SplittableRandom random) {
    this.random = random;
  }

  Plant draw() {
    int cells = CELLS[random.nextInt(CELLS.length)];
    double ah = logarithmic(50, 1000);
    double volts = PER_CELL_V * cells;
    double ratedW = volts * ah * logarithmic(0.05, 0.6);
    double ohm = 1e-3 * volts * volts / ratedW;
    double regulatorA = ah * logarithmic(0.03, 0.5);
    double acV = random.nextBoolean() ? 120 : 400;
    int series = (int) Math.ceil(2.6 * cells / DemoPlants.MODULE.vmpV());
    double serviceOhm = acV * acV / ratedW * logarithmic(0.0005, 0.2);
    Transfer transfer = Transfer.values()[random.nextInt(Transfer.values().length)];
    double loadW = ratedW * logarithmic(1e-4, 10);
    PlantSpec spec =
        new PlantSpec(
            DemoPlants.PLACE,
            pv(series, Math.max(1, (int) (regulatorA * volts * even(0.2, 3) / (200 * series)))),
            regulator(regulatorA, volts, ohm),
            bank(cells, ah),
            soc(),
            random.nextInt(3) == 0 ? even(0.5, 1) : 1,
            ohm * logarithmic(0.1, 30),
            new InverterSpec(
                ratedW,
                ratedW * even(1, 3),
                5,
                curve(),
                even(0.0005, 0.004) * ratedW,
                ratedW / volts * even(0, 1),
                1.75 * cells,
                2.7 * cells,
                ohm * logarithmic(0.1, 20),
                ohm * logarithmic(0.01, 20),
                0.1,
                even(0, 5),
                even(-1, 1),
                random.nextInt(3) == 0
                    ? Optional.of(new ThermalSpec(40, 300, 45, 75))
                    : Optional.empty()),
            new UtilitySpec(
                acV, 60, serviceOhm, serviceOhm * even(0, 3), ratedW * logarithmic(1e-3, 10)),
            transfer,
            transfer == Transfer.TIE || random.nextInt(4) == 0
                ? Optional.empty()
                : Optional.of(
                    new ChargerSpec(
                        0.6 * regulatorA,
                        curve(),
                        even(0.0005, 0.004) * 0.6 * regulatorA * volts,
                        ohm * logarithmic(0.1, 20),
                        ohm * logarithmic(0.01, 20))),
            List.of(
                load("a", Panel.CRITICAL, 0.3 * loadW),
                load("b", Panel.CRITICAL, 0.1 * loadW),
                load("c", Panel.NONCRITICAL, loadW)));
    return new Plant(spec, new ConstantWeather(900, 800, 150, 20, 2), DemoPlants.SUMMER_NOON);
  }

  private PvSpec pv(int series, int parallel) {
    ShadeDay shade =
        random.nextInt(4) == 0
            ? new ShadeDay(
                0,
                List.of(
                    new ShadeSpec(
                        1 + random.nextInt(parallel),
                        1 + random.nextInt(series),
                        1 + random.nextInt(3),
                        random.nextDouble(),
                        0,
                        1440)))
            : ShadeDay.NONE;
    return new PvSpec(DemoPlants.MODULE, series, parallel, 35, 180, SkyModel.ISOTROPIC, 3, shade);
  }

  private RegulatorSpec regulator(double amps, double volts, double ohm) {
    double idleW = even(0.0005, 0.004) * amps * volts;
    double droopOhm = ohm * logarithmic(0.1, 20);
    double cableOhm = ohm * logarithmic(0.01, 20);
    return random.nextInt(3) == 0
        ? RegulatorSpec.pwm(amps, even(0, 3), idleW, droopOhm, cableOhm)
        : new RegulatorSpec(amps, curve(), idleW, droopOhm, cableOhm);
  }

  /** As many lithium cells as come nearest to the lead-acid bank's voltage from below. */
  private BatterySpec bank(int cells, double ah) {
    return random.nextBoolean()
        ? LeadAcidSpec.flooded(cells, ah)
        : LfpSpec.prismatic((int) (2.17 * cells / 3.2), ah);
  }

  private double soc() {
    return switch (random.nextInt(6)) {
      case 0 -> 0;
      case 1 -> 1;
      default -> random.nextDouble();
    };
  }

  private CircuitSpec load(String name, Panel panel, double watts) {
    double z = random.nextInt(3) == 0 ? 0 : random.nextDouble();
    double i = random.nextInt(3) == 0 ? 0 : (1 - z) * random.nextDouble();
    return new CircuitSpec(
        name,
        panel,
        new ConstantLoad(random.nextInt(8) == 0 ? 0 : watts),
        z,
        i,
        1 - z - i,
        even(0.3, 1),
        random.nextInt(3) == 0 ? new InrushSpec(even(1, 8), even(0, 3)) : InrushSpec.NONE);
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

  private double even(double low, double high) {
    return low + (high - low) * random.nextDouble();
  }

  private double logarithmic(double low, double high) {
    return low * StrictMath.exp(StrictMath.log(high / low) * random.nextDouble());
  }
}
