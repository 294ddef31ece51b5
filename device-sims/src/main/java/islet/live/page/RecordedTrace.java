package islet.live.page;

import com.fasterxml.jackson.core.JsonGenerator;
import islet.bench.Signal;
import java.io.BufferedReader;
import java.io.IOException;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import java.util.Optional;

/**
 * The signals in a run folder. A trace may be far larger than memory, so it is read twice: for the
 * instants of its rows, and for those rows that stay.
 */
final class RecordedTrace {

  /** About 8 MB for the browser; a year at a row every ten minutes and its events have room. */
  static final int MOST_ROWS = 60_000;

  private static final int MICROS_DIGITS = 6;
  private static final int MILLIS_DIGITS = 3;
  private static final List<String> FIRST = List.of("time_s", "local_time");

  private final RecordedFile file;
  private final long[] instants;
  private final Thinning thinning;

  private RecordedTrace(RecordedFile file, long[] instants, Thinning thinning) {
    this.file = file;
    this.instants = instants;
    this.thinning = thinning;
  }

  /**
   * Looks at {@code trace.csv}.
   *
   * @param startMicros the start of the run, microseconds since 1970
   * @param events instants around which rows are to stay
   * @param mostRows so many rows may stay, about
   * @throws islet.site.InputException when it is not what a run writes
   */
  static RecordedTrace read(RecordedFile file, long startMicros, long[] events, int mostRows)
      throws IOException {
    long[] instants = new long[4096];
    int rows = 0;
    try (BufferedReader in = file.open()) {
      file.insistOn(FIRST, fields(in));
      for (String text = in.readLine(); text != null; text = in.readLine()) {
        if (rows == instants.length) {
          instants = Arrays.copyOf(instants, rows * 2);
        }
        int end = text.indexOf(',');
        instants[rows] =
            startMicros + file.micros(rows + 2, end < 0 ? text : text.substring(0, end));
        if (rows > 0 && instants[rows] < instants[rows - 1]) {
          throw file.wrong(
              rows + 2,
              "time_s",
              "an instant before that of the line above",
              "rows in the order of time");
        }
        rows++;
      }
    }
    if (rows == 0) {
      throw file.wrong(0, "", "no row", "at least one");
    }
    instants = Arrays.copyOf(instants, rows);
    return new RecordedTrace(file, instants, Thinning.of(instants, events, mostRows));
  }

  /** The next line's fields, none of which is quoted; none at the end. */
  private static List<String> fields(BufferedReader in) throws IOException {
    String text = in.readLine();
    return text == null ? List.of() : List.of(text.split(",", -1));
  }

  void write(JsonGenerator json) throws IOException {
    json.writeNumberField("rowsRecorded", instants.length);
    json.writeNumberField("every", thinning.every());
    writeScaled(json, "nearS", thinning.nearMicros(), MICROS_DIGITS);
    try (BufferedReader in = file.open()) {
      List<String> header = fields(in);
      List<Optional<Signal>> signals = new ArrayList<>();
      json.writeArrayFieldStart("columns");
      for (String name : header) {
        Optional<Signal> signal =
            Signal.all().stream().filter(s -> s.label().equals(name)).findFirst();
        signals.add(signal);
        if (signal.isPresent()) {
          json.writeString(name);
        }
      }
      json.writeEndArray();
      json.writeArrayFieldStart("rows");
      BitSet kept = thinning.kept();
      for (int row = 0; row < instants.length; row++) {
        if (kept.get(row)) {
          writeRow(json, row, fields(in), signals);
        } else {
          in.readLine();
        }
      }
      json.writeEndArray();
    }
  }

  private void writeRow(
      JsonGenerator json, int row, List<String> fields, List<Optional<Signal>> signals)
      throws IOException {
    int line = row + 2;
    file.insistOnWidth(line, signals.size(), fields.size());
    json.writeStartArray();
    json.writeNumber(scaled(instants[row], MILLIS_DIGITS));
    for (int i = 0; i < fields.size(); i++) {
      Optional<Signal> signal = signals.get(i);
      if (signal.isPresent()) {
        json.writeNumber(value(line, signal.get(), fields.get(i)));
      }
    }
    json.writeEndArray();
  }

  /** A value as the trace writes it; for a signal of words the place of its word. */
  private String value(int line, Signal signal, String text) {
    if (!signal.words().isEmpty()) {
      int word = signal.words().indexOf(text);
      if (word < 0) {
        throw file.wrong(
            line,
            signal.label(),
            RecordedFile.quoted(text),
            "one of " + String.join(", ", signal.words()));
      }
      return String.valueOf(word);
    }
    if (!RecordedFile.isNumber(text)) {
      throw file.wrong(line, signal.label(), RecordedFile.quoted(text), "a number");
    }
    return text;
  }

  /** Writes an instant in milliseconds since 1970. */
  static void writeMillis(JsonGenerator json, String name, long micros) throws IOException {
    writeScaled(json, name, micros, MILLIS_DIGITS);
  }

  private static void writeScaled(JsonGenerator json, String name, long value, int digits)
      throws IOException {
    json.writeFieldName(name);
    json.writeNumber(scaled(value, digits));
  }

  private static String scaled(long value, int digits) {
    return BigDecimal.valueOf(value, digits).stripTrailingZeros().toPlainString();
  }
}
