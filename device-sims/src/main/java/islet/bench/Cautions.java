package islet.bench;

import islet.bench.RunResult.AlarmEntry;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;

/**
 * What a person who takes a run to live equipment must keep in mind: the usual cautions of the
 * trade (common practice), and more where the run itself gives cause.
 */
public final class Cautions {

  private static final List<String> USUAL =
      List.of(
          "Backfeed: a site with its own sources can make a line live that the utility has switched"
              + " off. Treat every conductor as live until it is isolated, locked out and tested"
              + " dead.",
          "Stored energy: a battery and the capacitors of converters stay live when everything is"
              + " switched off. Isolate, wait as long as the equipment's label says, and test.",
          "DC arcs: direct current does not pass through zero and does not put out its own arc."
              + " Never open a DC connector, fuse or isolator under load that is not made for it.",
          "Battery gas: lead-acid batteries give off hydrogen while they charge. Ventilate, and"
              + " keep flames and sparks away.",
          "Lock out and tag out every source before work: utility, array, battery.",
          "Local codes, the utility's rules and the manufacturer's instructions come first. Work on"
              + " the equipment is for licensed persons.",
          "Islet rehearses; certified device protection protects. A passed run replaces neither"
              + " that protection nor the tests that the authority having jurisdiction requires.");

  private Cautions() {}

  /** The cautions that hold for any work on such a site. */
  public static List<String> usual() {
    return USUAL;
  }

  /** The cautions of a run, the special ones first. */
  public static List<String> of(
      List<HazardVerdict> hazards, List<AlarmEntry> alarms, List<VoltageExcursion> excursions) {
    Set<String> all = new LinkedHashSet<>();
    for (HazardVerdict hazard : hazards) {
      if (hazard.verdict() != Outcome.PASS) {
        String special = forHazard(hazard.id());
        if (!special.isEmpty()) {
          all.add(special);
        }
      }
    }
    for (AlarmEntry alarm : alarms) {
      String special = forAlarm(alarm.id());
      if (!special.isEmpty()) {
        all.add(special);
      }
    }
    if (excursions.stream().anyMatch(e -> !e.insideItic())) {
      all.add(
          "The emergency panel left the voltage envelope that equipment is commonly built for in"
              + " this run. Loads that must not stop need a supply of their own that carries them"
              + " across.");
    }
    all.addAll(USUAL);
    return new ArrayList<>(all);
  }

  private static String forHazard(String id) {
    return switch (id) {
      case Backfeed.ID ->
          "In this run the site fed a utility that was dead or out of band. On a real line that can"
              + " kill: do not run these settings at a site before the cause is removed and the"
              + " disconnection is witnessed.";
      case OutOfSyncClose.ID ->
          "In this run the tie closed out of step. On real equipment that means currents of a short"
              + " circuit: stay clear of the switch, and prove the sync check before it may close.";
      case EarlyReturn.ID ->
          "In this run the site returned before the utility had qualified. The utility's crew may"
              + " still be at work on the line.";
      case Overcharge.ID ->
          "In this run the battery was charged beyond its limits. On a real bank that means"
              + " hydrogen, heat and spilt acid: ventilate, and stop the charge at the battery's own"
              + " isolator.";
      case WrongPicture.ID ->
          "In this run the supervisor's picture was wrong. Nobody may rely on a screen for"
              + " isolation: test at the conductor.";
      default -> "";
    };
  }

  private static String forAlarm(String id) {
    return switch (id) {
      case "tie-not-open", "tie-doubtful" ->
          "In this run the tie did not open or was in doubt. Its contact may be welded: open the"
              + " utility disconnect by hand, lock it out, and test both sides dead before anybody"
              + " touches the tie.";
      case "battery-cold-or-hot" ->
          "In this run the battery was outside its temperature limits. A hot battery may gas or burn;"
              + " do not open its enclosure while it charges.";
      default -> "";
    };
  }
}
