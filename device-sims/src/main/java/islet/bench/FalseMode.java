package islet.bench;

import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Mode;
import islet.contract.Port;
import islet.contract.SupervisorTelemetry;
import islet.contract.Topics;
import islet.site.Site;

/**
 * Lets the wire carry a mode of the supervisor that is not the one it told. A fault of the bench's
 * own, for trying whether anybody notices.
 */
public final class FalseMode {

  private final String told;
  private String claim = "";

  /** Nothing is falsified yet. */
  public FalseMode(Site site) {
    told = new Topics(site.id()).of(Device.SUPERVISOR, Kind.TELEMETRY);
  }

  /**
   * Says what is claimed from now on.
   *
   * @param mode the name of a {@link Mode}; empty for the truth
   */
  public void claim(String mode) {
    claim = mode;
  }

  /** The supervisor's way to the broker, on which a false mode can be put. */
  public Port over(Port honest) {
    return new Port() {
      @Override
      public void publish(Message message) {
        boolean lie = !claim.isEmpty() && message.topic().equals(told);
        honest.publish(lie ? falsified(message) : message);
      }

      @Override
      public void subscribe(String filter, int qos) {
        honest.subscribe(filter, qos);
      }

      @Override
      public boolean connected() {
        return honest.connected();
      }

      @Override
      public void close() {
        honest.close();
      }
    };
  }

  private Message falsified(Message message) {
    SupervisorTelemetry t;
    try {
      t = SupervisorTelemetry.LAYOUT.decode(message.payload());
    } catch (MalformedException e) {
      return message; // what nobody can read tells no mode, false or true
    }
    SupervisorTelemetry lie =
        new SupervisorTelemetry(
            t.seq(),
            t.at(),
            Mode.valueOf(claim),
            t.stage(),
            t.grid(),
            t.tieClosed(),
            t.batteryVoltageV(),
            t.soc(),
            t.reserveSoc(),
            t.qualifiedInS(),
            t.authority(),
            t.overrides(),
            t.voltageSoc(),
            t.doubts(),
            t.warned(),
            t.confidence());
    return Message.of(
        message.topic(), SupervisorTelemetry.LAYOUT.encode(lie), message.qos(), message.retain());
  }
}
