package islet.bench;

import islet.contract.Device;
import islet.contract.Port;
import islet.fault.Fault;
import islet.fault.Reach;
import islet.plant.DataFiles;
import islet.site.Site;
import java.util.Map;
import java.util.TreeMap;

/**
 * A scenario's plant, devices, script and judges without a supervisor: that one is somebody else's
 * process, or several.
 */
public final class DeviceStage {

  private final Judges judges;
  private final SiteSimulation simulation;
  private final Wire wire;

  /** Sets everybody up and connects the devices; links are real and nothing here cuts them. */
  public DeviceStage(Scenario scenario, VirtualTime time, Port.Broker broker) {
    this(scenario, time, broker, outOfReach());
    judges.linksAreReal();
  }

  /**
   * Sets everybody up and connects the devices.
   *
   * @param reach what faults may do to links and to the supervisor
   */
  public DeviceStage(Scenario scenario, VirtualTime time, Port.Broker broker, Reach reach) {
    Site site = scenario.site();
    judges = new Judges(scenario);
    DataFiles files = new DataFiles();
    simulation =
        new SiteSimulation(
            site,
            WeatherBuilder.of(scenario, files),
            scenario.initialSoc(),
            scenario.initialHealth(),
            scenario.tieClosed(),
            time,
            broker,
            judges::note,
            files);
    Map<String, Device> clients = new TreeMap<>();
    for (Device device : Device.values()) {
      clients.put(SiteSimulation.clientId(site, device), device);
    }
    wire = new Wire(site.id(), clients, judges.attach(simulation));
    new Script(scenario, time, broker, simulation, reach, judges::note, judges.injections(time));
  }

  private static Reach outOfReach() {
    return new Reach() {
      @Override
      public void cut(Device device, boolean cut) {
        throw new IllegalStateException("links are real here; nothing in this process cuts them");
      }

      @Override
      public void pause(boolean stopped) {
        throw new IllegalStateException("the supervisor is another process");
      }

      @Override
      public void claim(String mode) {
        throw new IllegalStateException("the supervisor is another process");
      }

      @Override
      public void disturb(Fault fault, boolean on) {
        throw new IllegalStateException("links are real here; nothing here disturbs them");
      }

      @Override
      public void upset(Fault fault, boolean on) {
        throw new IllegalStateException("the supervisor is another process");
      }
    };
  }

  /** Puts the first round into the queue. */
  public void start() {
    simulation.start();
  }

  /**
   * The supervisor is no more, and says nothing from now on.
   *
   * @param sentence why
   */
  public void crashed(long micros, String sentence) {
    judges.note(micros, "supervisor", "crash", "", "", sentence);
    judges.crashed(micros, sentence);
  }

  /** Brings everything to the end. */
  public void finish(long endMicros) {
    simulation.settleBooks(endMicros);
    judges.finish(endMicros);
  }

  /** Who reads the wire for the judges. */
  public WireTap wire() {
    return wire;
  }

  /** What of the wire could not be read, in a sentence; empty when everything could. */
  public String unreadable() {
    return wire.malformed() == 0
        ? ""
        : wire.malformed()
            + " messages on the wire could not be read, the first on "
            + wire.firstMalformed();
  }

  /** The judges. */
  public Judges judges() {
    return judges;
  }

  /** Plant and devices. */
  public SiteSimulation simulation() {
    return simulation;
  }

  /** Steps that the plant has taken. */
  public long steps() {
    return simulation.plant().ledger().steps();
  }

  /** Takes the devices off the broker in good order. */
  public void close() {
    simulation.close();
  }
}
