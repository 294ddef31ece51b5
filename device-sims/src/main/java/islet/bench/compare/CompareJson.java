package islet.bench.compare;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import islet.contract.Decimal;
import java.io.IOException;
import java.io.StringWriter;

/** A comparison for machines. Numbers have fixed decimals: the same bytes on every JDK. */
public final class CompareJson {

  /** As in a verdict. */
  private static final int DECIMALS = 6;

  private static final JsonFactory JSON = new JsonFactory();

  private CompareJson() {}

  /** The JSON text. A value that a column does not have is null. */
  public static String of(Comparison comparison) throws IOException {
    StringWriter text = new StringWriter();
    DefaultIndenter indenter = new DefaultIndenter("  ", "\n");
    DefaultPrettyPrinter printer = new DefaultPrettyPrinter();
    printer.indentObjectsWith(indenter);
    try (JsonGenerator json = JSON.createGenerator(text)) {
      json.setPrettyPrinter(printer);
      json.writeStartObject();
      json.writeArrayFieldStart("columns");
      for (Column column : comparison.columns()) {
        column(json, column);
      }
      json.writeEndArray();
      json.writeArrayFieldStart("notes");
      for (String note : comparison.notes()) {
        json.writeString(note);
      }
      json.writeEndArray();
      json.writeArrayFieldStart("groups");
      for (Comparison.Group group : comparison.groups()) {
        json.writeStartObject();
        json.writeStringField("name", group.name());
        json.writeArrayFieldStart("rows");
        for (Row row : group.rows()) {
          row(json, row);
        }
        json.writeEndArray();
        json.writeEndObject();
      }
      json.writeEndArray();
      json.writeEndObject();
    }
    return text.append('\n').toString();
  }

  private static void column(JsonGenerator json, Column column) throws IOException {
    json.writeStartObject();
    json.writeStringField("label", column.label());
    json.writeStringField("source", column.source());
    json.writeStringField("scenario", column.result().scenario());
    json.writeStringField("site", column.result().site());
    json.writeNumberField("seed", column.result().seed());
    json.writeStringField("version", column.result().version());
    json.writeStringField("verdict", column.result().passed() ? "pass" : "fail");
    json.writeEndObject();
  }

  private static void row(JsonGenerator json, Row row) throws IOException {
    json.writeStartObject();
    json.writeStringField("name", row.name().strip());
    json.writeBooleanField("partOfTheLineAbove", row.name().startsWith(" "));
    if (row instanceof Row.Words words) {
      json.writeArrayFieldStart("words");
      for (String value : words.values()) {
        json.writeString(value);
      }
      json.writeEndArray();
    } else if (row instanceof Row.Figures figures) {
      json.writeStringField("unit", figures.unit());
      json.writeArrayFieldStart("values");
      for (double value : figures.values()) {
        number(json, value);
      }
      json.writeEndArray();
      json.writeArrayFieldStart("differences");
      for (int i = 0; i < figures.values().size(); i++) {
        number(json, figures.difference(i));
      }
      json.writeEndArray();
    }
    json.writeEndObject();
  }

  private static void number(JsonGenerator json, double value) throws IOException {
    if (Double.isFinite(value)) {
      json.writeNumber(Decimal.text(value, DECIMALS));
    } else {
      json.writeNull();
    }
  }
}
