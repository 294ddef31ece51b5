package islet.site;

import java.util.List;
import java.util.stream.Collectors;

/** The input is wrong: all that was found wrong in it, so that a person mends it in one go. */
public final class InputException extends RuntimeException {
  private static final long serialVersionUID = 1L;

  private final transient List<Problem> problems;

  /**
   * Tells of wrong input.
   *
   * @param problems at least one, in the order in which they are to be told
   */
  public InputException(List<Problem> problems) {
    super(problems.stream().map(Problem::toString).collect(Collectors.joining("\n")));
    this.problems = List.copyOf(problems);
  }

  /** What is wrong, at least one problem. */
  public List<Problem> problems() {
    return problems;
  }
}
