package islet.plant;

import islet.judge.Progress;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;

/**
 * One random plant put into many random states, each solved and advanced. A seed is a case; {@code
 * main} runs as many states as one likes.
 *
 * <p>Judged by Kirchhoff's laws on what the plant says of itself, by conservation (the books throw)
 * and by what a switch or a limit must do.
 */
final class PlantTrial {
  static final int STATES = 250;

  private final long seed;
  private final SplittableRandom random;
  private final Plant plant;
  private final double nominalV;
  private final double ratedW;
  private boolean regulatorOn;

  private PlantTrial(long seed) {
    this.seed = seed;
    this.random = new SplittableRandom(seed);
    this.plant = new RandomPlants(random).draw();
    this.nominalV = plant.spec().battery().nominalV();
    this.ratedW = plant.spec().inverter().ratedW();
  }

  /** What is wrong in the states of one seed; empty when nothing is. */
  static List<String> run(long seed) {
    List<String> findings = new ArrayList<>();
    int state = 0;
    try {
      PlantTrial trial = new PlantTrial(seed);
      for (; state < STATES; state++) {
        trial.stir();
        trial.plant.solve();
        trial.check(state, findings);
        long longest = trial.random.nextInt(50) == 0 ? 60_000_000L : 1_500_000L;
        trial.plant.advanceTo(trial.plant.nowMicros() + 1 + trial.random.nextLong(longest));
        trial.check(state, findings);
      }
    } catch (RuntimeException e) {
      findings.add("seed " + seed + ", state " + state + ": threw " + e);
    }
    return findings;
  }

  private void stir() {
    plant.setShade(random.nextInt(3) == 0 ? 0 : random.nextDouble());
    regulatorOn = random.nextInt(4) > 0;
    plant.setRegulator(regulatorOn, volts(), amps());
    plant.setCharger(random.nextInt(3) > 0, volts(), amps());
    switch (random.nextInt(3)) {
      case 0 -> plant.setInverterOff();
      case 1 -> plant.setInverterFollowing(volts(), amps(), volts(), watts());
      default -> plant.setInverterForming(45 + 25 * random.nextDouble());
    }
    plant.setIslandVoltage(random.nextInt(5) == 0 ? 0.1 + 1.2 * random.nextDouble() : 1);
    switch (plant.spec().transfer()) {
      case NONE -> {}
      case TIE -> plant.setTieClosed(random.nextBoolean());
      case CHANGEOVER -> {
        plant.setTieClosed(random.nextBoolean());
        if (random.nextInt(3) == 0) {
          plant.setBetween();
        }
      }
    }
    plant.setUtility(random.nextInt(3) > 0, utilityPu(), 45 + 25 * random.nextDouble());
    plant.addUtilityPhaseDeg(360 * random.nextDouble());
    plant.setCircuitClosed(random.nextInt(3), random.nextInt(3) > 0);
    plant.setBatteryContactor(
        random.nextInt(4) == 0
            ? Contactor.values()[random.nextInt(Contactor.values().length)]
            : Contactor.CLOSED);
    double factor = random.nextInt(4) == 0 ? 3 * random.nextDouble() : 0;
    plant.setBatteryResistanceFactor(StrictMath.pow(10, factor));
    plant.setBatteryTemperature(random.nextInt(4) == 0 ? -40 + 130 * random.nextDouble() : 25);
    if (random.nextInt(100) == 0) {
      plant.setShortedCells(random.nextInt(2));
    }
  }

  private double volts() {
    return random.nextInt(10) == 0
        ? 3 * nominalV * random.nextDouble()
        : nominalV * (0.85 + 0.45 * random.nextDouble());
  }

  private double amps() {
    double usual = ratedW / nominalV;
    return switch (random.nextInt(8)) {
      case 0 -> 0;
      case 1 -> 1000 * usual;
      default -> 1.2 * usual * random.nextDouble();
    };
  }

  private double watts() {
    return random.nextInt(8) == 0 ? 0 : 1.5 * ratedW * random.nextDouble();
  }

  private double utilityPu() {
    return switch (random.nextInt(6)) {
      case 0 -> 0;
      case 1 -> 3 * random.nextDouble();
      case 2 -> 1.3 * random.nextDouble();
      default -> 0.9 + 0.2 * random.nextDouble();
    };
  }

  private void check(int state, List<String> findings) {
    String where = "seed " + seed + ", state " + state + ": ";
    double v = plant.busVoltageV();
    double batteryA = plant.batteryCurrentA();
    double in =
        plant.regulatorCurrentA() + plant.chargerCurrentA() + plant.inverterDcCurrentA() - batteryA;
    // Idle draws are powers down to half the nominal voltage, resistances below.
    double half = Math.max(v, 0.5 * nominalV);
    double idleA = idleW() * Math.max(0, v) / (half * half);
    double most = 1 + Math.abs(batteryA) + plant.regulatorCurrentA() + plant.chargerCurrentA();
    expect(
        Math.abs(in - idleA) <= 1e-9 * most + 16 * Math.ulp(v) * steepness(),
        where + "currents leave " + (in - idleA) + " A of " + most + " A at " + v + " V",
        findings);
    double cableV = plant.spec().dcCableOhm() * batteryA;
    double apartV = v - plant.batteryTerminalV() - cableV;
    switch (plant.batteryContactor()) {
      case CLOSED ->
          expect(Math.abs(apartV) <= 1e-9 * (1 + Math.abs(v)), where + "cable " + apartV, findings);
      case DISCHARGE_ONLY -> {
        expect(batteryA <= 1e-9, where + batteryA + " A into a bank that refuses them", findings);
        expect(apartV >= -1e-9 * (1 + Math.abs(v)), where + "bus below its bank", findings);
      }
      case OPEN ->
          expect(Math.abs(batteryA) <= 1e-9, where + batteryA + " A through nothing", findings);
    }
    boolean joined = plant.tieClosed() && plant.spec().transfer() == Transfer.TIE;
    double intoMain = (joined ? plant.inverterPowerW() : 0) - plant.chargerPowerW();
    double taken =
        plant.noncriticalPowerW() + (plant.tieClosed() ? plant.criticalPowerW() : 0) - intoMain;
    expect(
        Math.abs(taken - plant.pccPowerW())
            <= 1e-6 * (1 + Math.abs(taken) + Math.abs(plant.inverterPowerW())),
        where + "main panel takes " + taken + " W and gets " + plant.pccPowerW() + " W",
        findings);
    expect(
        plant.pvPowerW() <= plant.pvAvailableW() * (1 + 1e-9) + 1e-9,
        where + "array gives " + plant.pvPowerW() + " W of " + plant.pvAvailableW() + " W",
        findings);
    expect(
        !plant.between() || plant.criticalVoltagePu() == 0,
        where + "a panel between two sources has a voltage",
        findings);
    for (double x :
        new double[] {
          v,
          batteryA,
          plant.mainVoltagePu(),
          plant.inverterVoltagePu(),
          plant.criticalVoltagePu(),
          plant.utilityLineV(),
          plant.batteryTemperatureC(),
          plant.batterySoc(),
          plant.angleDeg(),
          plant.circulatingA(),
          plant.batteryGassingA()
        }) {
      expect(Double.isFinite(x), where + "a figure is " + x, findings);
    }
  }

  /** How far the stiffest characteristics tell apart two neighbouring voltages, A/V. */
  private double steepness() {
    PlantSpec spec = plant.spec();
    double sum =
        1 / (spec.regulator().droopOhm() + spec.regulator().cableOhm())
            + 1 / (spec.inverter().droopOhm() + spec.inverter().cableOhm());
    return sum + spec.charger().map(c -> 1 / (c.droopOhm() + c.cableOhm())).orElse(0.0);
  }

  /** What is on draws its idle power; a tracking regulator by day takes it from the array. */
  private double idleW() {
    double inverter =
        plant.inverterState() == InverterState.OFF ? 0 : plant.spec().inverter().idleW();
    double own = plant.spec().regulator().idleW();
    boolean fromBus =
        switch (plant.spec().regulator().kind()) {
          case MPPT -> plant.pvAvailableW() <= own;
          case PWM -> true;
        };
    return inverter + (regulatorOn && fromBus ? own : 0);
  }

  private static void expect(boolean holds, String otherwise, List<String> findings) {
    if (!holds) {
      findings.add(otherwise);
    }
  }

  /**
   * Runs states: first seed, how many. Prints every finding, and leaves with 1 when there is one.
   */
  public static void main(String[] args) {
    long first = Long.parseLong(args[0]);
    long states = Long.parseLong(args[1]);
    long seeds = (states + STATES - 1) / STATES;
    Progress progress = new Progress(seeds * STATES);
    int bad = 0;
    for (long i = 0; i < seeds; i++) {
      List<String> findings = run(first + i);
      if (!findings.isEmpty()) {
        bad++;
        System.out.println("\n" + findings.size() + " findings, the first: " + findings.get(0));
      }
      if (i % 20 == 19) {
        progress.show((i + 1) * STATES);
      }
    }
    System.out.println(
        "\n" + seeds * STATES + " states, each solved and advanced; seeds with findings: " + bad);
    if (bad > 0) {
      System.exit(1);
    }
  }
}
