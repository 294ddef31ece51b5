package islet.bench;

import islet.contract.Device;
import islet.contract.DeviceState;
import islet.contract.Forced;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.Online;
import islet.contract.OperatorOrder;
import islet.contract.Port;
import islet.contract.Topics;
import islet.fault.Fault;
import islet.fault.FaultKind;
import islet.fault.Voice;
import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;

/** Faults that are nothing but messages, said on the wire by the bench. */
final class SpokenFaults implements Voice {

  /** So old is a retained message that comes back, µs. */
  private static final long STALE_MICROS = 3_600_000_000L;

  /** An override that was forgotten stands for as long as one may. */
  private static final double DAY_S = 86_400;

  private static final byte[] NOISE = "no message of this wire".getBytes(StandardCharsets.US_ASCII);

  /** Gives a person's order. */
  interface Orders {
    void give(OperatorOrder order, String key, double forS);
  }

  private final VirtualTime time;
  private final Topics topics;
  private final Port port;
  private final Orders orders;
  private final Map<Fault, Flood> floods = new HashMap<>();

  SpokenFaults(VirtualTime time, Topics topics, Port port, Orders orders) {
    this.time = time;
    this.topics = topics;
    this.port = port;
    this.orders = orders;
  }

  @Override
  public void say(Fault fault, boolean on) {
    if (fault.kind() == FaultKind.LINK_FLOOD) {
      flood(fault, on);
    } else if (fault.kind() == FaultKind.OVERRIDE_LEFT_ON) {
      OperatorOrder order = on ? OperatorOrder.OVERRIDE : OperatorOrder.END_OVERRIDE;
      String forced = fault.claim().toUpperCase(Locale.ROOT).replace('-', '_');
      orders.give(order, Forced.valueOf(forced).name(), on ? DAY_S : 0);
    } else if (on) {
      stale(device(fault), fault.claim());
    }
  }

  private void flood(Fault fault, boolean on) {
    if (on) {
      floods.put(fault, new Flood(device(fault), fault.number("perSecond")));
    } else {
      Optional.ofNullable(floods.remove(fault)).ifPresent(Flood::stop);
    }
  }

  private static Device device(Fault fault) {
    return Device.valueOf(fault.device().toUpperCase(Locale.ROOT));
  }

  private void stale(Device device, String what) {
    long then = time.now() - STALE_MICROS;
    boolean state = what.equals("state");
    byte[] payload =
        state
            ? DeviceState.LAYOUT.encode(new DeviceState(0, then, "OFF", "as ordered"))
            : Online.LAYOUT.encode(new Online(0, then, false));
    port.publish(Message.of(topics.of(device, state ? Kind.STATE : Kind.ONLINE), payload, 1, true));
  }

  /** What comes again and again until it is stopped. */
  private final class Flood {
    private final String[] where;
    private final long everyMicros;
    private final VirtualTime.Timer timer;
    private int sent;

    private Flood(Device device, double perSecond) {
      where = new String[] {topics.of(device, Kind.TELEMETRY), topics.of(device, Kind.COMMAND)};
      everyMicros = Math.max(1, Math.round(1e6 / perSecond));
      timer = time.timer(VirtualTime.UTILITY, this::next);
      next();
    }

    private void next() {
      port.publish(Message.of(where[sent++ % where.length], NOISE, 0, false));
      timer.arm(time.now() + everyMicros);
    }

    private void stop() {
      timer.cancel();
    }
  }
}
