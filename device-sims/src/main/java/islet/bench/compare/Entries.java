package islet.bench.compare;

import islet.bench.RunResult.Entry;
import java.util.List;

/** Looks values up among a verdict's entries. */
final class Entries {

  private Entries() {}

  /** The sum of the entries of these names; NaN when there is none of them. */
  static double sum(List<Entry> entries, List<String> names) {
    double sum = 0;
    boolean found = false;
    for (Entry entry : entries) {
      if (names.contains(entry.name())) {
        sum += entry.value();
        found = true;
      }
    }
    return found ? sum : Double.NaN;
  }

  /** The entry's value; NaN when there is none. */
  static double value(List<Entry> entries, String name) {
    return sum(entries, List.of(name));
  }

  /** The currency of a bill; empty when nothing was reckoned. */
  static String currency(List<Entry> cost) {
    String total = "total_";
    return cost.stream()
        .map(Entry::name)
        .filter(name -> name.startsWith(total))
        .map(name -> name.substring(total.length()))
        .findFirst()
        .orElse("");
  }
}
