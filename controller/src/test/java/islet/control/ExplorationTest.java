package islet.control;

import static islet.control.FieldGrid.Family.BATTERY;
import static islet.control.FieldGrid.Family.CHARGING;
import static islet.control.FieldGrid.Family.LINKS;
import static islet.control.FieldGrid.Family.OPERATOR;
import static islet.control.FieldGrid.Family.UTILITY;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.InverterOrder;
import islet.contract.OperatorOrder;
import islet.contract.TieOrder;
import islet.control.Exploration.Broken;
import islet.control.Exploration.Found;
import islet.control.FieldGrid.Family;
import islet.site.Site;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * The interlocks hold in every state that the real supervisor reaches, the mode machine takes every
 * line of its table and no other way, and no step of a sequence outlasts its time. Judged by {@link
 * ExplorationJudge}; what an exploration covers is told at {@link Exploration}.
 */
@Tag("apart")
class ExplorationTest {

  private static final Site TWO_PANEL = Sites.named("ferry-landing");
  private static final Site AUTOMATIC = Sites.named("ferry-landing-changeover");
  private static final Site BATTERY_FIRST =
      Sites.named(
          "ferry-landing-changeover",
          "changeover.prefer",
          "battery",
          "changeover.batteryAbove",
          "80 %");
  private static final Site BY_HAND = Sites.named("boat-shed");
  private static final Site NO_SWITCH = Sites.named("ferry-landing-charger-only");

  /** Every walk, and every time that runs in every state, as {@code .ci/run} has it. */
  private static final boolean WHOLE = Boolean.getBoolean("islet.long");

  /**
   * So many lines of the mode table are taken only by walks that the short form, a twentieth of it,
   * leaves out.
   */
  private static final int LEFT_TO_OTHER_WALKS = 26;

  /** One exploration; none knows of another, so that two may run at once. */
  private record Walk(String name, Site site, FieldGrid grid) {
    Found run() {
      return new Exploration(site, grid, Variant.NONE, Asked.BY_THE_CODE, WHOLE).run();
    }
  }

  @Test
  void theInterlocksHoldAndEveryLineIsTaken() {
    System.out.println(
        WHOLE
            ? "In all states every time that runs is tried."
            : "One walk only, and in some states every time that runs, in the others those that a"
                + " scan asks for. All: -Dislet.long=true.");
    List<Walk> walks = WHOLE ? allWalks() : List.of(contradictions("two-panel", TWO_PANEL));
    List<Found> found = walks.parallelStream().map(Walk::run).toList();
    Set<ModeRow> taken = new LinkedHashSet<>();
    for (int i = 0; i < found.size(); i++) {
      System.out.println(walks.get(i).name + ": " + found.get(i));
      taken.addAll(found.get(i).rows());
    }
    List<String> left =
        ModeTable.rows().stream()
            .filter(row -> !taken.contains(row))
            .map(ExplorationTest::told)
            .toList();
    assertEquals(WHOLE ? 0 : LEFT_TO_OTHER_WALKS, left.size(), left.toString());
  }

  private static List<Walk> allWalks() {
    Set<Family> all = EnumSet.allOf(Family.class);
    List<Walk> walks = new ArrayList<>();
    walks.add(contradictions("two-panel", TWO_PANEL));
    walks.addAll(oddities("two-panel", TWO_PANEL, all));
    walks.add(contradictions("automatic", AUTOMATIC));
    walks.addAll(oddities("automatic", AUTOMATIC, EnumSet.of(LINKS, UTILITY, CHARGING, OPERATOR)));
    walks.addAll(oddities("battery first", BATTERY_FIRST, EnumSet.of(BATTERY)));
    walks.add(contradictions("by hand", BY_HAND));
    walks.addAll(oddities("by hand", BY_HAND, all));
    walks.addAll(oddities("no switch", NO_SWITCH, all));
    return walks;
  }

  private static String told(ModeRow row) {
    return row.from() + ": " + row.on();
  }

  /** Every combination, whether it contradicts itself or not, and nothing else odd. */
  private static Walk contradictions(String name, Site site) {
    return new Walk(name + ", contradictions", site, new FieldGrid(site, true, Set.of(), 0));
  }

  /** Combinations that fit together, with each family's oddities one by one. */
  private static List<Walk> oddities(String name, Site site, Set<Family> families) {
    return families.stream()
        .map(f -> new Walk(name + ", " + f, site, new FieldGrid(site, false, Set.of(f), 1)))
        .toList();
  }

  private static Arguments broken(Site site, Family family, String wrong, Variant variant) {
    return Arguments.of(site, family, wrong, variant);
  }

  static Stream<Arguments> brokenSupervisors() {
    return Stream.of(
        broken(
            TWO_PANEL,
            OPERATOR,
            "closes under a padlock",
            new Variant() {
              @Override
              public boolean hears(OperatorOrder order) {
                return order != OperatorOrder.HOLD;
              }
            }),
        broken(
            TWO_PANEL,
            UTILITY,
            "forms behind a closed tie",
            new Variant() {
              @Override
              public void spoil(Phase after, Field field, Outputs out) {
                if (after == Phase.OPEN_TIE) {
                  out.inverter = InverterOrder.FORM;
                }
              }
            }),
        broken(
            TWO_PANEL,
            LINKS,
            "forms behind a tie that is not heard",
            new Variant() {
              @Override
              public void spoil(Phase after, Field field, Outputs out) {
                if (after == Phase.FORM) {
                  out.inverter = InverterOrder.FORM;
                  out.inverterOrdered = true;
                }
              }
            }),
        broken(
            TWO_PANEL,
            UTILITY,
            "closes before the utility has held its band for the delay",
            new Variant() {
              @Override
              public boolean hurries(String timer) {
                return timer.equals("in band");
              }
            }),
        broken(
            TWO_PANEL,
            UTILITY,
            "closes out of step onto a live panel",
            new Variant() {
              @Override
              public void spoil(Phase after, Field field, Outputs out) {
                if (after == Phase.SYNCHRONISE) {
                  out.tieOrdered = true;
                  out.tie = TieOrder.CLOSE;
                }
              }
            }),
        broken(
            TWO_PANEL,
            UTILITY,
            "forms onto a panel that lives behind an open contact",
            new Variant() {
              @Override
              public boolean runsOut(String timer) {
                return !timer.equals("live");
              }
            }),
        broken(
            TWO_PANEL,
            UTILITY,
            "stays in",
            new Variant() {
              @Override
              public boolean runsOut(String timer) {
                return !timer.equals("entered");
              }
            }),
        broken(
            TWO_PANEL,
            UTILITY,
            "closes while held",
            new Variant() {
              @Override
              public void spoil(Phase after, Field field, Outputs out) {
                if (after == Phase.WAIT_FOR_PERSON && field.utilityPu == 0) {
                  out.tie = TieOrder.CLOSE;
                }
              }
            }),
        broken(
            TWO_PANEL,
            BATTERY,
            "permits an island on a battery at its floor",
            new Variant() {
              @Override
              public void spoil(Phase after, Field field, Outputs out) {
                out.islandPermit |= after == Phase.CONNECTED;
              }
            }),
        broken(
            AUTOMATIC,
            BATTERY,
            "discharges a battery at its floor",
            new Variant() {
              @Override
              public void spoil(Phase after, Field field, Outputs out) {
                if (after == Phase.CONNECTED) {
                  out.inverter = InverterOrder.FORM;
                }
              }
            }),
        broken(
            AUTOMATIC,
            CHARGING,
            "charges above the battery's limit",
            new Variant() {
              @Override
              public void spoil(Phase after, Field field, Outputs out) {
                out.regulatorLimitA = 80;
              }
            }),
        broken(
            BY_HAND,
            UTILITY,
            "orders a switch that only a person moves",
            new Variant() {
              @Override
              public void spoil(Phase after, Field field, Outputs out) {
                out.tieOrdered |= after == Phase.OPEN_TIE;
              }
            }));
  }

  @ParameterizedTest(name = "{2}")
  @MethodSource("brokenSupervisors")
  void aBrokenSupervisorIsFound(Site site, Family family, String wrong, Variant variant) {
    Exploration exploration =
        new Exploration(
            site, new FieldGrid(site, false, Set.of(family), 1), variant, Asked.BY_THE_CODE, false);
    Broken found = assertThrows(Broken.class, exploration::run);
    assertTrue(found.wrong.startsWith(wrong), found.toString());
  }

  /** That a time is not asked for is never taken on trust: each that is asked for is missed. */
  @ParameterizedTest
  @EnabledIfSystemProperty(named = "islet.long", matches = "true", disabledReason = "takes seconds")
  @CsvSource({
    "in step,      UTILITY",
    "not forming,  LINKS",
    "unloaded,     OPERATOR",
    "sides differ, UTILITY",
    "formed,       UTILITY",
    "closed,       UTILITY",
    "live,         UTILITY",
    "low,          BATTERY",
    "blind,        BATTERY"
  })
  void aTimeThatIsAskedForAfterAllIsFound(String missed, Family family) {
    Asked wrong =
        (time, before, says) -> !time.equals(missed) && Asked.BY_THE_CODE.asks(time, before, says);
    Exploration exploration =
        new Exploration(
            TWO_PANEL,
            new FieldGrid(TWO_PANEL, family == UTILITY, Set.of(family), 1),
            Variant.NONE,
            wrong,
            false);
    Broken found = assertThrows(Broken.class, exploration::run);
    assertTrue(found.wrong.startsWith("goes another way"), found.toString());
    assertTrue(found.toString().contains("run out: " + missed), found.toString());
  }

  @Test
  void aWayThatNoLineDeclaresIsFound() {
    assertTrue(declared(Phase.CONNECTED, Phase.CLOSE_TIE, "utility qualified").isEmpty());
    assertTrue(declared(Phase.CARRY, Phase.SYNCHRONISE, "battery at its floor").isEmpty());
    assertTrue(declared(Phase.CARRY, Phase.SYNCHRONISE, "utility qualified").isPresent());
  }

  private static Optional<ModeRow> declared(Phase from, Phase to, String told) {
    return Exploration.declared(from, to, told);
  }
}
