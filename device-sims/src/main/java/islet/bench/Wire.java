package islet.bench;

import islet.contract.Ack;
import islet.contract.Alarm;
import islet.contract.ChargerCommand;
import islet.contract.Device;
import islet.contract.Event;
import islet.contract.InverterCommand;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.MeterCommand;
import islet.contract.Online;
import islet.contract.RegulatorCommand;
import islet.contract.SupervisorCommand;
import islet.contract.SupervisorTelemetry;
import islet.contract.TieCommand;
import islet.contract.Topics;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;

/**
 * Reads what crosses the wire for a {@link Witness}: what each party sends, and the commands that
 * arrive at the devices. What is malformed is counted and otherwise left to its receivers.
 */
public final class Wire implements WireTap {

  private record Address(Device device, Kind kind) {}

  private final Map<String, Address> addresses = new HashMap<>();
  private final Map<String, Device> devices;
  private final Witness witness;
  private final Senders senders = new Senders();
  private long malformed;
  private String firstMalformed = "";

  /**
   * A reader.
   *
   * @param site the site's id in topics
   * @param devices which device each client id belongs to; deliveries to others are passed over
   * @param witness who is told
   */
  public Wire(String site, Map<String, Device> devices, Witness witness) {
    Topics topics = new Topics(site);
    for (Device device : Device.values()) {
      for (Kind kind : Kind.values()) {
        addresses.put(topics.of(device, kind), new Address(device, kind));
      }
    }
    this.devices = Map.copyOf(devices);
    this.witness = witness;
  }

  @Override
  public void published(long micros, String from, Message message) {
    Address address = addresses.get(message.topic());
    // What the bench says of the run is no part of it.
    if (address == null || address.device() == Device.BENCH || message.payload().length == 0) {
      return;
    }
    try {
      switch (address.kind()) {
        case TELEMETRY -> {
          if (address.device() == Device.SUPERVISOR) {
            witness.told(micros, SupervisorTelemetry.LAYOUT.decode(message.payload()));
          }
        }
        case ONLINE ->
            witness.present(
                micros, address.device(), Online.LAYOUT.decode(message.payload()).online());
        case ACK ->
            witness.answered(micros, address.device(), Ack.LAYOUT.decode(message.payload()));
        case EVENT ->
            witness.happened(micros, address.device(), Event.LAYOUT.decode(message.payload()));
        case ALARM ->
            witness.alarmed(micros, address.device(), Alarm.LAYOUT.decode(message.payload()));
        case COMMAND -> senders.sent(address.device(), from, message.payload());
        case STATE, STEP, SCANNED, MARGIN, LEDGER -> {}
      }
    } catch (MalformedException e) {
      refuse(message, e);
    }
  }

  @Override
  public void delivered(long micros, String to, Message message) {
    Address address = addresses.get(message.topic());
    if (address == null
        || address.kind() != Kind.COMMAND
        || !Optional.ofNullable(devices.get(to)).equals(Optional.of(address.device()))) {
      return;
    }
    try {
      Device device = address.device();
      command(micros, device, senders.of(device, message.payload()), message.payload());
    } catch (MalformedException e) {
      refuse(message, e);
    }
  }

  private void command(long micros, Device device, String from, byte[] payload)
      throws MalformedException {
    switch (device) {
      case REGULATOR -> {
        RegulatorCommand c = RegulatorCommand.LAYOUT.decode(payload);
        witness.commanded(micros, device, from, c.seq(), c.at(), c.lifetimeS());
      }
      case INVERTER -> {
        InverterCommand c = InverterCommand.LAYOUT.decode(payload);
        witness.commanded(micros, device, from, c.seq(), c.at(), c.lifetimeS());
      }
      case CHARGER -> {
        ChargerCommand c = ChargerCommand.LAYOUT.decode(payload);
        witness.commanded(micros, device, from, c.seq(), c.at(), c.lifetimeS());
      }
      case TIE -> {
        TieCommand c = TieCommand.LAYOUT.decode(payload);
        witness.commanded(micros, device, from, c.seq(), c.at(), c.lifetimeS());
      }
      case METER -> {
        MeterCommand c = MeterCommand.LAYOUT.decode(payload);
        witness.commanded(micros, device, from, c.seq(), c.at(), c.lifetimeS());
      }
      case SUPERVISOR -> {
        SupervisorCommand c = SupervisorCommand.LAYOUT.decode(payload);
        witness.commanded(micros, device, from, c.seq(), c.at(), c.lifetimeS());
        witness.asked(micros, c);
      }
      case BENCH -> {}
    }
  }

  private void refuse(Message message, MalformedException why) {
    if (malformed++ == 0) {
      firstMalformed = message.topic() + ": " + why.getMessage();
    }
  }

  /** Topic of the first message that could not be read, and why not; empty when there was none. */
  public String firstMalformed() {
    return firstMalformed;
  }

  /** How many messages could not be read. */
  public long malformed() {
    return malformed;
  }
}
