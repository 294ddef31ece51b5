package islet.live.page;

import com.fasterxml.jackson.core.JsonGenerator;
import java.io.BufferedReader;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;

/**
 * The sequence of events in a run folder.
 *
 * @param lines in the order of time
 * @param leftOut so many later ones were not read
 */
record RecordedEvents(List<Line> lines, int leftOut) {

  /** Ten years of busy days; beyond that something chatters, and the rest would say the same. */
  private static final int MOST = 100_000;

  private static final List<String> COLUMNS =
      List.of("time_s", "local_time", "source", "kind", "from", "to", "reason");

  /**
   * A line.
   *
   * @param micros since 1970, to the millisecond
   */
  record Line(long micros, String source, String kind, String from, String to, String reason) {}

  RecordedEvents {
    lines = List.copyOf(lines);
  }

  /**
   * Reads {@code events.csv}.
   *
   * @param startMicros the start of the run, microseconds since 1970
   * @throws islet.site.InputException when it is not what a run writes
   */
  static RecordedEvents read(RecordedFile file, long startMicros) throws IOException {
    List<Line> lines = new ArrayList<>();
    int leftOut = 0;
    try (BufferedReader in = file.open()) {
      CsvRecords records = new CsvRecords(in);
      file.insistOn(COLUMNS, records.next());
      for (List<String> row = records.next(); !row.isEmpty(); row = records.next()) {
        file.insistOnWidth(records.line(), COLUMNS.size(), row.size());
        if (lines.size() == MOST) {
          leftOut++;
          continue;
        }
        long micros = startMicros + file.micros(records.line(), row.get(0));
        lines.add(new Line(micros, row.get(2), row.get(3), row.get(4), row.get(5), row.get(6)));
      }
    }
    return new RecordedEvents(lines, leftOut);
  }

  long[] instants() {
    return lines.stream().mapToLong(Line::micros).toArray();
  }

  void write(JsonGenerator json) throws IOException {
    json.writeNumberField("eventsLeftOut", leftOut);
    json.writeArrayFieldStart("events");
    for (Line line : lines) {
      json.writeStartObject();
      RecordedTrace.writeMillis(json, "at", line.micros());
      json.writeStringField("source", line.source());
      json.writeStringField("kind", line.kind());
      json.writeStringField("from", line.from());
      json.writeStringField("to", line.to());
      json.writeStringField("reason", line.reason());
      json.writeEndObject();
    }
    json.writeEndArray();
  }
}
