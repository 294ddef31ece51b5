package islet.device;

import islet.bench.SiteSimulation;
import islet.bench.VirtualBroker;
import islet.bench.VirtualTime;
import islet.contract.Ack;
import islet.contract.Authority;
import islet.contract.ChargeStage;
import islet.contract.Device;
import islet.contract.GridState;
import islet.contract.InverterCommand;
import islet.contract.InverterOrder;
import islet.contract.Kind;
import islet.contract.Layout;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Mode;
import islet.contract.Port;
import islet.contract.SupervisorTelemetry;
import islet.contract.TieCommand;
import islet.contract.TieOrder;
import islet.contract.Topics;
import islet.plant.ConstantWeather;
import islet.plant.Plant;
import islet.site.Setting;
import islet.site.Site;
import islet.site.SiteReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** The demo site's devices on a plant in virtual time, at night, and a hand that gives orders. */
final class Workbench implements Port.Listener {

  static final double LATENCY_S = 0.002;
  private static final long START = 1_768_456_800_000_000L; // 2026-01-15 00:00 in Chicago

  final Site site;
  final VirtualTime time = new VirtualTime(START);
  final VirtualBroker broker = new VirtualBroker(time);
  final SiteSimulation simulation;
  final Plant plant;
  final Devices devices;
  final Topics topics;
  boolean heartbeat = true;
  private final Map<String, Message> newest = new HashMap<>();
  private final Map<String, List<Ack>> acks = new HashMap<>();
  private final Port hand;
  private long seq;

  /**
   * A bench.
   *
   * @param settings field, value, field, value…
   */
  Workbench(double soc, boolean tieClosed, double ghi, String... settings) {
    List<Setting> list = new ArrayList<>();
    for (int i = 0; i < settings.length; i += 2) {
      list.add(new Setting(settings[i], settings[i + 1], "this test", 1));
    }
    site =
        SiteReader.read(
            Path.of(System.getProperty("islet.root"), "config/sites/ferry-landing.yaml"), list);
    topics = new Topics(site.id());
    simulation =
        new SiteSimulation(
            site,
            new ConstantWeather(ghi, 0, ghi, 20, 1),
            soc,
            1,
            tieClosed,
            time,
            broker,
            (micros, source, kind, from, to, reason) -> {});
    plant = simulation.plant();
    devices = simulation.devices();
    hand = broker.connect("hand", Message.of("hand/will", new byte[] {'x'}, 0, false), this);
    hand.subscribe(topics.everything(), 1);
    simulation.start();
    beat();
    seconds(0.1);
  }

  private void beat() {
    time.at(time.now() + 1_000_000, VirtualTime.CONTROLLER, this::beat);
    if (heartbeat) {
      SupervisorTelemetry t =
          new SupervisorTelemetry(
              0,
              time.now(),
              Mode.GRID_PRESENT,
              ChargeStage.OFF,
              GridState.QUALIFIED,
              true,
              50,
              0.5,
              0.5,
              0,
              Authority.AUTO,
              "",
              0.5,
              "",
              false,
              1);
      hand.publish(
          Message.of(
              topics.of(Device.SUPERVISOR, Kind.TELEMETRY),
              SupervisorTelemetry.LAYOUT.encode(t),
              0,
              false));
    }
  }

  void seconds(double seconds) {
    time.runUntil(time.now() + Math.round(seconds * 1e6));
  }

  void utility(double pu, double hz) {
    simulation.utility(pu > 0, pu, pu > 0 ? hz : 60);
  }

  long send(Device device, byte[] payload) {
    hand.publish(
        new Message(
            topics.of(device, Kind.COMMAND),
            payload,
            1,
            false,
            60,
            topics.of(device, Kind.ACK),
            Long.toString(seq).getBytes(StandardCharsets.US_ASCII)));
    return seq;
  }

  /** Sends an order and gives its first answer. */
  Ack tie(TieOrder order, String key) {
    long number = ++seq;
    send(Device.TIE, TieCommand.LAYOUT.encode(new TieCommand(number, time.now(), 3, order, key)));
    return answer(Device.TIE, number);
  }

  Ack inverter(InverterOrder order, boolean permit) {
    long number = ++seq;
    send(
        Device.INVERTER,
        InverterCommand.LAYOUT.encode(
            new InverterCommand(number, time.now(), 3, order, permit, 54, 0, 60, 0, 4000)));
    return answer(Device.INVERTER, number);
  }

  long next() {
    return ++seq;
  }

  Ack answer(Device device, long number) {
    seconds(2 * LATENCY_S + 0.002);
    return acks.getOrDefault(topics.of(device, Kind.ACK), List.of()).stream()
        .filter(a -> a.command() == number)
        .findFirst()
        .orElseThrow();
  }

  <T> T newest(Device device, Kind kind, Layout<T> layout) {
    Message message = newest.get(topics.of(device, kind));
    try {
      return layout.decode(message == null ? new byte[0] : message.payload());
    } catch (MalformedException e) {
      throw new AssertionError(device + " sent no " + kind, e);
    }
  }

  @Override
  public void message(Message message) {
    newest.put(message.topic(), message);
    if (message.topic().endsWith("/ack")) {
      try {
        acks.computeIfAbsent(message.topic(), t -> new ArrayList<>())
            .add(Ack.LAYOUT.decode(message.payload()));
      } catch (MalformedException e) {
        throw new AssertionError(message.text(), e);
      }
    }
  }

  @Override
  public void link(boolean up) {}
}
