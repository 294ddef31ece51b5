package islet.bench;

import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.Decimal;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.OperatorOrder;
import islet.contract.Port;
import islet.contract.SupervisorCommand;
import islet.contract.Topics;
import islet.fault.Fault;
import islet.fault.FaultInjector;
import islet.fault.Reach;
import islet.plant.LineLoad;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.function.DoubleConsumer;
import java.util.stream.Collectors;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Lets a scenario's events happen at their instants, and keeps what the utility offers when several
 * overlap.
 */
final class Script implements Port.Listener {

  /** An operator's order is good for as long as it takes to walk to the panel. */
  private static final double ORDER_LIFETIME_S = 10;

  /** Steps of a slow change: finer than any limit is set. */
  private static final double STEP_PU = 0.002;

  private static final double STEP_HZ = 0.01;

  /** No step of a slow change is shorter, µs. */
  private static final long SHORTEST_STEP = 10_000;

  private static final long ANSWERED = -1;

  /** More faults at once show nothing that fewer would not; so many can be told in one message. */
  private static final int MOST_STANDING = 24;

  private static final Logger LOG = LoggerFactory.getLogger(Script.class);

  private final VirtualTime time;
  private final SiteSimulation site;
  private final FaultInjector faults;
  private final FaultSeeds seeds;
  private final SiteSimulation.Notes notes;
  private final Injections injections;
  private final Topics topics;
  private final Port port;
  private final double nominalHz;
  private final List<Standing> standing = new ArrayList<>();
  private long begun;
  private boolean fromHand;
  private int restores;
  private boolean live = true;
  private double pu = 1;
  private double hz;
  private long orders;

  /** The number of the order that a person waits to see answered. */
  private long unanswered = ANSWERED;

  Script(
      Scenario scenario,
      VirtualTime time,
      Port.Broker broker,
      SiteSimulation site,
      Reach reach,
      SiteSimulation.Notes notes,
      Injections injections) {
    this.time = time;
    this.site = site;
    this.notes = notes;
    this.injections = injections;
    topics = new Topics(scenario.site().id());
    nominalHz = scenario.site().utility().nominalHz();
    hz = nominalHz;
    // Nobody waits for news of it, so it leaves no will.
    Message none = Message.of("", new byte[0], 0, false);
    port = broker.connect("bench-" + scenario.site().id(), none, this);
    port.subscribe(topics.of(Device.SUPERVISOR, Kind.ACK), 1);
    faults =
        new FaultInjector(
            site.devices(), site.plant(), reach, new SpokenFaults(time, topics, port, this::give));
    seeds = new FaultSeeds(scenario.seed());
    for (Event event : scenario.events()) {
      schedule(event, scenario.startMicros());
    }
  }

  private void schedule(Event event, long start) {
    long at = start + event.atMicros();
    if (event instanceof Event.Outage outage) {
      outage(at, outage);
    } else if (event instanceof Event.Reclose reclose) {
      reclose(at, reclose.micros());
    } else if (event instanceof Event.BrownOut b) {
      ramp(at, b.fallMicros(), 1, b.pu(), STEP_PU, this::voltage);
      ramp(at + b.fallMicros() + b.forMicros(), b.riseMicros(), b.pu(), 1, STEP_PU, this::voltage);
    } else if (event instanceof Event.FrequencyRamp r) {
      long lasting = Math.max(1, Math.round(Math.abs(r.hz() - nominalHz) / r.hzPerS() * 1e6));
      ramp(at, lasting, nominalHz, r.hz(), STEP_HZ, this::frequency);
      ramp(at + lasting + r.forMicros(), lasting, r.hz(), nominalHz, STEP_HZ, this::frequency);
    } else if (event instanceof Event.Sag sag) {
      span(at, sag.forMicros(), () -> voltage(sag.pu()), () -> voltage(1));
    } else if (event instanceof Event.Swell swell) {
      span(at, swell.forMicros(), () -> voltage(swell.pu()), () -> voltage(1));
    } else if (event instanceof Event.FrequencyStep step) {
      span(at, step.forMicros(), () -> frequency(step.hz()), () -> frequency(nominalHz));
    } else if (event instanceof Event.Cloud c) {
      span(at, c.forMicros(), () -> cloud(c.share()), () -> cloud(1));
    } else if (event instanceof Event.LoadStep l) {
      span(at, l.forMicros(), () -> loadStep(l.watts()), () -> loadStep(0));
    } else if (event instanceof Event.PhaseJump jump) {
      due(at, () -> phase(jump.deg()));
    } else if (event instanceof Event.Operator operator) {
      due(at, () -> ask(operator));
    } else if (event instanceof Event.Fault fault) {
      Standing one = new Standing(fault.told(seeds.next(fault)), fromHand);
      if (fromHand) {
        stand(one); // so that it can be ended before time has gone on to its beginning
      }
      span(at, fault.forMicros(), () -> begin(one), () -> end(one));
    }
  }

  /** A fault that has begun, or that a person has asked for. */
  private static final class Standing {
    final Fault fault;
    final boolean byHand;
    long number;
    boolean begun;

    Standing(Fault fault, boolean byHand) {
      this.fault = fault;
      this.byHand = byHand;
    }

    boolean samePlaceAs(Event.Fault other) {
      return fault.stands()
          && fault.kind() == other.kind()
          && fault.device().equals(other.device())
          && fault.signal().equals(other.signal());
    }
  }

  /**
   * Lets an event happen at the present instant, and end when it says so, by {@link #end(long)} or
   * by {@link #restore}.
   *
   * @return why not, in a sentence; empty when it happens
   */
  Optional<String> now(Event event) {
    if (event instanceof Event.Fault fault) {
      Optional<String> refusal = standsAlready(fault);
      if (refusal.isPresent()) {
        return refusal;
      }
    }
    fromHand = true;
    schedule(event, time.now());
    fromHand = false;
    return Optional.empty();
  }

  /** The end of one of two that are the same would be the end of both. */
  private Optional<String> standsAlready(Event.Fault fault) {
    List<StandingFault> told = standing();
    for (Standing one : standing) {
      if (one.samePlaceAs(fault)) {
        return Optional.of(
            "Found "
                + fault.kind().word()
                + " at "
                + fault.device()
                + (fault.signal().isEmpty() ? "" : " " + fault.signal())
                + " standing already, as number "
                + one.number
                + "; allowed is one at a time. End that one first.");
      }
    }
    return told.size() < MOST_STANDING
        ? Optional.empty()
        : Optional.of(
            "Found "
                + told.size()
                + " faults standing; allowed are "
                + MOST_STANDING
                + ". End one first.");
  }

  /** The faults that stand, or that a person has asked for, the oldest first. */
  List<StandingFault> standing() {
    return standing.stream()
        .filter(one -> one.fault.stands())
        .map(one -> new StandingFault(one.number, one.fault))
        .toList();
  }

  /**
   * Ends one fault at the present instant.
   *
   * @param number by which {@link #standing} tells it
   * @return why not, in a sentence; empty when it ends
   */
  Optional<String> end(long number) {
    for (Standing one : standing) {
      if (one.number == number && one.fault.stands()) {
        standing.remove(one);
        time.at(time.now(), VirtualTime.UTILITY, () -> over(one));
        return Optional.empty();
      }
    }
    String numbers =
        standing().stream()
            .map(one -> Long.toString(one.number()))
            .collect(Collectors.joining(", "));
    return Optional.of(
        "Found no fault "
            + number
            + " that stands; "
            + (numbers.isEmpty() ? "none does." : "those that do are " + numbers + "."));
  }

  /** Lets the utility be as it should, and ends every fault that was begun by {@link #now}. */
  void restore() {
    restores++; // what is still to come of such events does not come
    List<Standing> ending = standing.stream().filter(one -> one.byHand).toList();
    standing.removeAll(ending);
    time.at(
        time.now(),
        VirtualTime.UTILITY,
        () -> {
          ending.forEach(this::over);
          site.restoreLineLoad();
          cloud(1);
          loadStep(0);
          live = true;
          pu = 1;
          hz = nominalHz;
          if (site.hasUtility()) {
            offer();
          }
        });
  }

  /** Puts work in; what a person began is left out once a person has ended everything. */
  private void due(long at, Runnable work) {
    if (fromHand) {
      int before = restores;
      time.at(
          at,
          VirtualTime.UTILITY,
          () -> {
            if (restores == before) {
              work.run();
            }
          });
    } else {
      time.at(at, VirtualTime.UTILITY, work);
    }
  }

  private void outage(long at, Event.Outage outage) {
    span(
        at,
        outage.durationMicros(),
        () -> {
          outage.match().ifPresent(this::match);
          outage(true);
        },
        () -> {
          if (outage.match().isPresent()) {
            site.restoreLineLoad();
          }
          if (outage.returnDeg() != 0) {
            phase(outage.returnDeg());
          }
          outage(false);
        });
  }

  private void match(Event.Match match) {
    LineLoad load = site.matchLineLoad(match.share(), match.qualityFactor(), match.imbalance());
    String size =
        Decimal.text(load.watts(), 1)
            + " W, "
            + Decimal.text(load.inductiveVar(), 1)
            + " var inductive, "
            + Decimal.text(load.capacitiveVar(), 1)
            + " var capacitive";
    String reason =
        load.watts() > 0
            ? "matched to what the site feeds"
            : "the site feeds nothing, so there is nothing to match";
    notes.note(time.now(), "utility", "line load", "", size, reason);
  }

  private void reclose(long at, List<Long> lengths) {
    long next = at;
    boolean gone = true;
    for (long length : lengths) {
      boolean off = gone;
      due(next, () -> outage(off));
      next += length;
      gone = !gone;
    }
    due(next, () -> outage(false));
  }

  /**
   * A straight line as a stair: each step stands at the line's value in its middle, so that what is
   * summed over it, as an angle is, comes out right.
   */
  private void ramp(
      long at, long lasting, double from, double to, double step, DoubleConsumer set) {
    long steps =
        Math.max(1, Math.min(lasting / SHORTEST_STEP, (long) (Math.abs(to - from) / step)));
    for (long i = 0; i < steps; i++) {
      double value = from + (to - from) * (i + 0.5) / steps;
      due(at + lasting * i / steps, () -> set.accept(value));
    }
    due(at + lasting, () -> set.accept(to));
  }

  private void span(long at, long lasting, Runnable begin, Runnable end) {
    due(at, begin);
    if (lasting > 0) {
      due(at + lasting, end);
    }
  }

  private void cloud(double share) {
    if (site.cloud(share)) {
      String left = Decimal.text(share * 100, 0) + " %";
      notes.note(time.now(), "sky", "cloud", "", left, "of the light reaches the array");
    }
  }

  private void loadStep(double watts) {
    if (site.loadStep(watts)) {
      String size = Decimal.text(watts, 0) + " W";
      notes.note(time.now(), "emergency panel", "load step", "", size, "on top of its loads");
    }
  }

  private void outage(boolean gone) {
    live = !gone;
    offer();
  }

  private void voltage(double to) {
    pu = to;
    offer();
  }

  private void frequency(double to) {
    hz = to;
    offer();
  }

  private void phase(double degrees) {
    injections.astir();
    site.utilityPhase(degrees);
    notes.note(time.now(), "utility", "angle", "", Decimal.text(degrees, 1) + "°", "phase jump");
  }

  private void offer() {
    injections.astir();
    site.utility(live, pu, hz);
  }

  private void stand(Standing one) {
    one.number = ++begun;
    standing.add(one);
  }

  private void begin(Standing one) {
    if (!one.byHand) {
      stand(one);
    }
    if (standing.contains(one)) {
      one.begun = true;
      fault(one.fault, true);
    }
  }

  /** Its time is over, unless a person has ended it before. */
  private void end(Standing one) {
    if (standing.remove(one)) {
      over(one);
    }
  }

  private void over(Standing one) {
    if (one.begun) {
      fault(one.fault, false);
    }
  }

  private void fault(Fault fault, boolean on) {
    site.plant().advanceTo(time.now());
    injections.injected(fault, on);
    faults.set(fault, on);
    notes.note(
        time.now(),
        fault.device(),
        "fault",
        on ? "" : word(fault),
        on ? word(fault) : "",
        on ? "fault begins" : "fault ends");
    site.stir();
  }

  private static String word(Fault fault) {
    String kind = fault.kind().word();
    return fault.signal().isEmpty() ? kind : kind + " " + fault.signal();
  }

  private void ask(Event.Operator operator) {
    injections.astir();
    if (operator.action() == Event.Action.SWITCH) {
      // A hand on the switch itself: no order, and no wire.
      notes.note(time.now(), "operator", "moves", "", operator.key(), "changeover switch");
      site.moveSwitch(operator.key().equals("utility"));
      return;
    }
    OperatorOrder order =
        switch (operator.action()) {
          case ISLAND_REQUEST -> OperatorOrder.ISLAND;
          case RECONNECT_REQUEST -> OperatorOrder.RECONNECT;
          case HOLD -> OperatorOrder.HOLD;
          case RELEASE -> OperatorOrder.RELEASE;
          case ACKNOWLEDGE, SWITCH -> OperatorOrder.ACKNOWLEDGE;
          case RESET -> OperatorOrder.RESET;
          case SHELVE -> OperatorOrder.SHELVE;
          case UNSHELVE -> OperatorOrder.UNSHELVE;
          case OVERRIDE -> OperatorOrder.OVERRIDE;
          case END_OVERRIDE -> OperatorOrder.END_OVERRIDE;
          case AUTO -> OperatorOrder.AUTO;
          case MANUAL -> OperatorOrder.MANUAL;
          case EQUALISE -> OperatorOrder.EQUALISE;
          case WARN -> OperatorOrder.WARN;
          case ALL_CLEAR -> OperatorOrder.ALL_CLEAR;
        };
    give(order, operator.key(), operator.forMicros() * 1e-6);
    expectAnswer(order, operator.key(), operator.forMicros() * 1e-6, orders);
  }

  /**
   * A person who gives an order and sees no answer gives it again when it is over, unless something
   * else has come to mind meanwhile.
   */
  private void expectAnswer(OperatorOrder order, String key, double forS, long seq) {
    unanswered = seq;
    time.at(
        time.now() + Math.round(ORDER_LIFETIME_S * 1e6),
        VirtualTime.UTILITY,
        () -> {
          if (unanswered == seq) {
            give(order, key, forS);
            expectAnswer(order, key, forS, orders);
          }
        });
  }

  private void give(OperatorOrder order, String key, double forS) {
    long seq = ++orders;
    SupervisorCommand command =
        new SupervisorCommand(seq, time.now(), ORDER_LIFETIME_S, order, key, forS);
    port.publish(
        new Message(
            topics.of(Device.SUPERVISOR, Kind.COMMAND),
            SupervisorCommand.LAYOUT.encode(command),
            1,
            false,
            (int) ORDER_LIFETIME_S,
            topics.of(Device.SUPERVISOR, Kind.ACK),
            correlation(seq)));
    notes.note(time.now(), "operator", "order", "", order.name(), key);
  }

  @Override
  public void message(Message message) {
    if (unanswered == ANSWERED || !Arrays.equals(message.correlation(), correlation(unanswered))) {
      return;
    }
    try {
      Ack ack = Ack.LAYOUT.decode(message.payload());
      if (ack.command() == unanswered && ack.result() != AckResult.EXPIRED) {
        unanswered = ANSWERED;
      }
    } catch (MalformedException e) {
      LOG.debug("an answer that nobody can read", e);
    }
  }

  private static byte[] correlation(long seq) {
    return Long.toString(seq).getBytes(StandardCharsets.US_ASCII);
  }

  @Override
  public void link(boolean up) {
    // An order that finds no link is lost, as a person's would be.
  }
}
