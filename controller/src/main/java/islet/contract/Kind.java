package islet.contract;

import java.util.Locale;

/** The kinds of message; each says how it is delivered. A topic writes the name in lower case. */
public enum Kind {
  /** Measured values, at 1 Hz and on change. A lost one is replaced by the next. */
  TELEMETRY(0, false),
  /** The present state, kept by the broker for whoever comes later. */
  STATE(1, true),
  /** Whether the device is there; the broker itself says when it is gone. */
  ONLINE(1, true),
  /** An order with a lifetime. */
  COMMAND(1, false),
  /** The answer to an order. */
  ACK(1, false),
  /** Something that happened, for the sequence of events. */
  EVENT(1, false),
  /** Something that needs a person. */
  ALARM(1, false),
  /** The bench's call for a scan, in lockstep. */
  STEP(1, false),
  /** The controller's answer to that call: it has scanned. */
  SCANNED(1, false),
  /** How far the bench's hazards are from being violated. */
  MARGIN(0, false),
  /** What has come of a run so far, by the plant's own books, told by the bench. */
  LEDGER(0, false);

  private final int qos;
  private final boolean retained;
  private final String segment = name().toLowerCase(Locale.ROOT);

  Kind(int qos, boolean retained) {
    this.qos = qos;
    this.retained = retained;
  }

  /** MQTT quality of service, 0 or 1. */
  public int qos() {
    return qos;
  }

  /** Whether the broker retains it. */
  public boolean retained() {
    return retained;
  }

  /** The topic segment. */
  public String segment() {
    return segment;
  }
}
