package islet.site;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;

/** Gathers what is wrong while a file is read, so that all of it can be told at once. */
public final class Problems {
  private final List<Problem> found = new ArrayList<>();

  /** Adds one. */
  public void add(Problem problem) {
    found.add(problem);
  }

  /** Whether a problem of this field is known. */
  boolean tellsOf(String file, String field) {
    return found.stream().anyMatch(p -> p.file().equals(file) && p.field().equals(field));
  }

  /**
   * Reads another file on behalf of this one and takes over what is wrong in it.
   *
   * @return what was read; empty when the other file is wrong
   */
  public <T> Optional<T> gather(Supplier<T> reader) {
    try {
      return Optional.of(reader.get());
    } catch (InputException e) {
      found.addAll(e.problems());
      return Optional.empty();
    }
  }

  /**
   * Ends a reading.
   *
   * @throws InputException with every problem by file and line, if there is one
   */
  public void throwIfAny() {
    if (!found.isEmpty()) {
      List<Problem> sorted = new ArrayList<>(found);
      sorted.sort(Comparator.comparing(Problem::file).thenComparingInt(Problem::line));
      throw new InputException(sorted);
    }
  }
}
