package islet.metrics;

import islet.contract.Decimal;
import java.nio.charset.StandardCharsets;
import java.util.LinkedHashMap;
import java.util.Map;

/**
 * Text in the OpenMetrics format, version 1.0.0 (from memory of the specification): for each family
 * its TYPE, UNIT and HELP, then its samples, at the end {@code # EOF}. The samples of a family
 * stand together, so one that is begun again is gone on with.
 */
final class OpenMetrics {

  /** What the text is, for HTTP. */
  static final String CONTENT_TYPE = "application/openmetrics-text; version=1.0.0; charset=utf-8";

  /** A nanosecond is the finest that is told. */
  private static final int DECIMALS = 9;

  /** By name, in the order in which they were begun. */
  private final Map<String, StringBuilder> families = new LinkedHashMap<>();

  private StringBuilder text = new StringBuilder();
  private String site = "";

  /**
   * What follows is of one site of several, and says so in a label.
   *
   * @param id the site's; empty when there is no other
   */
  void of(String id) {
    site = id;
  }

  /**
   * Begins a family of metrics.
   *
   * @param name without the suffix of its samples; ends with the unit if there is one
   * @param type counter, gauge, histogram, info or stateset
   * @param unit empty for none
   * @param help for people
   */
  void family(String name, String type, String unit, String help) {
    StringBuilder begun = families.get(name);
    if (begun != null) {
      text = begun;
      return;
    }
    text = new StringBuilder();
    families.put(name, text);
    text.append("# TYPE ").append(name).append(' ').append(type).append('\n');
    if (!unit.isEmpty()) {
      text.append("# UNIT ").append(name).append(' ').append(unit).append('\n');
    }
    text.append("# HELP ").append(name).append(' ');
    escaped(help);
    text.append('\n');
  }

  /**
   * A sample with a whole number.
   *
   * @param labels names and values in turn
   */
  void sample(String name, long value, String... labels) {
    begin(name, labels);
    text.append(value).append('\n');
  }

  /**
   * A sample with a number, which may be infinite.
   *
   * @param labels names and values in turn
   */
  void sample(String name, double value, String... labels) {
    begin(name, labels);
    if (Double.isInfinite(value)) {
      text.append(value > 0 ? "+Inf" : "-Inf");
    } else {
      text.append(Double.isNaN(value) ? "NaN" : Decimal.text(value, DECIMALS));
    }
    text.append('\n');
  }

  /** One constant of several: 1 for the one that is, 0 for the others. */
  void states(String family, Enum<?>[] all, int present) {
    for (Enum<?> state : all) {
      sample(family, state.ordinal() == present ? 1 : 0, family, state.name());
    }
  }

  private void begin(String name, String... labels) {
    text.append(name);
    char before = '{';
    if (!site.isEmpty() && !named("site", labels)) {
      label(before, "site", site);
      before = ',';
    }
    for (int i = 0; i < labels.length; i += 2) {
      label(before, labels[i], labels[i + 1]);
      before = ',';
    }
    text.append(before == '{' ? " " : "} ");
  }

  private static boolean named(String name, String... labels) {
    for (int i = 0; i < labels.length; i += 2) {
      if (labels[i].equals(name)) {
        return true;
      }
    }
    return false;
  }

  private void label(char before, String name, String value) {
    text.append(before).append(name).append("=\"");
    escaped(value);
    text.append('"');
  }

  private void escaped(String value) {
    for (int i = 0; i < value.length(); i++) {
      char c = value.charAt(i);
      switch (c) {
        case '\\' -> text.append("\\\\");
        case '"' -> text.append("\\\"");
        case '\n' -> text.append("\\n");
        default -> text.append(c);
      }
    }
  }

  /** The whole text, with its end. */
  byte[] end() {
    StringBuilder all = new StringBuilder();
    families.values().forEach(all::append);
    return all.append("# EOF\n").toString().getBytes(StandardCharsets.UTF_8);
  }
}
