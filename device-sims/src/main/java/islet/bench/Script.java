package islet.bench;

import islet.contract.Decimal;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.OperatorOrder;
import islet.contract.Port;
import islet.contract.SupervisorCommand;
import islet.contract.Topics;
import islet.fault.FaultInjector;
import java.nio.charset.StandardCharsets;
import java.util.Locale;

/**
 * Lets a scenario's events happen at their instants, and keeps what the utility offers when several
 * overlap.
 */
final class Script implements Port.Listener {

  /** An operator's order is good for as long as it takes to walk to the panel. */
  private static final double ORDER_LIFETIME_S = 10;

  private final VirtualTime time;
  private final SiteSimulation site;
  private final FaultInjector faults;
  private final SiteSimulation.Notes notes;
  private final Topics topics;
  private final Port port;
  private final double nominalHz;
  private boolean live = true;
  private double pu = 1;
  private double hz;
  private long orders;

  Script(
      Scenario scenario,
      VirtualTime time,
      Port.Broker broker,
      SiteSimulation site,
      FaultInjector faults,
      SiteSimulation.Notes notes) {
    this.time = time;
    this.site = site;
    this.faults = faults;
    this.notes = notes;
    topics = new Topics(scenario.site().id());
    nominalHz = scenario.site().utility().nominalHz();
    hz = nominalHz;
    port = broker.connect("bench-" + scenario.site().id(), topics.will(Device.BENCH), this);
    for (Event event : scenario.events()) {
      schedule(event, scenario.startMicros());
    }
  }

  private void schedule(Event event, long start) {
    long at = start + event.atMicros();
    if (event instanceof Event.Outage outage) {
      span(at, outage.durationMicros(), () -> outage(true), () -> outage(false));
    } else if (event instanceof Event.Sag sag) {
      span(at, sag.forMicros(), () -> voltage(sag.pu()), () -> voltage(1));
    } else if (event instanceof Event.Swell swell) {
      span(at, swell.forMicros(), () -> voltage(swell.pu()), () -> voltage(1));
    } else if (event instanceof Event.FrequencyStep step) {
      span(at, step.forMicros(), () -> frequency(step.hz()), () -> frequency(nominalHz));
    } else if (event instanceof Event.PhaseJump jump) {
      time.at(at, VirtualTime.UTILITY, () -> phase(jump.deg()));
    } else if (event instanceof Event.Operator operator) {
      time.at(at, VirtualTime.UTILITY, () -> ask(operator));
    } else if (event instanceof Event.Fault fault) {
      span(at, fault.forMicros(), () -> fault(fault, true), () -> fault(fault, false));
    }
  }

  private void span(long at, long lasting, Runnable begin, Runnable end) {
    time.at(at, VirtualTime.UTILITY, begin);
    if (lasting > 0) {
      time.at(at + lasting, VirtualTime.UTILITY, end);
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
    site.utilityPhase(degrees);
    notes.note(time.now(), "utility", "angle", "", Decimal.text(degrees, 1) + "°", "phase jump");
  }

  private void offer() {
    site.utility(live, pu, hz);
  }

  private void fault(Event.Fault fault, boolean on) {
    site.plant().advanceTo(time.now());
    faults.set(
        fault.kind(),
        fault.device(),
        fault.signal(),
        fault.numbers().getOrDefault("by", 0.0),
        fault.claim(),
        on);
    notes.note(
        time.now(),
        fault.device(),
        "fault",
        on ? "" : word(fault),
        on ? word(fault) : "",
        on ? "fault begins" : "fault ends");
    site.stir();
  }

  private static String word(Event.Fault fault) {
    String kind = fault.kind().name().toLowerCase(Locale.ROOT).replace('_', '-');
    return fault.signal().isEmpty() ? kind : kind + " " + fault.signal();
  }

  private void ask(Event.Operator operator) {
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
        };
    if (order == OperatorOrder.RESET) {
      site.inspected();
    }
    long seq = ++orders;
    SupervisorCommand command =
        new SupervisorCommand(seq, time.now(), ORDER_LIFETIME_S, order, operator.key());
    port.publish(
        new Message(
            topics.of(Device.SUPERVISOR, Kind.COMMAND),
            SupervisorCommand.LAYOUT.encode(command),
            1,
            false,
            (int) ORDER_LIFETIME_S,
            topics.of(Device.SUPERVISOR, Kind.ACK),
            Long.toString(seq).getBytes(StandardCharsets.US_ASCII)));
    notes.note(time.now(), "operator", "order", "", order.name(), operator.key());
  }

  @Override
  public void message(Message message) {
    // The script only speaks.
  }

  @Override
  public void link(boolean up) {
    // An order that finds no link is lost, as a person's would be.
  }
}
