package islet.metrics;

import islet.contract.Decimal;
import java.nio.charset.StandardCharsets;

/**
 * Text in the OpenMetrics format, version 1.0.0 (from memory of the specification): for each family
 * its TYPE, UNIT and HELP, then its samples, at the end {@code # EOF}.
 */
final class OpenMetrics {

  /** What the text is, for HTTP. */
  static final String CONTENT_TYPE = "application/openmetrics-text; version=1.0.0; charset=utf-8";

  /** A nanosecond is the finest that is told. */
  private static final int DECIMALS = 9;

  private final StringBuilder text = new StringBuilder(8192);

  /**
   * Begins a family of metrics.
   *
   * @param name without the suffix of its samples; ends with the unit if there is one
   * @param type counter, gauge, histogram, info or stateset
   * @param unit empty for none
   * @param help for people
   */
  void family(String name, String type, String unit, String help) {
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
    for (int i = 0; i < labels.length; i += 2) {
      text.append(i == 0 ? '{' : ',').append(labels[i]).append("=\"");
      escaped(labels[i + 1]);
      text.append('"');
    }
    text.append(labels.length == 0 ? " " : "} ");
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
    return text.append("# EOF\n").toString().getBytes(StandardCharsets.UTF_8);
  }
}
