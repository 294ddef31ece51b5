package islet.bench.check;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import islet.contract.Decimal;
import java.io.IOException;
import java.io.StringWriter;
import java.util.Locale;

/** A check for machines. Numbers have fixed decimals: the same bytes on every JDK. */
public final class CheckJson {

  private static final int DECIMALS = 6;
  private static final JsonFactory JSON = new JsonFactory();

  private CheckJson() {}

  /** The JSON text. A figure that the site does not have is null. */
  public static String of(SiteCheck check, String shownFile, String version) throws IOException {
    StringWriter text = new StringWriter();
    DefaultIndenter indenter = new DefaultIndenter("  ", "\n");
    DefaultPrettyPrinter printer = new DefaultPrettyPrinter();
    printer.indentObjectsWith(indenter);
    printer.indentArraysWith(indenter);
    try (JsonGenerator json = JSON.createGenerator(text)) {
      json.setPrettyPrinter(printer);
      json.writeStartObject();
      json.writeStringField("site", check.site().id());
      json.writeStringField("file", shownFile);
      json.writeStringField("version", version);
      json.writeStringField("verdict", check.passed() ? "pass" : "fail");
      json.writeNumberField("rules", check.rules());
      json.writeObjectFieldStart("counts");
      for (Severity severity : Severity.values()) {
        json.writeNumberField(word(severity), check.count(severity));
      }
      json.writeEndObject();
      assumptions(json, check.assumptions());
      json.writeArrayFieldStart("figures");
      for (Figure figure : check.figures()) {
        json.writeStartObject();
        json.writeStringField("group", figure.group());
        json.writeStringField("name", figure.name());
        number(json, "value", figure.value());
        json.writeStringField("unit", figure.unit());
        json.writeStringField("note", figure.note());
        json.writeEndObject();
      }
      json.writeEndArray();
      json.writeArrayFieldStart("findings");
      for (Finding finding : check.findings()) {
        finding(json, finding);
      }
      json.writeEndArray();
      json.writeArrayFieldStart("cautions");
      for (String caution : check.cautions()) {
        json.writeString(caution);
      }
      json.writeEndArray();
      json.writeEndObject();
    }
    return text.append('\n').toString();
  }

  private static void assumptions(JsonGenerator json, Assumptions assumptions) throws IOException {
    json.writeObjectFieldStart("assumptions");
    number(json, "coldestC", assumptions.coldestC());
    number(json, "hottestC", assumptions.hottestC());
    number(json, "outageS", assumptions.outageS().orElse(Double.NaN));
    json.writeEndObject();
  }

  private static void finding(JsonGenerator json, Finding finding) throws IOException {
    json.writeStartObject();
    json.writeStringField("rule", finding.rule());
    json.writeStringField("severity", word(finding.severity()));
    json.writeStringField("field", finding.field());
    json.writeStringField("file", finding.file());
    json.writeNumberField("line", finding.line());
    json.writeStringField("found", finding.found());
    json.writeStringField("why", finding.why());
    json.writeStringField("source", finding.source());
    json.writeStringField("advice", finding.advice());
    json.writeEndObject();
  }

  private static void number(JsonGenerator json, String name, double value) throws IOException {
    json.writeFieldName(name);
    if (Double.isFinite(value)) {
      json.writeNumber(Decimal.text(value, DECIMALS));
    } else {
      json.writeNull();
    }
  }

  private static String word(Severity severity) {
    return severity.name().toLowerCase(Locale.ROOT);
  }
}
