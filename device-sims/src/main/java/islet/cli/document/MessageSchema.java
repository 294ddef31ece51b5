package islet.cli.document;

import islet.contract.Field;
import islet.contract.IsoTime;
import islet.contract.Layout;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * A message's JSON Schema, made from its layout. Draft-07, which AsyncAPI takes as it is and every
 * later validator still reads.
 */
final class MessageSchema {

  /** Years divisible by four in the Gregorian calendar's sense, 1972 to 9996. */
  private static final String LEAP_YEAR =
      "(?:19(?:7[26]|8[048]|9[26])"
          + "|[2-9][0-9](?:0[48]|[2468][048]|[13579][26])"
          + "|(?:[2468][048]|[3579][26])00)";

  private static final String YEAR = "(?:19[7-9][0-9]|[2-9][0-9]{3})";

  /** Milliseconds in UTC on a day that the calendar has, 1970 to 9999. */
  private static final String INSTANT =
      "^(?:"
          + YEAR
          + "-(?:(?:0[13578]|1[02])-(?:0[1-9]|[12][0-9]|3[01])"
          + "|(?:0[469]|11)-(?:0[1-9]|[12][0-9]|30)"
          + "|02-(?:0[1-9]|1[0-9]|2[0-8]))"
          + "|"
          + LEAP_YEAR
          + "-02-29)"
          + "T(?:[01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9]\\.[0-9]{3}Z$";

  private MessageSchema() {}

  /** The schema as a tree. */
  static Map<String, Object> of(Layout<?> layout) {
    Map<String, Object> schema = new LinkedHashMap<>();
    schema.put("$schema", "http://json-schema.org/draft-07/schema#");
    schema.put("title", layout.name());
    schema.put("type", "object");
    List<String> names = new ArrayList<>();
    Map<String, Object> properties = new LinkedHashMap<>();
    for (Field field : layout.fields()) {
      names.add(field.name());
      properties.put(field.name(), property(field));
    }
    schema.put("required", names);
    schema.put("properties", properties);
    schema.put("additionalProperties", true);
    return schema;
  }

  private static Map<String, Object> property(Field field) {
    Map<String, Object> property = new LinkedHashMap<>();
    property.put("description", field.meaning());
    switch (field.type()) {
      case NUMBER -> range(property, "number", field);
      case WHOLE -> range(property, "integer", field);
      case FLAG -> property.put("type", "boolean");
      case WORD -> {
        property.put("type", "string");
        property.put("enum", List.of(field.words()));
      }
      case TEXT -> {
        property.put("type", "string");
        property.put("maxLength", (long) field.maximum());
      }
      case INSTANT -> {
        property.put("type", "string");
        property.put("format", "date-time");
        property.put("maxLength", (long) IsoTime.LENGTH);
        property.put("pattern", INSTANT);
      }
    }
    return property;
  }

  private static void range(Map<String, Object> property, String type, Field field) {
    property.put("type", type);
    property.put("minimum", whole(field, field.minimum()));
    property.put("maximum", whole(field, field.maximum()));
  }

  private static long whole(Field field, double bound) {
    if (bound != (long) bound) {
      throw new IllegalStateException(
          "the bound " + bound + " of " + field.name() + " is no whole");
    }
    return (long) bound;
  }
}
