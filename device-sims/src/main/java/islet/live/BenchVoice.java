package islet.live;

import islet.bench.Books;
import islet.bench.Distance;
import islet.bench.EventLog;
import islet.bench.PhaseNote;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.bench.Scenario;
import islet.bench.Signal;
import islet.bench.Stage;
import islet.bench.StandingFault;
import islet.bench.Truth;
import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.BenchEvent;
import islet.contract.BenchLedger;
import islet.contract.BenchMargin;
import islet.contract.BenchState;
import islet.contract.BenchTelemetry;
import islet.contract.ChargeStage;
import islet.contract.Device;
import islet.contract.InverterState;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.Mode;
import islet.contract.Port;
import islet.contract.RunState;
import islet.contract.Topics;
import islet.fault.Fault;
import java.util.List;
import java.util.Optional;
import java.util.function.LongSupplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Tells on the bench's own topics how the run stands and what is really so at the site: the plant's
 * truth, the hazards' margins, the sequence of events. All of it belongs to the run's own thread,
 * by the wall clock, and nothing of it reaches the simulation.
 */
final class BenchVoice {

  private static final Logger LOG = LoggerFactory.getLogger(BenchVoice.class);

  /** How often the truth is told while time goes on, ns of wall time. */
  static final long BEAT_NANOS = 250_000_000;

  private static final long SECOND_NANOS = 1_000_000_000;
  private static final double NANOS_PER_MICRO = 1_000;
  private static final double MICROS_PER_SECOND = 1e6;

  /** What the layouts bear. */
  private static final double MOST_MARGIN = 1e9;

  private static final int WORD = 64;
  private static final int WORDS = 128;
  private static final int SENTENCE = 256;
  private static final int SENTENCES = 512;
  private static final int FAULTS = 2048;

  private static final ChargeStage[] STAGES = ChargeStage.values();
  private static final InverterState[] INVERTER_STATES = InverterState.values();
  private static final Mode[] MODES = Mode.values();

  private final Scenario scenario;
  private final BenchSeat seat;
  private final Stage stage;
  private final RealTimeDriver driver;
  private final PhaseSight phases;
  private final LongSupplier siteMicros;
  private final Topics topics;
  private Optional<Port> port = Optional.empty();
  private RunState state = RunState.STARTING;
  private String bookmark = "";
  private double achieved;
  private long saidAt;
  private long saidNanos;
  private long toldAt = -1;
  private long toldNanos;
  private long states;
  private long truths;
  private long margins;
  private long ledgers;
  private long events;
  private long answers;
  private boolean failed;

  /**
   * One that speaks of a site.
   *
   * @param beganNanos of the steady clock that {@link #beat} goes by
   */
  BenchVoice(
      Scenario scenario,
      BenchSeat seat,
      Stage stage,
      RealTimeDriver driver,
      PhaseSight phases,
      LongSupplier siteMicros,
      long beganNanos) {
    this.scenario = scenario;
    this.seat = seat;
    this.stage = stage;
    this.driver = driver;
    this.phases = phases;
    this.siteMicros = siteMicros;
    topics = new Topics(scenario.site().id());
    saidAt = siteMicros.getAsLong();
    saidNanos = beganNanos;
  }

  void speaksBy(Port opened) {
    port = Optional.of(opened);
  }

  /**
   * Says what is due; to be called every {@link #BEAT_NANOS} or so. Never ends a run.
   *
   * @param wall ns of a steady clock; the same for sites beside each other, so that they tell of
   *     the same instants
   */
  void beat(long wall) {
    try {
      sayWhatIsDue(wall);
    } catch (IllegalArgumentException e) {
      if (!failed) {
        LOG.warn("The bench cannot tell what is so, and goes on without; told once.", e);
      }
      failed = true;
    }
  }

  private void sayWhatIsDue(long wall) {
    long now = siteMicros.getAsLong();
    if (now != toldAt || wall - toldNanos >= SECOND_NANOS) {
      toldAt = now;
      toldNanos = wall;
      tellTruth(now);
    }
    if (wall - saidNanos >= SECOND_NANOS) {
      achieved = driver.paused() ? 0 : (now - saidAt) * NANOS_PER_MICRO / (wall - saidNanos);
      saidAt = now;
      saidNanos = wall;
      tellState();
      tellMargins(now);
      tellLedger(now);
    }
  }

  /** The run stands otherwise now. */
  void stands(RunState now) {
    state = now;
    if (now != RunState.RUNNING) {
      achieved = 0;
    }
    tellState();
    tellTruth(siteMicros.getAsLong());
    tellLedger(siteMicros.getAsLong());
  }

  void bookmarked(String words) {
    bookmark = words;
    tellState();
  }

  /** Whoever comes later learns at once how the run stands. */
  void tellState() {
    say(
        Kind.STATE,
        BenchState.LAYOUT.encode(
            new BenchState(
                states++,
                siteMicros.getAsLong(),
                seat.run(),
                cut(seat.scenario(), WORD),
                state,
                driver.speed(),
                Math.max(0, achieved),
                Math.max(0, driver.lag().seconds()),
                scenario.startMicros(),
                scenario.startMicros() + scenario.durationMicros(),
                bookmark,
                faults())));
  }

  /** As many as the message has room for. */
  private String faults() {
    StringBuilder out = new StringBuilder();
    for (StandingFault standing : stage.standing()) {
      Fault fault = standing.fault();
      String signal = fault.signal().isEmpty() ? "" : " " + fault.signal();
      String told = standing.number() + " " + fault.kind().word() + " " + fault.device() + signal;
      if (out.length() + told.length() + 2 > FAULTS) {
        break;
      }
      out.append(out.length() == 0 ? "" : ", ").append(told);
    }
    return out.toString();
  }

  /** Nobody shall take a run that is gone for one that stands. */
  void leave() {
    say(Kind.STATE, new byte[0]);
  }

  private void tellTruth(long now) {
    Truth truth = stage.truth();
    if (truth.micros() == 0) {
      return; // nobody has looked at the plant yet
    }
    Optional<PhaseSight.Seen> phase = phases.in(MODES[(int) truth.get(Signal.SUPERVISOR_MODE)]);
    say(
        Kind.TELEMETRY,
        BenchTelemetry.LAYOUT.encode(
            new BenchTelemetry(
                truths++,
                now,
                truth.sample.is(Signal.UTILITY_LIVE),
                truth.get(Signal.UTILITY_VOLTAGE),
                truth.get(Signal.UTILITY_FREQUENCY),
                truth.get(Signal.PCC_POWER),
                truth.get(Signal.MAIN_VOLTAGE),
                truth.get(Signal.CRITICAL_VOLTAGE),
                truth.get(Signal.CRITICAL_POWER),
                truth.get(Signal.NONCRITICAL_POWER),
                truth.sample.is(Signal.TIE_CLOSED),
                truth.get(Signal.PV_AVAILABLE),
                truth.get(Signal.PV_POWER),
                truth.get(Signal.BUS_VOLTAGE),
                truth.get(Signal.BATTERY_VOLTAGE),
                truth.get(Signal.BATTERY_CURRENT),
                truth.get(Signal.BATTERY_SOC),
                truth.get(Signal.BATTERY_TEMPERATURE),
                STAGES[(int) truth.get(Signal.REGULATOR_STAGE)],
                INVERTER_STATES[(int) truth.get(Signal.INVERTER_STATE)],
                truth.get(Signal.INVERTER_POWER),
                stage.chargerPowerW(),
                truth.get(Signal.PRICE_IMPORT),
                truth.get(Signal.PRICE_EXPORT),
                stage.outdoorC(),
                phase.map(seen -> seen.phase().name()).orElse(""),
                phase.map(seen -> since(now, seen.sinceMicros())).orElse(0.0),
                phase
                    .map(
                        seen ->
                            PhaseNote.limitS(
                                seen.phase(), scenario.site().supervision().timeouts()))
                    .orElse(0.0),
                phase.map(PhaseSight.Seen::waits).orElse(""))));
  }

  private static double since(long now, long then) {
    return Math.min(Math.max(0, (now - then) / MICROS_PER_SECOND), MOST_MARGIN);
  }

  private void tellMargins(long now) {
    List<HazardVerdict> worst = stage.judges().soFar();
    List<Optional<Distance>> distances =
        stage.judges().distances(Math.max(now, stage.truth().micros()));
    for (int i = 0; i < worst.size(); i++) {
      HazardVerdict hazard = worst.get(i);
      Optional<Distance> present = distances.get(i);
      say(
          Kind.MARGIN,
          BenchMargin.LAYOUT.encode(
              new BenchMargin(
                  margins++,
                  now,
                  hazard.id(),
                  bounded(hazard.worstMargin()),
                  hazard.unit(),
                  bounded(hazard.share()),
                  hazard.firstAtSeconds() >= 0,
                  hazard.verdict() != Outcome.PASS,
                  hazard.verdict() == Outcome.WAIVED,
                  cut(hazard.detail(), SENTENCES),
                  present.isPresent(),
                  present.map(d -> bounded(d.margin())).orElse(0.0),
                  present.map(Distance::unit).orElse(""),
                  present.map(d -> bounded(d.share())).orElse(0.0),
                  present.map(d -> cut(d.detail(), SENTENCES)).orElse(""))));
    }
  }

  private void tellLedger(long now) {
    if (stage.truth().micros() == 0) {
      return; // nobody has looked at the plant yet
    }
    Books books = stage.books();
    say(
        Kind.LEDGER,
        BenchLedger.LAYOUT.encode(
            new BenchLedger(
                ledgers++,
                now,
                books.sunWPerM2(),
                books.loadsWantW(),
                books.sourcePu(),
                books.sourceHz(),
                books.pvKWh(),
                books.curtailedKWh(),
                books.importKWh(),
                books.exportKWh(),
                books.batteryInKWh(),
                books.batteryOutKWh(),
                books.storedChangeKWh(),
                books.criticalKWh(),
                books.noncriticalKWh(),
                books.unservedCriticalKWh(),
                books.unservedNoncriticalKWh(),
                books.panelDarkS(),
                books.mainPanelDarkS(),
                books.toIsland(),
                books.toUtility(),
                books.cost())));
  }

  private static double bounded(double value) {
    return Double.isNaN(value) ? 0 : Math.max(-MOST_MARGIN, Math.min(MOST_MARGIN, value));
  }

  /** A line of the sequence of events. */
  void happened(EventLog.Row row) {
    say(
        Kind.EVENT,
        BenchEvent.LAYOUT.encode(
            new BenchEvent(
                events++,
                row.micros(),
                cut(row.source(), WORD),
                cut(row.kind(), WORD),
                cut(row.from(), WORDS),
                cut(row.to(), WORDS),
                cut(row.reason(), SENTENCES))));
  }

  /** Answers a command. */
  void answer(Message command, long seq, AckResult result, String reason) {
    byte[] payload =
        Ack.LAYOUT.encode(
            new Ack(answers++, siteMicros.getAsLong(), seq, result, cut(reason, SENTENCE)));
    Message ack =
        new Message(
            topics.of(Device.BENCH, Kind.ACK),
            payload,
            Kind.ACK.qos(),
            false,
            0,
            "",
            command.correlation());
    port.ifPresent(opened -> opened.publish(ack));
  }

  private void say(Kind kind, byte[] payload) {
    Message message =
        Message.of(topics.of(Device.BENCH, kind), payload, kind.qos(), kind.retained());
    port.filter(Port::connected).ifPresent(opened -> opened.publish(message));
  }

  private static String cut(String text, int longest) {
    return text.length() <= longest ? text : text.substring(0, longest - 1) + "…";
  }
}
