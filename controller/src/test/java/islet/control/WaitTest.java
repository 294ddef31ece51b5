package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.GridState;
import islet.contract.InverterState;
import islet.contract.InverterTrip;
import islet.site.Site;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/**
 * What whoever looks on is told to count is what the lines of the table go by: in thousands of
 * scenes made by chance no line applies while one of its counts still runs, and for each count
 * there are scenes in which its line applies as soon as it has run out.
 */
class WaitTest {

  private static final int SCENES = 60_000;

  private static final List<Site> SITES =
      List.of(
          Sites.demo(),
          Sites.named("ferry-landing-changeover"),
          Sites.named("boat-shed"),
          Sites.named("ferry-landing-charger-only"),
          Sites.named(
              "ferry-landing-changeover",
              "changeover.prefer",
              "battery",
              "changeover.batteryAbove",
              "75 %"));

  private static final List<String> SINCE =
      List.of(
          "in step",
          "low",
          "not forming",
          "sides differ",
          "live",
          "blind",
          "unloaded",
          "closed",
          "open",
          "denied");

  private static final List<String> LAST =
      List.of("tie unheeded", "inverter unheeded", "ramp", "formed");

  /** From a scan ago to longer than anything takes. */
  private static final long[] AGES = {
    0,
    100_000,
    400_000,
    1_100_000,
    2_500_000,
    6_000_000,
    16_000_000,
    31_000_000,
    130_000_000,
    400_000_000
  };

  private static Scene scene(SplittableRandom random) {
    Scene scene = new Scene(SITES.get(random.nextInt(SITES.size())));
    switch (random.nextInt(4)) {
      case 0 -> scene.connected();
      case 1 -> scene.inStep();
      case 2 -> scene.dark();
      default -> scene.darkButForTheUtility();
    }
    scene.before.with("phase", one(random, Phase.values()));
    scene.before.with("entered", Scene.NOW - age(random));
    for (String name : SINCE) {
      scene.before.with(name, random.nextBoolean() ? Long.MAX_VALUE : Scene.NOW - age(random));
    }
    for (String name : LAST) {
      scene.before.with(name, random.nextBoolean() ? Inputs.NEVER : Scene.NOW - age(random));
    }
    scene.before.with(
        "retry", random.nextBoolean() ? Inputs.NEVER : Scene.NOW - age(random) + 5_000_000);
    scene.before.with("empty", rarely(random));
    scene.before.with("island asked", rarely(random));
    scene.before.with("side dead", random.nextBoolean());
    scene.before.with("foreign seen", random.nextBoolean());
    if (rarely(random)) {
      scene.grid = one(random, GridState.values());
    }
    if (rarely(random)) {
      scene.contactClosed = !scene.contactClosed;
    }
    if (rarely(random)) {
      scene.orderedClosed = !scene.orderedClosed;
    }
    if (rarely(random)) {
      scene.inverter = one(random, InverterState.values());
      scene.trip = one(random, InverterTrip.values());
    }
    if (rarely(random)) {
      scene.panelPu = scene.panelPu > 0.5 ? 0 : 1;
    }
    if (rarely(random)) {
      scene.criticalPu = scene.criticalPu > 0.5 ? 0 : 1;
    }
    if (rarely(random)) {
      scene.sidePu = scene.sidePu > 0.5 ? 0 : 1;
    }
    if (rarely(random)) {
      scene.angleDeg = random.nextInt(-90, 91);
    }
    if (rarely(random)) {
      scene.volts = random.nextBoolean() ? 0.9 : -1;
      scene.soc = random.nextBoolean() ? scene.soc : -1;
    }
    if (rarely(random)) {
      scene.criticalW = 500;
    }
    scene.regulatorAge = old(random);
    scene.inverterAge = old(random);
    scene.tieAge = old(random);
    scene.meterAge = old(random);
    scene.chargerAge = old(random);
    return scene;
  }

  private static boolean rarely(SplittableRandom random) {
    return random.nextInt(4) == 0;
  }

  private static long age(SplittableRandom random) {
    return AGES[random.nextInt(AGES.length)];
  }

  private static long old(SplittableRandom random) {
    return random.nextInt(6) == 0 ? Scene.STALE + age(random) : 0;
  }

  private static <T> T one(SplittableRandom random, T[] of) {
    return of[random.nextInt(of.length)];
  }

  @Test
  void noLineAppliesWhileOneOfItsCountsRuns() {
    SplittableRandom random = new SplittableRandom(5);
    Set<Wait> ranOut = EnumSet.noneOf(Wait.class);
    Set<Wait> heldUp = EnumSet.noneOf(Wait.class);
    for (int i = 0; i < SCENES; i++) {
      Scene scene = scene(random);
      Situation situation = scene.observed();
      for (ModeRow row : ModeTable.rows(situation.phase())) {
        boolean applies = row.condition().holds(situation);
        assertTrue(
            !applies || row.where().holds(situation), "scene " + i + ": never here: " + row.on());
        for (Wait wait : row.waits()) {
          long counted = situation.counted(wait);
          boolean runs = counted != Situation.NOT_COUNTING && counted < situation.limit(wait);
          assertTrue(
              !(applies && runs),
              "scene " + i + ": " + row.from() + ": " + row.on() + " while " + wait + " counts");
          if (applies && counted != Situation.NOT_COUNTING) {
            ranOut.add(wait);
          }
          if (runs) {
            heldUp.add(wait);
          }
        }
      }
    }
    assertEquals(EnumSet.allOf(Wait.class), heldUp, "each holds something up");
    // These are gone as soon as what they lead to is so.
    EnumSet<Wait> gone = EnumSet.of(Wait.CLEARING, Wait.LOW, Wait.RAMP, Wait.RETRY);
    assertEquals(EnumSet.complementOf(gone), ranOut, "the others are seen to have run out");
  }

  @Test
  void everyCountStandsBesideALine() {
    EnumSet<Wait> declared = EnumSet.noneOf(Wait.class);
    ModeTable.rows().forEach(row -> declared.addAll(row.waits()));
    assertEquals(EnumSet.allOf(Wait.class), declared);
  }
}
