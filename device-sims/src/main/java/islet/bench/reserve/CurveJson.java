package islet.bench.reserve;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import islet.contract.Decimal;
import java.io.IOException;
import java.io.StringWriter;
import java.util.Locale;

/** A reserve curve for machines. Numbers have fixed decimals: the same bytes on every JDK. */
public final class CurveJson {

  private static final int DECIMALS = 6;

  private static final double HOUR = 3.6e9;

  private static final JsonFactory JSON = new JsonFactory();

  private CurveJson() {}

  /** The JSON text. A time that no outage reached is null. */
  public static String of(ReserveCurve curve) throws IOException {
    StringWriter text = new StringWriter();
    DefaultPrettyPrinter printer = new DefaultPrettyPrinter();
    printer.indentObjectsWith(new DefaultIndenter("  ", "\n"));
    try (JsonGenerator json = JSON.createGenerator(text)) {
      json.setPrettyPrinter(printer);
      json.writeStartObject();
      json.writeStringField("scenario", curve.scenario().title());
      json.writeStringField("site", curve.scenario().site().name());
      json.writeNumberField("seed", curve.scenario().seed());
      json.writeStringField("version", curve.version());
      json.writeBooleanField("wraps", curve.wraps());
      number(json, "outage_h", curve.outageMicros() / HOUR);
      json.writeArrayFieldStart("reserves");
      for (ReservePoint point : curve.points()) {
        point(json, curve, point);
      }
      json.writeEndArray();
      json.writeArrayFieldStart("rehearsed");
      for (ReserveCurve.Proof proof : curve.proofs()) {
        json.writeStartObject();
        json.writeStringField("reserve", proof.reserve());
        outage(json, "account", curve, proof.account());
        outage(json, "rehearsal", curve, proof.rehearsed());
        json.writeBooleanField("close", proof.close());
        json.writeEndObject();
      }
      json.writeEndArray();
      json.writeArrayFieldStart("notes");
      for (String note : CurveText.notes(curve)) {
        json.writeString(note);
      }
      json.writeEndArray();
      json.writeEndObject();
    }
    return text.append('\n').toString();
  }

  private static void point(JsonGenerator json, ReserveCurve curve, ReservePoint point)
      throws IOException {
    json.writeStartObject();
    json.writeStringField("reserve", point.reserve());
    json.writeStringField("verdict", point.result().passed() ? "pass" : "fail");
    json.writeStringField("currency", point.currency());
    number(json, "bill", point.bill());
    quantile(json, "median_h", point.survival(), 0.5);
    quantile(json, "fifth_percentile_h", point.survival(), 0.05);
    quantile(json, "worst_h", point.survival(), 1e-9);
    number(json, "survived_share", point.survival().share(curve.outageMicros()));
    json.writeArrayFieldStart("outages");
    for (Outage outage : point.outages()) {
      outage(json, "", curve, outage);
    }
    json.writeEndArray();
    json.writeEndObject();
  }

  private static void outage(JsonGenerator json, String name, ReserveCurve curve, Outage outage)
      throws IOException {
    if (!name.isEmpty()) {
      json.writeFieldName(name);
    }
    json.writeStartObject();
    json.writeStringField("began", CurveText.local(curve, outage));
    number(json, "lasted_h", outage.micros() / HOUR);
    json.writeStringField("end", outage.end().name().toLowerCase(Locale.ROOT));
    json.writeEndObject();
  }

  private static void quantile(JsonGenerator json, String name, Survival survival, double dark)
      throws IOException {
    long micros = survival.quantileMicros(dark);
    number(json, name, micros == Long.MAX_VALUE ? Double.NaN : micros / HOUR);
  }

  private static void number(JsonGenerator json, String name, double value) throws IOException {
    json.writeFieldName(name);
    if (Double.isFinite(value)) {
      json.writeNumber(Decimal.text(value, DECIMALS));
    } else {
      json.writeNull();
    }
  }
}
