package islet.control;

import islet.contract.InverterOrder;
import islet.control.ExplorationJudge.RanOut;
import islet.site.Site;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * Explores the real supervisor breadth first: from its beginning, every scan that a grid of inputs
 * allows, until no new state comes up. Each scan is judged.
 *
 * <p>A state is what the supervisor remembers, by {@link StateCode}: time is taken without its
 * lengths. Before each scan, what runs may run out: with an ordinary input each alone, any two, or
 * all that matter, with an odd one none or all. So what holds here holds for every setting of the
 * time-outs, however short, and also where it takes an order of running out that no site has.
 * Devices may say anything of the grid in any scan, whatever they said before, and a silent one may
 * have any last word.
 *
 * <p>What is not shown: values between those of the grid, more oddities in one scan than the grid
 * allows, more than one padlock, a battery that its management unit has taken off the bus.
 *
 * <p>Times that a scan does not ask for ({@link Asked}) are left alone, but for the first states of
 * each phase and one of every few after those, or for all states where the exploration is to be
 * whole: there they run out like the others, and must change nothing.
 */
final class Exploration {

  /** So many times, or all that run, run out together. */
  private static final int TOGETHER = 2;

  /** So many states of each phase are tried with everything, then every so many-th. */
  private static final int TRIED = 16;

  private final Variant variant;
  private final boolean whole;
  private final List<Choice> choices;
  private final Inputs[] images;
  private final long[][] given;
  private final int[][] givenFields;
  private final boolean[][][] asked;
  private final SiteSupervisor supervisor;
  private final Remembered memory;
  private final StateCode code;
  private final Outputs out = new Outputs();
  private final ExplorationJudge judge;
  private final boolean spoilt;
  private final Field[] fields;
  private final boolean[] plain;
  private final StateStore states = new StateStore();
  private final List<Step> ways = new ArrayList<>();
  private final Set<ModeRow> taken = new LinkedHashSet<>();
  private final EnumMap<Phase, Integer> perPhase = new EnumMap<>(Phase.class);
  private final EnumMap<Phase, Integer> left = new EnumMap<>(Phase.class);
  private int[] lastFrom = new int[1024];
  private long[] start;
  private int[] running = new int[0];
  private Outcome outcome = new Outcome(0, 0);
  private long scans;
  private long edges;
  private long tried;

  /** How a state was first reached: from which other, by which choice, with what run out. */
  private record Step(int from, int choice, int ranOut) {}

  /**
   * What was found.
   *
   * @param tried states in which everything was tried, whether or not a scan asks for it
   */
  record Found(
      long states,
      long tried,
      long edges,
      long scans,
      Set<ModeRow> rows,
      Map<Phase, Integer> phases) {
    @Override
    public String toString() {
      return String.format(
          "%,d states, %,d of them by every time that runs, %,d edges, %,d scans,"
              + " %d of %d lines of the table, states by step %s",
          states, tried, edges, scans, rows.size(), ModeTable.rows().size(), phases);
    }
  }

  /** What a scan has led to: the place of a state, and the orders. */
  private record Outcome(int place, int orders) {}

  /** A scan that breaks a rule, with the shortest way to it. */
  static final class Broken extends AssertionError {
    private static final long serialVersionUID = 1L;

    /** What is wrong, in short. */
    final String wrong;

    Broken(String wrong, String way) {
      super(wrong + ":\n" + way);
      this.wrong = wrong;
    }
  }

  /**
   * An exploration of a site.
   *
   * @param asked of which times a scan asks
   * @param whole whether the others are tried in every state
   */
  Exploration(Site site, FieldGrid grid, Variant variant, Asked asked, boolean whole) {
    this.variant = variant;
    this.whole = whole;
    supervisor = new SiteSupervisor(site);
    memory = new Remembered(supervisor);
    code = new StateCode(site, memory, memory.course(supervisor));
    judge = new ExplorationJudge(site);
    spoilt = variant != Variant.NONE;
    choices = new ArrayList<>(grid.choices());
    choices.sort(Comparator.comparingInt(Choice::oddities));
    images = new Inputs[choices.size()];
    fields = new Field[images.length];
    plain = new boolean[images.length];
    given = new long[images.length][];
    givenFields = new int[images.length][];
    for (int i = 0; i < images.length; i++) {
      Choice choice = choices.get(i);
      fields[i] = choice.field();
      plain[i] = choice.oddities() == 0;
      boolean heard = choice.field().order.map(variant::hears).orElse(true);
      images[i] = choice.field().image(site, heard);
      List<String> names = choice.memory().keySet().stream().sorted().toList();
      givenFields[i] = names.stream().mapToInt(memory::field).toArray();
      given[i] = names.stream().mapToLong(n -> choice.memory().getOrDefault(n, 0L)).toArray();
    }
    start = new long[memory.size()];
    this.asked = table(asked);
  }

  /** By phase, choice and field of the memory; of what is kept everything is asked. */
  private boolean[][][] table(Asked says) {
    boolean[][][] table = new boolean[Phase.values().length][images.length][memory.size()];
    for (Phase before : Phase.values()) {
      for (int i = 0; i < images.length; i++) {
        for (int f = 0; f < memory.size(); f++) {
          table[before.ordinal()][i][f] =
              !code.unkept(f) || says.asks(memory.name(f), before, fields[i]);
        }
      }
    }
    return table;
  }

  /** Explores until nothing new comes up. */
  Found run() {
    code.take(supervisor.phase(), judge.code());
    arrive(new Step(-1, -1, 0));
    for (int here = 0; here < states.size(); here++) {
      leave(here);
    }
    return new Found(states.size(), tried, edges, scans, taken, perPhase);
  }

  private void leave(int here) {
    byte[] from = states.get(here);
    Phase before = code.phase(from);
    boolean everything = whole || here % TRIED == 0 || left.merge(before, 1, Integer::sum) <= TRIED;
    if (everything) {
      tried++;
    }
    start = code.memory(from);
    running = code.running(from);
    for (int choice = 0; choice < images.length; choice++) {
      int counts = scan(here, from, choice, 0);
      int asks = counts & asked(before, choice);
      if (plain[choice]) {
        leavePlainly(here, from, choice, counts, asks, everything);
      } else {
        leaveOddly(here, from, choice, counts, asks, everything);
      }
    }
  }

  /** Those of the times that run for which a scan asks, each a bit. */
  private int asked(Phase before, int choice) {
    int asks = 0;
    for (int i = 0; i < running.length; i++) {
      if (asked[before.ordinal()][choice][running[i]]) {
        asks |= 1 << i;
      }
    }
    return asks;
  }

  private void leaveOddly(
      int here, byte[] from, int choice, int counts, int asks, boolean everything) {
    if (asks != 0) {
      scan(here, from, choice, asks);
    }
    if (everything && asks != counts) {
      Outcome without = outcome;
      scan(here, from, choice, counts);
      requireSame(without, here, choice, counts);
    }
  }

  private void leavePlainly(
      int here, byte[] from, int choice, int counts, int asks, boolean everything) {
    int idle = everything ? counts & ~asks : 0;
    Outcome none = outcome;
    for (int some = asks; some >= 0; some = some == 0 ? -1 : some - 1 & asks) {
      if (some != asks && Integer.bitCount(some) > TOGETHER) {
        continue;
      }
      Outcome without = none;
      if (some != 0) {
        scan(here, from, choice, some);
        without = outcome;
      }
      for (int more = idle; more != 0; more = more - 1 & idle) {
        int both = some | more;
        if (both == counts || Integer.bitCount(both) <= TOGETHER) {
          scan(here, from, choice, both);
          requireSame(without, here, choice, both);
        }
      }
    }
  }

  /** The last scan, with times run out for which none asks, has gone as it did without. */
  private void requireSame(Outcome without, int here, int choice, int ranOut) {
    if (!outcome.equals(without)) {
      throw new Broken(
          "goes another way for a time that it is not said to ask for",
          way(here, new Step(here, choice, ranOut)));
    }
  }

  /**
   * One scan.
   *
   * @return which of the times that run could matter in it: those whose cause goes on
   */
  private int scan(int here, byte[] from, int choice, int ranOut) {
    scans++;
    System.arraycopy(start, 0, memory.values, 0, start.length);
    for (int i = 0; i < running.length; i++) {
      if ((ranOut & 1 << i) != 0) {
        int field = running[i];
        memory.values[field] = code.ranOut(field);
      }
    }
    RanOut lasted =
        new RanOut(
            memory.values[code.inBand] == StateCode.OLD,
            memory.values[code.low] == StateCode.OLD,
            memory.values[code.live] == StateCode.OLD);
    boolean late = memory.values[code.entered] == StateCode.OLD;
    if (spoilt) {
      misremember();
    }
    for (int i = 0; i < given[choice].length; i++) {
      memory.values[givenFields[choice][i]] = given[choice][i];
    }
    memory.giveWithoutAlarms(supervisor);
    Phase before = supervisor.phase();
    // As in every scan that ends in WAIT_FOR_PERSON, from where LISTEN is reached again.
    out.inverter = InverterOrder.OFF;
    supervisor.scan(images[choice], Field.NOW, out);
    Phase after = supervisor.phase();
    Field field = fields[choice];
    variant.spoil(after, field, out);
    judge.recall(from[from.length - 1]);
    String wrong = judge.judge(field, start[code.known] != 0, lasted, after, out);
    if (wrong.isEmpty() && late && after == before && transitional(before) && hearsAny(field)) {
      wrong = "stays in " + before + " although its time has run out";
    }
    if (wrong.isEmpty() && after != before) {
      wrong = row(before, after);
    }
    Step step = new Step(here, choice, ranOut);
    if (!wrong.isEmpty()) {
      throw new Broken(wrong, way(here, step) + "  " + after);
    }
    memory.copyCourse(supervisor);
    int counts = 0;
    for (int i = 0; i < running.length; i++) {
      int f = running[i];
      // A time whose cause is gone has been set back; so is one that begins anew with a phase.
      if (code.always(f) || memory.values[f] == StateCode.LAST) {
        counts |= 1 << i;
      }
    }
    code.take(supervisor.phase(), judge.code());
    outcome = new Outcome(arrive(step), orders());
    return counts;
  }

  private void misremember() {
    for (int i = 0; i < memory.size(); i++) {
      if (memory.kind(i) == Remembered.Kind.INSTANT && code.keeps(i)) {
        if (memory.values[i] == StateCode.OLD && !variant.runsOut(memory.name(i))) {
          memory.values[i] = StateCode.LAST;
        } else if (memory.values[i] == StateCode.LAST && variant.hurries(memory.name(i))) {
          memory.values[i] = StateCode.OLD;
        }
      }
    }
  }

  /** Who hears nobody waits: time-outs don't run meanwhile. */
  private static boolean hearsAny(Field f) {
    return Field.heard(f.regulatorAge)
        || Field.heard(f.inverterAge)
        || Field.heard(f.tieAge)
        || Field.heard(f.meterAge);
  }

  private static boolean transitional(Phase phase) {
    return switch (phase) {
      case UNLOAD_TIE, OPEN_TIE, FORM, SYNCHRONISE, CLOSE_TIE, CLOSE_ON_DEAD_PANEL -> true;
      // Who listens orders nothing, and may do so for ever.
      case LISTEN, CONNECTED, CARRY, UNSUPPLIED, WAIT_FOR_PERSON -> false;
    };
  }

  /** Takes note of the line of the table that was taken; says so when there is none. */
  private String row(Phase before, Phase after) {
    String told = "";
    for (int i = 0; i < out.events(); i++) {
      if (out.kind(i).equals("mode")) {
        told = out.reason(i);
      }
    }
    Optional<ModeRow> row = declared(before, after, told);
    row.ifPresent(taken::add);
    return row.isPresent()
        ? ""
        : "goes from " + before + " to " + after + " on '" + told + "', which no line declares";
  }

  /** The line that leads from one phase to another on what was told, if there is one. */
  static Optional<ModeRow> declared(Phase before, Phase after, String told) {
    for (ModeRow row : ModeTable.rows(before)) {
      // Within a mode nothing is told, and no two lines join the same two phases.
      if (row.to() == after && (before.mode() == after.mode() || row.on().equals(told))) {
        return Optional.of(row);
      }
    }
    return Optional.empty();
  }

  /** What was ordered, as one number. */
  private int orders() {
    int tie = out.tieOrdered ? 1 + out.tie.ordinal() : 0;
    int inverter = out.inverterOrdered ? 1 + out.inverter.ordinal() : 0;
    return tie + 8 * inverter + (out.islandPermit ? 128 : 0) + (out.feedLimitW > 0 ? 256 : 0);
  }

  /**
   * Files the state that has just been taken, and the edge that leads to it.
   *
   * @return its place
   */
  private int arrive(Step way) {
    int place = states.find(code.bytes());
    if (place < 0) {
      place = states.add(code.bytes());
      ways.add(way);
      perPhase.merge(supervisor.phase(), 1, Integer::sum);
      if (place >= lastFrom.length) {
        lastFrom = Arrays.copyOf(lastFrom, 2 * lastFrom.length);
      }
      lastFrom[place] = -1;
    }
    if (lastFrom[place] != way.from) {
      lastFrom[place] = way.from;
      edges++;
    }
    return place;
  }

  private String way(int to, Step last) {
    List<Step> steps = new ArrayList<>(List.of(last));
    for (int at = to; at > 0; at = ways.get(at).from) {
      steps.add(0, ways.get(at));
    }
    StringBuilder text = new StringBuilder();
    for (Step step : steps) {
      byte[] from = states.get(step.from);
      int[] running = code.running(from);
      text.append("  ").append(code.phase(from)).append(": ");
      text.append(choices.get(step.choice).says());
      for (int i = 0; i < running.length; i++) {
        if ((step.ranOut & 1 << i) != 0) {
          text.append("; run out: ").append(memory.name(running[i]));
        }
      }
      text.append('\n');
    }
    return text.toString();
  }

  private static String explore(Site site, int most) {
    Set<FieldGrid.Family> all = EnumSet.allOf(FieldGrid.Family.class);
    FieldGrid grid = new FieldGrid(site, most < 2, all, most);
    return new Exploration(site, grid, Variant.NONE, Asked.BY_THE_CODE, true).run().toString();
  }

  /**
   * The long exploration: every site with as many oddities at once as the first argument says.
   *
   * @param args how many oddities, 0 to 2, and optionally sites of the configuration by name
   */
  public static void main(String[] args) {
    int most = args.length > 0 ? Integer.parseInt(args[0]) : 1;
    List<String> names =
        args.length > 1
            ? List.of(args).subList(1, args.length)
            : List.of(
                "ferry-landing",
                "ferry-landing-changeover",
                "boat-shed",
                "ferry-landing-charger-only");
    for (String name : names) {
      System.out.println(name + ": " + explore(Sites.named(name), most));
    }
  }
}
