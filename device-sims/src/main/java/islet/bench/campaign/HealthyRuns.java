package islet.bench.campaign;

import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Function;

/** How each course of a campaign goes undisturbed. */
final class HealthyRuns {

  private final Map<String, Healthy> byName = new TreeMap<>();

  /** Runs each course once. */
  HealthyRuns(List<Course> courses, Function<Course, Healthy> run) {
    courses.forEach(course -> byName.computeIfAbsent(course.name(), name -> run.apply(course)));
  }

  /** The undisturbed run of one of the courses. */
  Healthy of(Course course) {
    Healthy healthy = byName.get(course.name());
    if (healthy == null) {
      throw new IllegalArgumentException("no course of this campaign: " + course.name());
    }
    return healthy;
  }
}
