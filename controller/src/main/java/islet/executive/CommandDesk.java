package islet.executive;

import islet.contract.AckResult;
import islet.contract.ChargeStage;
import islet.contract.ChargerCommand;
import islet.contract.Device;
import islet.contract.InverterCommand;
import islet.contract.InverterOrder;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.MeterCommand;
import islet.contract.RegulatorCommand;
import islet.contract.TieCommand;
import islet.contract.TieOrder;
import islet.contract.Topics;
import islet.control.Outputs;
import islet.site.Site;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.function.Consumer;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Turns the output image into commands: at once when an order changes, not more than once a second
 * when only a set point drifts, when a device has come back, and twice in every link time-out.
 * Remembers what was sent and what was answered.
 */
final class CommandDesk {

  private static final Logger LOG = LoggerFactory.getLogger(CommandDesk.class);

  /** Set points that differ by less are the same, V, A, W. */
  private static final double SAME_V = 0.005;

  private static final double SAME_A = 0.25;
  private static final double SAME_W = 25;

  /** A drifting set point is sent at most this often. */
  private static final long DRIFT_MICROS = 1_000_000;

  /** A refused or unanswered close is tried again this often while the logic wants it. */
  private static final long CLOSE_AGAIN_MICROS = 500_000;

  /** An answer is awaited this long. */
  private static final long ANSWER_MICROS = 1_000_000;

  private static final long NEVER = Long.MIN_VALUE / 2;

  /** What was sent to one device. */
  private static final class Sent {
    long at = NEVER;
    long seq;
    boolean answered = true;
    boolean refused;

    /** Since when it has neither taken nor refused what it was sent. */
    long unheededSince = Long.MAX_VALUE;
  }

  private final Topics topics;
  private final Consumer<Message> wire;
  private final double lifetimeS;
  private final int expiryS;
  private final long refreshMicros;

  /** When the tie was last told to open or close; a hold on the way there is neither. */
  private long switchedAt = NEVER;

  private final double mostExportW;
  private double exportLimitW;
  private final String[] shedNames;
  private final Sent[] sent = new Sent[Device.values().length];

  private final boolean hasCharger;
  private final boolean hasSwitch;
  private final SetPoints regulator = new SetPoints();
  private final SetPoints charger = new SetPoints();
  private InverterOrder inverter = InverterOrder.OFF;
  private boolean permit;
  private double chargeV;
  private double chargeA;
  private double feedV;
  private double feedW;
  private TieOrder tie = TieOrder.OPEN;
  private int shed = -1;

  /**
   * A desk.
   *
   * @param begunAt when this supervisor began, microseconds since 1970. Commands are counted from
   *     there in milliseconds, so that no number comes twice at a device, even over a restart: an
   *     answer to an earlier life's command must not be taken for the answer to this one's.
   */
  CommandDesk(Site site, Topics topics, Consumer<Message> wire, long begunAt) {
    this.topics = topics;
    this.wire = wire;
    lifetimeS = site.supervision().commandLifetimeS();
    // MQTT counts whole seconds; the field lifetimeS is the exact one, and the device keeps to it.
    expiryS = (int) Math.max(1, Math.ceil(lifetimeS));
    refreshMicros = Math.round(site.supervision().linkTimeoutS() * 1e6 / 2);
    hasSwitch = site.arrangement().hasSwitch();
    hasCharger = site.arrangement().hasCharger();
    mostExportW = site.utility().exportLimitW();
    exportLimitW = mostExportW;
    List<String> order = site.supervision().shedding();
    shedNames = new String[order.size() + 1];
    for (int i = 0; i <= order.size(); i++) {
      shedNames[i] = String.join(",", order.subList(0, i));
    }
    for (int i = 0; i < sent.length; i++) {
      sent[i] = new Sent();
      sent[i].seq = Math.max(0, begunAt / 1000);
    }
  }

  void send(Outputs out, long now) {
    hold(out, now);
    tie(out, now);
    inverter(out, now);
    if (out.chargingOrdered) {
      if (out.setPointsOrdered) {
        regulator(out, now);
        charger(out, now);
      }
      meter(out, now);
    }
  }

  private void hold(Outputs out, long now) {
    if (hasSwitch && !out.holdKey.isEmpty()) {
      TieOrder order = out.holdPlaced ? TieOrder.HOLD : TieOrder.RELEASE;
      Sent s = next(Device.TIE, now);
      publish(
          Device.TIE,
          s,
          TieCommand.LAYOUT.encode(new TieCommand(s.seq, now, lifetimeS, order, out.holdKey)));
    }
  }

  private void tie(Outputs out, long now) {
    if (!out.tieOrdered) {
      // What is wanted next counts as new, so that an old close is never repeated by comparison.
      switchedAt = NEVER;
      return;
    }
    long again = out.tie == TieOrder.CLOSE ? CLOSE_AGAIN_MICROS : refreshMicros;
    long switched = now - switchedAt;
    if (out.tie == tie && switched >= 0 && switched < again) {
      return;
    }
    tie = out.tie;
    switchedAt = now;
    Sent s = next(Device.TIE, now);
    publish(
        Device.TIE, s, TieCommand.LAYOUT.encode(new TieCommand(s.seq, now, lifetimeS, tie, "")));
  }

  private void inverter(Outputs out, long now) {
    if (!out.inverterOrdered) {
      return;
    }
    boolean order = out.inverter != inverter || out.islandPermit != permit;
    double export = Math.min(out.exportLimitW, mostExportW);
    boolean stops =
        (export < exportLimitW)
            || (out.chargeLimitA == 0 && chargeA > 0)
            || (out.feedLimitW == 0 && feedW > 0);
    boolean drift =
        differs(out.chargeVoltageV, chargeV, SAME_V)
            || differs(out.chargeLimitA, chargeA, SAME_A)
            || differs(out.feedVoltageV, feedV, SAME_V)
            || differs(out.feedLimitW, feedW, SAME_W)
            || differs(export, exportLimitW, SAME_W);
    if (!due(Device.INVERTER, order || stops, drift, now)) {
      return;
    }
    inverter = out.inverter;
    permit = out.islandPermit;
    chargeV = out.chargeVoltageV;
    chargeA = out.chargeLimitA;
    feedV = out.feedVoltageV;
    feedW = out.feedLimitW;
    exportLimitW = export;
    Sent s = next(Device.INVERTER, now);
    publish(
        Device.INVERTER,
        s,
        InverterCommand.LAYOUT.encode(
            new InverterCommand(
                s.seq,
                now,
                lifetimeS,
                inverter,
                permit,
                chargeV,
                chargeA,
                feedV,
                feedW,
                exportLimitW)));
  }

  private void regulator(Outputs out, long now) {
    if (!regulator.due(
        Device.REGULATOR,
        out.regulatorEnabled,
        out.stage,
        out.regulatorVoltageV,
        out.regulatorLimitA,
        now)) {
      return;
    }
    Sent s = next(Device.REGULATOR, now);
    publish(
        Device.REGULATOR,
        s,
        RegulatorCommand.LAYOUT.encode(
            new RegulatorCommand(
                s.seq,
                now,
                lifetimeS,
                regulator.enabled,
                regulator.stage,
                regulator.volts,
                regulator.amperes)));
  }

  private void charger(Outputs out, long now) {
    if (!hasCharger
        || !charger.due(
            Device.CHARGER,
            out.chargerEnabled,
            out.stage,
            out.chargerVoltageV,
            out.chargerLimitA,
            now)) {
      return;
    }
    Sent s = next(Device.CHARGER, now);
    publish(
        Device.CHARGER,
        s,
        ChargerCommand.LAYOUT.encode(
            new ChargerCommand(
                s.seq,
                now,
                lifetimeS,
                charger.enabled,
                charger.stage,
                charger.volts,
                charger.amperes)));
  }

  /** What a charging device was told last. */
  private final class SetPoints {
    private boolean enabled;
    private ChargeStage stage = ChargeStage.OFF;
    private double volts;
    private double amperes;

    /** Whether the device must be told this now; if so it counts as told. */
    boolean due(
        Device device,
        boolean enable,
        ChargeStage newStage,
        double newVolts,
        double newAmperes,
        long now) {
      boolean order = enable != enabled || newStage != stage || newAmperes < amperes - SAME_A;
      boolean drift = differs(newVolts, volts, SAME_V) || differs(newAmperes, amperes, SAME_A);
      if (!CommandDesk.this.due(device, order, drift, now)) {
        return false;
      }
      enabled = enable;
      stage = newStage;
      volts = newVolts;
      amperes = newAmperes;
      return true;
    }
  }

  private void meter(Outputs out, long now) {
    if (!due(Device.METER, out.shedCount != shed, false, now)) {
      return;
    }
    shed = out.shedCount;
    Sent s = next(Device.METER, now);
    publish(
        Device.METER,
        s,
        MeterCommand.LAYOUT.encode(new MeterCommand(s.seq, now, lifetimeS, shedNames[shed])));
  }

  private static boolean differs(double a, double b, double same) {
    return Math.abs(a - b) > same;
  }

  private boolean due(Device device, boolean order, boolean drift, long now) {
    long age = now - sent[device.ordinal()].at;
    // A negative age: the clock has been set back, and what was sent is dated ahead.
    return order || (drift && age >= DRIFT_MICROS) || age >= refreshMicros || age < 0;
  }

  private Sent next(Device device, long now) {
    Sent s = sent[device.ordinal()];
    s.unheededSince = Math.min(s.unheededSince, now);
    s.at = now;
    s.seq++;
    s.answered = false;
    return s;
  }

  private void publish(Device device, Sent s, byte[] payload) {
    wire.accept(
        new Message(
            topics.of(device, Kind.COMMAND),
            payload,
            Kind.COMMAND.qos(),
            false,
            expiryS,
            topics.of(device, Kind.ACK),
            Long.toString(s.seq).getBytes(StandardCharsets.US_ASCII)));
  }

  void answered(Device device, long command, AckResult result, String reason) {
    Sent s = sent[device.ordinal()];
    if (command != s.seq) {
      return;
    }
    s.answered = true;
    switch (result) {
      case ACCEPTED, DONE -> {
        s.refused = false;
        s.unheededSince = Long.MAX_VALUE;
      }
      case REFUSED, EXPIRED -> {
        s.refused = true;
        if (result == AckResult.REFUSED) {
          s.unheededSince = Long.MAX_VALUE;
        }
        LOG.info("{} {} command {}: {}", device, result, command, reason);
      }
    }
  }

  /** A device has come back and may have forgotten everything: its orders are sent again. */
  void back(Device device) {
    sent[device.ordinal()].at = Long.MIN_VALUE / 2;
  }

  /**
   * Whether a device's orders seem not to come to it in time: for longer than an answer takes it
   * has neither taken nor refused one.
   */
  boolean unheeded(Device device, long now) {
    return now - sent[device.ordinal()].unheededSince > ANSWER_MICROS;
  }

  /** Whether a device refuses or does not answer. */
  boolean trouble(long now) {
    for (Sent s : sent) {
      if (s.refused || (!s.answered && now - s.at > ANSWER_MICROS)) {
        return true;
      }
    }
    return false;
  }
}
