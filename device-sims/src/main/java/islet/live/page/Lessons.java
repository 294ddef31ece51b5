package islet.live.page;

import java.util.List;

/** The lessons that there are, which whoever serves the page knows. */
public record Lessons(List<Lesson> all) {
  public Lessons {
    all = List.copyOf(all);
  }

  /**
   * A lesson.
   *
   * @param name of its page
   * @param title what it shows
   * @param scenarios by name, in the order in which they are compared
   */
  public record Lesson(String name, String title, List<String> scenarios) {
    public Lesson {
      scenarios = List.copyOf(scenarios);
    }
  }
}
