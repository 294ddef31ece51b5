package islet.judge;

import islet.plant.Plant;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * ngspice, a general circuit simulator, as judge of the DC bus: the same circuits solved by it and
 * by the plant.
 */
public final class BusJudge {
  /** The program. */
  public static final String PROGRAM = "ngspice";

  /** Circuits for one run of the simulator; more would only make its output long. */
  private static final int PER_RUN = 250;

  private static final long LONGEST_S = 60;

  /** The bus's capacitor settles with time constants of some seconds. */
  private static final int SETTLING_S = 1000;

  /**
   * How the simulator is asked, one way after the other until a circuit comes to rest: voltage to
   * begin from over the nominal one, which knows nothing of the answer, and options. On the way it
   * need not be accurate, at rest it must be: a loose truncation error, since corners of limits
   * make it stumble when it looks too closely, and methods that damp (backward Euler, then Gear's),
   * since the trapezoidal rule rings on.
   */
  private static final List<Attempt> ATTEMPTS =
      List.of(
          new Attempt(1.0, "trtol=1000 xmu=0"),
          new Attempt(1.0, "trtol=1000 method=gear"),
          new Attempt(1.1, "trtol=1000 xmu=0"),
          new Attempt(0.9, "trtol=1000 xmu=0"),
          new Attempt(1.1, "trtol=7 xmu=0 chgtol=1e-3"),
          new Attempt(0.9, "trtol=7 xmu=0 chgtol=1e-3"));

  private record Attempt(double begin, String options) {}

  private static final String LAST = "[length(time)-1]";

  private static final String ACCURACY =
      ".options reltol=1e-7 abstol=1e-9 vntol=1e-9 gmin=1e-15 itl4=500";

  private static final String BEGIN = "operating point ";

  private static final String[] PRINTED = {
    "time",
    "v(bus)",
    "v(bat)",
    "i(vbattery)",
    "i(vregulator)",
    "i(vcharger)",
    "i(vinverter)",
    "v(inverter)"
  };

  /**
   * Below this share of the capacity, in A per Ah, a current is compared with this and not with
   * itself: a tenth of a percent of no current at all is no measure.
   */
  private static final double SMALLEST_A_PER_AH = 1e-4;

  private static final Verdict NOTHING = new Verdict(0, 0, 0, Worst.NONE, Worst.NONE);

  private BusJudge() {}

  /**
   * The outcome.
   *
   * @param points how many circuits were compared
   * @param leftOut how many were drawn besides, in which the inverter ended below its lowest DC
   *     voltage, where it only limps
   * @param undecided how many did not come to rest in the simulator
   * @param voltage the worst of the bus voltages
   * @param current the worst of the branch currents
   */
  public record Verdict(int points, int leftOut, int undecided, Worst voltage, Worst current) {
    /** Both together. */
    Verdict and(Verdict other) {
      return new Verdict(
          points + other.points,
          leftOut + other.leftOut,
          undecided + other.undecided,
          voltage.or(other.voltage),
          current.or(other.current));
    }
  }

  /**
   * The largest difference.
   *
   * @param share of the compared quantity
   * @param what which quantity, which seed, both values
   */
  public record Worst(double share, String what) {
    private static final Worst NONE = new Worst(0, "none");

    private Worst or(Worst other) {
      // A share that is no number must win, and does so in this order only.
      return other.share <= share ? this : other;
    }
  }

  /**
   * Compares operating points drawn from consecutive seeds.
   *
   * @param firstSeed the first
   * @param draws how many
   * @throws MissingProgramException when the simulator isn't installed
   * @throws IOException when it fails
   */
  public static Verdict compare(long firstSeed, int draws)
      throws IOException, MissingProgramException {
    Verdict sum = NOTHING;
    for (int done = 0; done < draws; done += PER_RUN) {
      List<BusCase> cases = new ArrayList<>();
      for (int i = done; i < Math.min(draws, done + PER_RUN); i++) {
        cases.add(BusCases.of(firstSeed + i));
      }
      sum = sum.and(compare(cases));
    }
    return sum;
  }

  private static Verdict compare(List<BusCase> cases) throws IOException, MissingProgramException {
    return compare(cases, cases.stream().map(BusCase::plant).toList());
  }

  /** Compares given plants with circuits of given cases. */
  static Verdict compare(List<BusCase> cases, List<Plant> plants)
      throws IOException, MissingProgramException {
    List<Map<String, Double>> answers = simulate(cases, plants);
    Verdict sum = NOTHING;
    for (int i = 0; i < cases.size(); i++) {
      sum = sum.and(judge(cases.get(i), plants.get(i), answers.get(i)));
    }
    return sum;
  }

  private static Verdict judge(BusCase point, Plant plant, Map<String, Double> answer) {
    if (!atRest(answer)) {
      return new Verdict(0, 0, 1, Worst.NONE, Worst.NONE);
    }
    boolean on = !(point.inverter() instanceof BusCase.Off);
    double inverterV = Math.min(value(answer, "v(inverter)"), plant.inverterTerminalV());
    if (on && inverterV < point.spec().inverter().dcMinimumV()) {
      return new Verdict(0, 1, 0, Worst.NONE, Worst.NONE);
    }
    double least = SMALLEST_A_PER_AH * point.spec().battery().fullAh();
    Comparison volts = new Comparison(point, answer, 0);
    Comparison amps = new Comparison(point, answer, least);
    Worst voltage =
        volts
            .of("v(bus)", plant.busVoltageV())
            .or(volts.of("v(bat)", plant.batteryTerminalV()))
            .or(volts.of("v(inverter)", plant.inverterTerminalV()));
    Worst current =
        amps.of("i(vbattery)", plant.batteryCurrentA())
            .or(amps.of("i(vregulator)", plant.regulatorCurrentA()))
            .or(amps.of("i(vcharger)", plant.chargerCurrentA()))
            .or(amps.of("i(vinverter)", plant.inverterDcCurrentA()));
    return new Verdict(1, 0, 0, voltage, current);
  }

  /** The simulator's figures of one point beside the plant's. */
  private record Comparison(BusCase point, Map<String, Double> answer, double least) {
    Worst of(String name, double ours) {
      double theirs = value(answer, name);
      double share = Math.abs(ours - theirs) / Math.max(least, Math.abs(theirs));
      return new Worst(
          share, name + " of seed " + point.seed() + ": simulator " + theirs + ", plant " + ours);
    }
  }

  private static double value(Map<String, Double> answer, String name) {
    return answer.getOrDefault(name, Double.NaN);
  }

  private static List<Map<String, Double>> simulate(List<BusCase> cases, List<Plant> plants)
      throws IOException, MissingProgramException {
    List<Map<String, Double>> answers = new ArrayList<>();
    List<Integer> open = new ArrayList<>();
    for (int i = 0; i < cases.size(); i++) {
      answers.add(Map.of());
      open.add(i);
    }
    Path folder = Files.createTempDirectory("islet-bus");
    try {
      for (Attempt attempt : ATTEMPTS) {
        if (open.isEmpty()) {
          return answers;
        }
        for (int i : open) {
          String circuit = BusNetlist.of(cases.get(i), plants.get(i), attempt.begin());
          Files.writeString(
              folder.resolve(i + ".cir"),
              circuit + ACCURACY + ' ' + attempt.options() + "\n.end\n");
        }
        Files.writeString(folder.resolve("all.cir"), script(open));
        read(OutsideProgram.run(List.of(PROGRAM, "-b", "all.cir"), folder, LONGEST_S), answers);
        open.removeIf(i -> atRest(answers.get(i)));
      }
    } finally {
      Folders.delete(folder);
    }
    return answers;
  }

  private static boolean atRest(Map<String, Double> answer) {
    return answer.size() == PRINTED.length && value(answer, "time") >= SETTLING_S;
  }

  private static String script(List<Integer> circuits) {
    StringBuilder script = new StringBuilder("* all operating points\n.control\n");
    script.append("set numdgt=14\n");
    for (int i : circuits) {
      script.append("source ").append(i).append(".cir\n");
      script.append("tran 0.01 ").append(SETTLING_S).append(" 0 20 uic\n");
      script.append("echo \"").append(BEGIN).append(i).append("\"\n");
      for (String name : PRINTED) {
        script.append("print ").append(name).append(LAST).append('\n');
      }
      script.append("destroy all\nremcirc\n");
    }
    return script.append("quit 0\n.endc\n.end\n").toString();
  }

  private static void read(String text, List<Map<String, Double>> answers) {
    List<String> names = Arrays.asList(PRINTED);
    int at = -1;
    for (String line : text.lines().toList()) {
      if (line.startsWith(BEGIN)) {
        at = Integer.parseInt(line.substring(BEGIN.length()).strip());
        answers.set(at, new HashMap<>());
        continue;
      }
      int equals = line.indexOf(LAST + " = ");
      if (at >= 0 && equals > 0 && names.contains(line.substring(0, equals))) {
        double number = Double.parseDouble(line.substring(equals + LAST.length() + 3));
        answers.get(at).put(line.substring(0, equals), number);
      }
    }
  }
}
