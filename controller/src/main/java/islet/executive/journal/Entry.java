package islet.executive.journal;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;

/**
 * One note of the journal.
 *
 * @param seq counts up by one from note to note over all files, from 1
 * @param atMicros when, microseconds since 1970
 * @param fields names and texts, in the order in which they were noted
 */
public record Entry(long seq, long atMicros, Kind kind, Map<String, String> fields) {

  /** What a note is about. */
  public enum Kind {
    /** The controller has started: version, site, digest of its settings, instance. */
    START,
    /** The controller ends in good order, or says why it can't go on. */
    STOP,
    /** Something that happened, such as a change of mode. */
    EVENT,
    /** An alarm has changed its state. */
    ALARM,
    /** An operator has asked for something. */
    ORDER,
    /** What the operator was answered. */
    ANSWER,
    /** What the next start is told: see {@link islet.control.Keepsake}. */
    KEEPSAKE
  }

  private static final JsonFactory JSON = new JsonFactory();
  private static final String AT = "at";
  private static final String KIND = "kind";

  /** A note whose fields nobody changes any more. */
  public Entry {
    fields = Collections.unmodifiableMap(new LinkedHashMap<>(fields));
  }

  /** The note without its number as one flat JSON object in UTF-8, all values texts. */
  byte[] payload() {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream(256);
    try (JsonGenerator json = JSON.createGenerator(bytes)) {
      json.writeStartObject();
      json.writeStringField(AT, Long.toString(atMicros));
      json.writeStringField(KIND, kind.name());
      for (Map.Entry<String, String> field : fields.entrySet()) {
        json.writeStringField(field.getKey(), field.getValue());
      }
      json.writeEndObject();
    } catch (IOException e) {
      throw new UncheckedIOException("bytes in memory could not be written", e);
    }
    return bytes.toByteArray();
  }

  /** Reads a note back; empty when the bytes are none, which a good checksum all but excludes. */
  static Optional<Entry> of(long seq, byte[] payload, int offset, int length) {
    Map<String, String> fields = new LinkedHashMap<>();
    try (JsonParser json = JSON.createParser(payload, offset, length)) {
      if (json.nextToken() != JsonToken.START_OBJECT) {
        return Optional.empty();
      }
      for (String name = json.nextFieldName(); name != null; name = json.nextFieldName()) {
        String text = json.nextTextValue();
        if (text == null) {
          return Optional.empty();
        }
        fields.put(name, text);
      }
      String at = fields.remove(AT);
      String kind = fields.remove(KIND);
      if (at == null || kind == null) {
        return Optional.empty();
      }
      return Optional.of(new Entry(seq, Long.parseLong(at), Kind.valueOf(kind), fields));
    } catch (IOException | IllegalArgumentException e) {
      // A note of a later version, or none: it is passed over.
      return Optional.empty();
    }
  }

  /** The text of a field, empty when there is none. */
  public String text(String name) {
    return fields.getOrDefault(name, "");
  }
}
