package islet.bench;

import java.nio.charset.StandardCharsets;
import java.time.ZoneId;

/** The two tables of a run folder, after RFC 4180. */
final class Csv {

  private Csv() {}

  /** {@code trace.csv}: every signal, a row an instant. */
  static byte[] trace(Trace trace, long startMicros, ZoneId zone) {
    Signal[] signals = Signal.all().toArray(new Signal[0]);
    byte[][][] words = new byte[signals.length][][];
    Bytes out = new Bytes(1024 + trace.rows() * 200);
    out.text("time_s,local_time");
    for (int i = 0; i < signals.length; i++) {
      out.put(',').text(signals[i].label());
      words[i] =
          signals[i].words().stream()
              .map(word -> word.getBytes(StandardCharsets.US_ASCII))
              .toArray(byte[][]::new);
    }
    out.endOfRecord();
    LocalTimeText local = new LocalTimeText(zone);
    for (int row = 0; row < trace.rows(); row++) {
      long micros = trace.micros(row);
      out.number((micros - startMicros) / 1e6, 6).put(',');
      local.write(micros, out);
      for (int i = 0; i < signals.length; i++) {
        out.put(',');
        double value = trace.value(row, signals[i]);
        if (words[i].length > 0) {
          out.put(words[i][(int) value]);
        } else {
          out.number(value, signals[i].decimals());
        }
      }
      out.endOfRecord();
    }
    return out.toArray();
  }

  /** {@code events.csv}: the sequence of events, to the millisecond. */
  static byte[] events(EventLog events, long startMicros, ZoneId zone) {
    Bytes out = new Bytes(4096);
    out.text("time_s,local_time,source,kind,from,to,reason").endOfRecord();
    LocalTimeText local = new LocalTimeText(zone);
    for (EventLog.Row row : events.rows()) {
      out.number((row.micros() - startMicros) / 1e6, 3).put(',');
      local.write(row.micros(), out);
      out.put(',')
          .field(row.source())
          .put(',')
          .field(row.kind())
          .put(',')
          .field(row.from())
          .put(',')
          .field(row.to())
          .put(',')
          .field(row.reason())
          .endOfRecord();
    }
    return out.toArray();
  }
}
