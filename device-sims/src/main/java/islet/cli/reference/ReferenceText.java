package islet.cli.reference;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import islet.plant.Row;
import java.io.IOException;
import java.io.StringWriter;
import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.List;
import java.util.Locale;

/** Reference rows for people, for documents and for machines. */
public final class ReferenceText {

  /** Significant digits of every figure; no published value here has more. */
  private static final MathContext DIGITS = new MathContext(8, RoundingMode.HALF_UP);

  private static final JsonFactory JSON = new JsonFactory();

  private ReferenceText() {}

  /** Rows under their sources, the answer first. */
  public static String plain(List<Row> rows) {
    long notRun = rows.stream().filter(r -> r.notRun().isPresent()).count();
    long failed = rows.stream().filter(r -> !r.pass()).count() - notRun;
    StringBuilder text = new StringBuilder();
    text.append(failed > 0 ? "FAIL  " : notRun > 0 ? "INCOMPLETE  " : "PASS  ");
    text.append(rows.size() - failed - notRun).append(" of ").append(rows.size());
    text.append(" published values met");
    text.append(failed == 0 ? "" : ", " + failed + " missed");
    text.append(notRun == 0 ? "" : ", " + notRun + " not run").append('\n');
    String heading = "";
    for (Row row : rows) {
      String next = row.id() + "  " + source(row);
      if (!next.equals(heading)) {
        text.append('\n').append(next).append('\n');
        heading = next;
      }
      if (row.notRun().isPresent()) {
        text.append("  ----  ").append(row.check()).append('\n');
        text.append("        not run: ").append(row.notRun().get()).append('\n');
        continue;
      }
      text.append(row.pass() ? "  pass  " : "  FAIL  ").append(row.check()).append('\n');
      text.append("        expected ").append(figure(row.expected(), row.unit()));
      text.append(", computed ").append(figure(row.computed(), row.unit()));
      text.append(", error ").append(figure(error(row), row.unit()));
      text.append(", tolerance ").append(figure(row.tolerance(), row.unit())).append('\n');
    }
    return text.toString();
  }

  /**
   * A table in Markdown. It shows the error as a share of the tolerance in whole percent, so that
   * the last bits of a computation don't change the document.
   */
  public static String markdown(List<Row> rows) {
    StringBuilder text = new StringBuilder();
    text.append("| check | what | expected | tolerance | error, of tolerance | pass | source |\n");
    text.append("| --- | --- | ---: | ---: | ---: | --- | --- |\n");
    for (Row row : rows) {
      text.append("| ").append(row.id());
      text.append(" | ").append(row.check());
      text.append(" | ").append(figure(row.expected(), row.unit()));
      text.append(" | ").append(figure(row.tolerance(), row.unit()));
      text.append(" | ").append(share(row));
      text.append(" | ").append(row.pass() ? "yes" : "**no**");
      text.append(" | ").append(source(row)).append(" |\n");
    }
    return text.toString();
  }

  /**
   * A JSON array of rows. A figure that is no number is written as null; {@code notRun} says why a
   * row was not worked out, and is empty when it was.
   */
  public static String json(List<Row> rows) throws IOException {
    StringWriter text = new StringWriter();
    DefaultIndenter indenter = new DefaultIndenter("  ", "\n");
    DefaultPrettyPrinter printer = new DefaultPrettyPrinter();
    printer.indentObjectsWith(indenter);
    printer.indentArraysWith(indenter);
    try (JsonGenerator json = JSON.createGenerator(text)) {
      json.setPrettyPrinter(printer);
      json.writeStartArray();
      for (Row row : rows) {
        json.writeStartObject();
        json.writeStringField("id", row.id());
        json.writeStringField("check", row.check());
        json.writeStringField("source", row.source());
        json.writeBooleanField("fromMemory", row.fromMemory());
        number(json, "expected", row.expected());
        number(json, "computed", row.computed());
        number(json, "error", error(row));
        number(json, "tolerance", row.tolerance());
        json.writeStringField("unit", row.unit());
        json.writeBooleanField("pass", row.pass());
        json.writeStringField("notRun", row.notRun().orElse(""));
        json.writeEndObject();
      }
      json.writeEndArray();
    }
    return text.append('\n').toString();
  }

  private static void number(JsonGenerator json, String name, double value) throws IOException {
    if (Double.isFinite(value)) {
      json.writeNumberField(name, rounded(value));
    } else {
      json.writeNullField(name);
    }
  }

  private static double error(Row row) {
    return Math.abs(row.computed() - row.expected());
  }

  private static String source(Row row) {
    return row.source() + (row.fromMemory() ? " (from memory)" : "");
  }

  private static String figure(double value, String unit) {
    String number = Double.isFinite(value) ? rounded(value).toString() : "none";
    return (number + " " + unit).strip();
  }

  private static String share(Row row) {
    double error = error(row);
    if (!Double.isFinite(error)) {
      return "none";
    }
    if (row.tolerance() == 0) {
      return error == 0 ? "0 %" : "beyond";
    }
    return String.format(Locale.ROOT, "%d %%", Math.round(100 * error / row.tolerance()));
  }

  /** Rounded in decimal arithmetic: the same digits on every JDK. */
  private static BigDecimal rounded(double value) {
    BigDecimal rounded = new BigDecimal(value).round(DIGITS).stripTrailingZeros();
    return rounded.scale() < 0 ? rounded.setScale(0) : rounded;
  }
}
