package islet.executive;

import islet.contract.Decimal;
import islet.control.Keepsake;
import islet.control.Supervisor;
import java.util.LinkedHashMap;
import java.util.Map;

/**
 * Writes down what a supervisor wants kept, as names and texts. What is as in a new supervisor is
 * left out: what is missing means "as new".
 */
final class KeepsakeNotes implements Keepsake {

  private static final int DECIMALS = 6;

  private final Map<String, String> asNew;
  private final Map<String, String> firm = new LinkedHashMap<>();
  private final Map<String, String> drifting = new LinkedHashMap<>();

  private KeepsakeNotes(Map<String, String> asNew) {
    this.asNew = asNew;
  }

  /**
   * What a supervisor wants kept.
   *
   * @param asNew what a new one would, see {@link #all}
   */
  static KeepsakeNotes of(Supervisor supervisor, Map<String, String> asNew) {
    KeepsakeNotes notes = new KeepsakeNotes(asNew);
    supervisor.keep(notes);
    return notes;
  }

  /** What does not drift by itself: a change of it is worth a note at once. */
  Map<String, String> firm() {
    return firm;
  }

  /** Everything. */
  Map<String, String> all() {
    Map<String, String> all = new LinkedHashMap<>(firm);
    all.putAll(drifting);
    return all;
  }

  private void note(Map<String, String> notes, String name, String text) {
    if (!text.equals(asNew.get(name))) {
      notes.put(name, text);
    }
  }

  @Override
  public long instant(String name, long value) {
    note(drifting, name, Long.toString(value));
    return value;
  }

  @Override
  public long count(String name, long value) {
    note(firm, name, Long.toString(value));
    return value;
  }

  @Override
  public double estimate(String name, double value) {
    note(drifting, name, Decimal.text(value, DECIMALS));
    return value;
  }

  @Override
  public boolean flag(String name, boolean value) {
    note(firm, name, Boolean.toString(value));
    return value;
  }

  @Override
  public <E extends Enum<E>> E word(String name, E value) {
    note(firm, name, value.name());
    return value;
  }

  @Override
  public String text(String name, String value) {
    note(firm, name, value);
    return value;
  }
}
