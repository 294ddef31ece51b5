package islet.metrics;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * A reader of OpenMetrics text written from the grammar and the rules of the specification, version
 * 1.0.0 (from memory), and from nothing of what writes it: each family's TYPE, UNIT and HELP stand
 * before its samples and once; families don't interleave; a sample's name is its family's with a
 * suffix that the type allows; a unit is the name's end; counters are finite and not negative;
 * buckets are cumulative, end with +Inf and agree with the count; no sample comes twice; the text
 * ends with {@code # EOF} and a line feed.
 */
final class OpenMetricsText {

  private static final String NAME = "[a-zA-Z_:][a-zA-Z0-9_:]*";
  private static final Pattern META = Pattern.compile("# (TYPE|UNIT|HELP) (" + NAME + ") (.*)");
  private static final String QUOTED = "\"(?:[^\"\\\\\n]|\\\\[\\\\\"n])*\"";
  private static final String LABEL = "[a-zA-Z_][a-zA-Z0-9_]*=" + QUOTED;
  private static final Pattern SAMPLE =
      Pattern.compile(
          "("
              + NAME
              + ")(?:\\{((?:"
              + LABEL
              + ")(?:,"
              + LABEL
              + ")*)?\\})? ([+-]?Inf|NaN|[+-]?(?:\\d+\\.?\\d*|\\.\\d+)(?:[eE][+-]?\\d+)?)");
  private static final Pattern ONE_LABEL =
      Pattern.compile("([a-zA-Z_][a-zA-Z0-9_]*)=(" + QUOTED + ")");

  private static final Map<String, Set<String>> SUFFIXES =
      Map.of(
          "counter", Set.of("_total", "_created"),
          "gauge", Set.of(""),
          "histogram", Set.of("_bucket", "_count", "_sum", "_created"),
          "info", Set.of("_info"),
          "stateset", Set.of(""),
          "unknown", Set.of(""));

  /** The values by name and labels as written. */
  final Map<String, Double> samples = new LinkedHashMap<>();

  /** The types by family. */
  final Map<String, String> types = new LinkedHashMap<>();

  private final Map<String, String> units = new LinkedHashMap<>();
  private final Set<String> helped = new LinkedHashSet<>();
  private String family = "";
  private boolean sampled;

  /** Reads a text; anything against the rules is an AssertionError that says what. */
  static OpenMetricsText of(String text) {
    OpenMetricsText read = new OpenMetricsText();
    demand(text.endsWith("\n# EOF\n"), "the end is not # EOF and a line feed");
    List<String> lines = List.of(text.substring(0, text.length() - "# EOF\n".length()).split("\n"));
    for (String line : lines) {
      Matcher meta = META.matcher(line);
      if (meta.matches()) {
        read.meta(meta.group(1), meta.group(2), meta.group(3));
      } else {
        Matcher sample = SAMPLE.matcher(line);
        demand(sample.matches(), "neither descriptor nor sample: " + line);
        String labels = sample.group(2) == null ? "" : sample.group(2);
        read.sample(sample.group(1), labels, number(sample.group(3)));
      }
    }
    read.histograms();
    return read;
  }

  private static double number(String text) {
    return switch (text) {
      case "+Inf", "Inf" -> Double.POSITIVE_INFINITY;
      case "-Inf" -> Double.NEGATIVE_INFINITY;
      default -> Double.parseDouble(text);
    };
  }

  private void meta(String what, String name, String text) {
    if (!name.equals(family)) {
      demand(!types.containsKey(name), "family " + name + " comes twice");
      family = name;
      sampled = false;
      types.put(name, "unknown");
    }
    demand(!sampled, what + " of " + name + " behind its samples");
    switch (what) {
      case "TYPE" -> {
        demand(SUFFIXES.containsKey(text), "no such type: " + text);
        types.put(name, text);
      }
      case "UNIT" -> {
        demand(name.endsWith("_" + text), name + " does not end with its unit " + text);
        demand(units.put(name, text) == null, "two units of " + name);
      }
      default -> demand(helped.add(name), "two helps of " + name);
    }
  }

  private void sample(String name, String labels, double value) {
    String type = types.get(family);
    demand(
        name.startsWith(family)
            && SUFFIXES.getOrDefault(type, Set.of()).contains(name.substring(family.length())),
        name + " is no sample of the " + type + " " + family);
    sampled = true;
    List<String> names = new ArrayList<>();
    Map<String, String> pairs = new LinkedHashMap<>();
    Matcher label = ONE_LABEL.matcher(labels);
    while (label.find()) {
      names.add(label.group(1));
      pairs.put(label.group(1), label.group(2));
    }
    demand(Set.copyOf(names).size() == names.size(), "a label twice: " + labels);
    demand(
        samples.put(name + "{" + labels + "}", value) == null,
        "twice: " + name + "{" + labels + "}");
    switch (String.valueOf(type)) {
      case "counter", "histogram" ->
          demand(value >= 0 && !Double.isInfinite(value), name + " counts to " + value);
      case "info" -> demand(value == 1, name + " is an info of " + value);
      case "stateset" -> {
        demand(value == 0 || value == 1, name + " is a state of " + value);
        demand(pairs.containsKey(family), name + " lacks the label " + family);
      }
      default -> {}
    }
  }

  private void histograms() {
    types.forEach(
        (name, type) -> {
          if (type.equals("histogram")) {
            histogram(name);
          }
        });
  }

  /** One for each set of the other labels, which stand before {@code le}. */
  private void histogram(String name) {
    Pattern bucket = Pattern.compile(Pattern.quote(name) + "_bucket\\{(.*?),?le=\"([^\"]+)\"}");
    Map<String, Double> bounds = new LinkedHashMap<>();
    Map<String, Double> counts = new LinkedHashMap<>();
    for (Map.Entry<String, Double> sample : samples.entrySet()) {
      String key = sample.getKey();
      Matcher read = bucket.matcher(key);
      if (read.matches()) {
        String others = read.group(1);
        double le = number(read.group(2));
        demand(
            le > bounds.getOrDefault(others, Double.NEGATIVE_INFINITY),
            key + " is not above the bucket before");
        demand(
            sample.getValue() >= counts.getOrDefault(others, 0.0),
            key + " is less than the bucket before");
        bounds.put(others, le);
        counts.put(others, sample.getValue());
      }
    }
    demand(!bounds.isEmpty(), name + " has no bucket");
    bounds.forEach(
        (others, bound) -> {
          demand(bound == Double.POSITIVE_INFINITY, name + " has no bucket without bound");
          demand(
              counts.getOrDefault(others, Double.NaN) == value(name + "_count{" + others + "}"),
              name + "_count differs from its last bucket");
        });
  }

  /** A sample's value. */
  double value(String sample) {
    Double value = samples.get(sample);
    demand(value != null, "no sample " + sample);
    return value == null ? Double.NaN : value;
  }

  private static void demand(boolean holds, String complaint) {
    if (!holds) {
      throw new AssertionError(complaint);
    }
  }
}
