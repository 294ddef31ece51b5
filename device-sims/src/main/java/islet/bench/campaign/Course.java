package islet.bench.campaign;

import islet.bench.Scenario;
import java.util.List;

/**
 * A run that a campaign disturbs: a scenario that passes through some modes when nothing more
 * happens.
 *
 * @param name its file's name without the ending
 * @param scenario whose expectations do not count here
 * @param modes in which of its modes mishaps shall begin; empty for all that it passes
 */
public record Course(String name, Scenario scenario, List<String> modes) {
  public Course {
    modes = List.copyOf(modes);
  }
}
