package islet.bench;

import islet.bench.RunResult.AlarmEntry;
import islet.bench.RunResult.Transition;
import islet.contract.Alarm;
import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.Decimal;
import islet.contract.Device;
import islet.contract.Event;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Keeps what a run leaves behind: the trace, with a row at every step and a row just before and
 * just after every jump; the sequence of events; the supervisor's transitions and alarms as the
 * wire told them.
 *
 * <p>A jump is a change of any signal of words, or of a voltage by more than 0.02 pu or a frequency
 * by more than 0.05 Hz from one instant to the next. At most 600 extra rows are kept in any minute
 * and 100,000 in a run; when rows are left out, the sequence of events says so once.
 */
public final class Recorder implements Witness {

  /** The kind of event by which the supervisor tells a change of its mode. */
  public static final String MODE = "mode";

  private static final double VOLTAGE_JUMP_PU = 0.02;
  private static final double FREQUENCY_JUMP_HZ = 0.05;
  private static final int MOST_EXTRA_A_MINUTE = 600;
  private static final int MOST_EXTRA = 100_000;
  private static final long MINUTE = 60_000_000;

  private static final Signal[] WORDS =
      Signal.all().stream().filter(s -> !s.words().isEmpty()).toArray(Signal[]::new);

  private final Trace trace = new Trace();
  private final EventLog events = new EventLog();
  private final List<Transition> transitions = new ArrayList<>();
  private final List<AlarmEntry> alarms = new ArrayList<>();
  private final AlarmState[] alarmStates = new AlarmState[AlarmId.values().length];

  private final long startMicros;
  private final long stepMicros;
  private final Sample last = new Sample();
  private boolean started;
  private boolean contactClosed;
  private boolean sourceLive;
  private double sourcePu;
  private double sourceHz;
  private long nextStep;
  private boolean afterJump;
  private long minute;
  private int extraInMinute;
  private int extra;
  private boolean leftOut;

  /**
   * A recorder.
   *
   * @param startMicros the start of the scenario, microseconds since 1970
   * @param traceStepS seconds between the regular rows of the trace
   */
  public Recorder(long startMicros, double traceStepS) {
    this.startMicros = startMicros;
    this.stepMicros = Math.max(1, Amount.micros(traceStepS));
    this.nextStep = startMicros;
    Arrays.fill(alarmStates, AlarmState.NORMAL);
  }

  @Override
  public void truth(Truth truth) {
    long micros = truth.micros();
    if (started) {
      if (micros > last.micros()) {
        keepUntil(micros);
      }
      boolean jump = jumps(truth.sample);
      if (jump && micros > last.micros()) {
        extraRow(micros - 1);
      }
      afterJump |= jump;
      tell(truth);
    }
    started = true;
    contactClosed = truth.contactClosed;
    sourceLive = truth.utilitySourceLive;
    sourcePu = truth.utilitySourcePu;
    sourceHz = truth.utilitySourceHz;
    last.copy(truth.sample);
  }

  /** The rows that fall due before this instant, at which the last sample's values held. */
  private void keepUntil(long micros) {
    if (afterJump) {
      afterJump = false;
      if (last.micros() != nextStep) {
        extraRow(last.micros());
      }
    }
    while (nextStep < micros) {
      trace.add(nextStep, last);
      nextStep += stepMicros;
    }
  }

  private void extraRow(long micros) {
    if (trace.rows() > 0 && trace.micros(trace.rows() - 1) >= micros) {
      return;
    }
    long thisMinute = micros / MINUTE;
    if (thisMinute != minute) {
      minute = thisMinute;
      extraInMinute = 0;
    }
    if (extraInMinute >= MOST_EXTRA_A_MINUTE || extra >= MOST_EXTRA) {
      if (!leftOut) {
        leftOut = true;
        note(micros, "bench", "trace", "", "", "Rows around events are left out from here on.");
      }
      return;
    }
    extraInMinute++;
    extra++;
    trace.add(micros, last);
  }

  private boolean jumps(Sample now) {
    for (Signal signal : WORDS) {
      if (now.get(signal) != last.get(signal)) {
        return true;
      }
    }
    return moved(now, Signal.UTILITY_VOLTAGE, VOLTAGE_JUMP_PU)
        || moved(now, Signal.MAIN_VOLTAGE, VOLTAGE_JUMP_PU)
        || moved(now, Signal.CRITICAL_VOLTAGE, VOLTAGE_JUMP_PU)
        || moved(now, Signal.UTILITY_FREQUENCY, FREQUENCY_JUMP_HZ);
  }

  private boolean moved(Sample now, Signal signal, double by) {
    return Math.abs(now.get(signal) - last.get(signal)) > by;
  }

  /** Tells of everything in the plant that a reader of the sequence of events looks for. */
  private void tell(Truth truth) {
    long micros = truth.micros();
    if (truth.utilitySourceLive != sourceLive) {
      note(micros, "utility", "source", liveness(sourceLive), liveness(truth.utilitySourceLive));
    } else if (sourceLive) {
      if (Math.abs(truth.utilitySourcePu - sourcePu) > VOLTAGE_JUMP_PU) {
        note(micros, "utility", "voltage", pu(sourcePu), pu(truth.utilitySourcePu));
      }
      if (Math.abs(truth.utilitySourceHz - sourceHz) > FREQUENCY_JUMP_HZ) {
        note(micros, "utility", "frequency", hz(sourceHz), hz(truth.utilitySourceHz));
      }
    }
    if (truth.contactClosed != contactClosed) {
      note(micros, "tie", "contact", position(contactClosed), position(truth.contactClosed));
    }
    word(truth.sample, Signal.INVERTER_STATE, "inverter", "state");
    word(truth.sample, Signal.REGULATOR_STAGE, "regulator", "stage");
    boolean panelWas = last.get(Signal.CRITICAL_VOLTAGE) >= OutOfSyncClose.DEAD_PU;
    boolean panelIs = truth.get(Signal.CRITICAL_VOLTAGE) >= OutOfSyncClose.DEAD_PU;
    if (panelWas != panelIs) {
      note(micros, "emergency panel", "supply", liveness(panelWas), liveness(panelIs));
    }
  }

  private void word(Sample now, Signal signal, String source, String kind) {
    int before = (int) last.get(signal);
    int after = (int) now.get(signal);
    if (before != after) {
      note(now.micros(), source, kind, signal.words().get(before), signal.words().get(after));
    }
  }

  private static String liveness(boolean live) {
    return live ? "live" : "dead";
  }

  private static String position(boolean closed) {
    return closed ? "closed" : "open";
  }

  private static String pu(double value) {
    return Decimal.text(value, 3) + " pu";
  }

  private static String hz(double value) {
    return Decimal.text(value, 2) + " Hz";
  }

  @Override
  public void happened(long micros, Device device, Event event) {
    note(micros, device.segment(), event.kind(), event.from(), event.to(), event.reason());
    if (device == Device.SUPERVISOR && event.kind().equals(MODE)) {
      transitions.add(new Transition(seconds(micros), event.from(), event.to(), event.reason()));
    }
  }

  @Override
  public void alarmed(long micros, Device device, Alarm alarm) {
    AlarmState before = alarmStates[alarm.id().ordinal()];
    if (before == alarm.state()) {
      return;
    }
    alarmStates[alarm.id().ordinal()] = alarm.state();
    note(
        micros,
        device.segment(),
        "alarm",
        before.name(),
        alarm.state().name(),
        AlarmCheck.id(alarm.id()) + ": " + alarm.text());
    if (Alarms.stands(alarm.state()) && !Alarms.stands(before)) {
      alarms.add(
          new AlarmEntry(
              seconds(micros),
              AlarmCheck.id(alarm.id()),
              alarm.priority().name(),
              alarm.text(),
              alarm.consequence(),
              alarm.action()));
    }
  }

  @Override
  public void present(long micros, Device device, boolean online) {
    note(micros, device.segment(), "online", "", online ? "online" : "gone");
  }

  /** Notes what neither plant nor wire shows: a fault set in, an operator at work. */
  public void note(long micros, String source, String kind, String from, String to, String reason) {
    events.add(micros, source, kind, from, to, reason);
  }

  private void note(long micros, String source, String kind, String from, String to) {
    note(micros, source, kind, from, to, "");
  }

  @Override
  public void finish(long endMicros) {
    if (started) {
      keepUntil(Math.max(endMicros, last.micros()));
      trace.add(Math.max(endMicros, last.micros()), last);
    }
  }

  private double seconds(long micros) {
    return (micros - startMicros) / 1e6;
  }

  /** The trace so far. */
  public Trace trace() {
    return trace;
  }

  /** The sequence of events so far. */
  public EventLog events() {
    return events;
  }

  /** What is so at an instant, by the newest sample and by the alarms as the wire told them. */
  Sight sight(long micros, List<Signal> asked) {
    List<String> standing = new ArrayList<>();
    for (AlarmId id : AlarmId.values()) {
      if (Alarms.stands(alarmStates[id.ordinal()])) {
        standing.add(AlarmCheck.id(id));
      }
    }
    return new Sight(
        micros,
        reading(Signal.SUPERVISOR_MODE).value(),
        asked.stream().map(this::reading).toList(),
        standing);
  }

  private Sight.Reading reading(Signal signal) {
    double value = last.get(signal);
    String text =
        signal.words().isEmpty()
            ? Decimal.text(value, signal.decimals())
            : signal.words().get((int) value);
    return new Sight.Reading(signal.label(), text, signal.unit());
  }

  /** Changes of the supervisor's mode, as the wire told them. */
  public List<Transition> transitions() {
    return List.copyOf(transitions);
  }

  /** Alarms as they were raised. */
  public List<AlarmEntry> alarms() {
    return List.copyOf(alarms);
  }
}
