package islet.bench.campaign;

import islet.bench.Mishap;
import java.util.List;

/**
 * What a campaign's file asks for.
 *
 * @param title what a person reads
 * @param shown its file, as shown to a person
 * @param seed of everything drawn
 * @param courses the runs that are disturbed
 * @param mishaps what happens in them
 * @param method how instants and numbers are chosen
 * @param waivers hazards that a mishap brings with it whatever the supervisor does
 */
public record Campaign(
    String title,
    String shown,
    long seed,
    List<Course> courses,
    List<Mishap> mishaps,
    Method method,
    List<Waiver> waivers) {

  public Campaign {
    courses = List.copyOf(courses);
    mishaps = List.copyOf(mishaps);
    waivers = List.copyOf(waivers);
  }

  /** How instants and numbers are chosen. */
  public sealed interface Method {}

  /**
   * Every mishap with every combination of its values, in every mode of every course.
   *
   * @param instants how many of them, spread evenly over the time spent in the mode
   */
  public record Product(int instants) implements Method {}

  /**
   * Drawn by the seed.
   *
   * @param cases how many
   * @param together how many mishaps in one case
   * @param withinMicros every other time the next one begins so soon after the one before
   */
  public record Drawn(int cases, int together, long withinMicros) implements Method {}

  /**
   * Moves instants and numbers toward the smallest margin.
   *
   * @param evaluations runs for each search
   * @param restarts searches for each course, mishap and combination
   * @param together how many mishaps in one case
   * @param hazard whose margin is walked down; empty for whichever is nearest
   * @param around whether instants are sought around changes of mode, at distances from a
   *     millisecond to a minute; else all over the modes
   */
  public record Search(int evaluations, int restarts, int together, String hazard, boolean around)
      implements Method {}

  /**
   * Defects that were planted in the supervisor, each with a scenario in which it must be caught.
   */
  public record Planted(List<Plant> plants) implements Method {
    public Planted {
      plants = List.copyOf(plants);
    }
  }

  /**
   * One planted defect.
   *
   * @param defect its name
   * @param course in which it shows
   * @param hazard that must catch it
   */
  public record Plant(String defect, Course course, String hazard) {}

  /**
   * A hazard that does not decide the verdict of cases with a mishap.
   *
   * @param kind of the mishap
   * @param hazard by id
   * @param because the reason, which reports repeat
   */
  public record Waiver(String kind, String hazard, String because) {}
}
