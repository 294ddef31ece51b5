package islet.bench.check;

import java.util.List;
import java.util.stream.Stream;

/** All rules, by what they look at. */
public final class Rules {

  /**
   * Rules that look at the same part of a site.
   *
   * @param name of the part
   */
  public record Group(String name, List<Rule> rules) {}

  private static final List<Group> GROUPS =
      List.of(
          new Group("Charge set points", ChargeRules.ALL),
          new Group("Currents and cables", CurrentRules.ALL),
          new Group("Floor, reserve and shedding", ReserveRules.ALL),
          new Group("Inverter and loads", InverterRules.ALL),
          new Group("Utility and transfer", GridRules.ALL),
          new Group("Windows and prices", ScheduleRules.ALL),
          new Group("Trade and trust", DispatchRules.ALL),
          new Group("Times and links", TimingRules.ALL),
          new Group("Array and place", ArrayRules.ALL));

  private Rules() {}

  /** In groups. */
  public static List<Group> groups() {
    return GROUPS;
  }

  /** One after the other. */
  public static List<Rule> all() {
    return GROUPS.stream().flatMap(Rules::of).toList();
  }

  private static Stream<Rule> of(Group group) {
    return group.rules().stream();
  }
}
