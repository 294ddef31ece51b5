package islet.bench.compare;

import java.util.List;

/**
 * Two or more runs side by side.
 *
 * @param columns at least two; differences are counted from the first
 * @param groups the lines under their headings
 * @param notes what a reader must know before comparing
 */
public record Comparison(List<Column> columns, List<Group> groups, List<String> notes) {

  public Comparison {
    columns = List.copyOf(columns);
    groups = List.copyOf(groups);
    notes = List.copyOf(notes);
  }

  /** Lines under one heading. */
  public record Group(String name, List<Row> rows) {
    public Group {
      rows = List.copyOf(rows);
    }
  }

  /**
   * Compares runs.
   *
   * @param columns at least two
   * @param version of this build, so that runs of another one are named
   */
  public static Comparison of(List<Column> columns, String version) {
    return new Comparison(columns, Rows.groups(columns), Notes.of(columns, version));
  }

  /** Whether every run passed its verdict. */
  public boolean passed() {
    return columns.stream().allMatch(column -> column.result().passed());
  }
}
