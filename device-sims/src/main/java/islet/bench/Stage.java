package islet.bench;

import islet.bench.plug.SupervisorCrash;
import islet.bench.plug.Supervisors;
import islet.bench.plug.WatchedSupervisor;
import islet.contract.Device;
import islet.contract.Port;
import islet.control.Supervisor;
import islet.control.SupervisorMaker;
import islet.fault.Fault;
import islet.fault.Reach;
import islet.plant.DataFiles;
import islet.site.InputException;
import islet.site.Site;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.Function;

/**
 * Everybody in a scenario on one clock and one broker: plant, devices, supervisor, script and
 * judges. A rehearsal and a live run differ only in who moves the clock and what the broker is made
 * of.
 */
public final class Stage {

  private final Scenario scenario;
  private final VirtualTime time;
  private final SiteSimulation simulation;
  private final SupervisorProcess supervisor;
  private final Judges judges;
  private final Script script;
  private final Network network;
  private final Wire wire;
  private final VirtualTime.Timer scan;
  private final long scanMicros;
  private final FalseMode falseMode;
  private long nextScan = VirtualTime.NEVER;
  private boolean crashed;

  /**
   * Sets everybody up and connects them.
   *
   * @param logic the control logic for the site
   * @param network what faults can do to links
   */
  public Stage(
      Scenario scenario,
      VirtualTime time,
      Port.Broker broker,
      Function<Site, Supervisor> logic,
      Network network) {
    this(scenario, time, broker, logic, network, new DataFiles());
  }

  /** The same, one of many runs that share their data files. */
  Stage(
      Scenario scenario,
      VirtualTime time,
      Port.Broker broker,
      Function<Site, Supervisor> logic,
      Network network,
      DataFiles files) {
    this.scenario = scenario;
    this.time = time;
    Site site = scenario.site();
    judges = new Judges(scenario);
    if (network == Network.REAL) {
      judges.linksAreReal();
    }
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
    wire = new Wire(site.id(), clients(site), judges.attach(simulation));
    falseMode = new FalseMode(site);
    supervisor =
        new SupervisorProcess(
            site,
            logic,
            (clientId, will, listener) -> falseMode.over(broker.connect(clientId, will, listener)),
            network,
            time,
            network == Network.REAL || SupervisorProcess.startsAnew(scenario));
    script =
        new Script(
            scenario,
            time,
            broker,
            simulation,
            reach(network),
            judges::note,
            judges.injections(time));
    this.network = network;
    scanMicros = Math.round(site.supervision().scanS() * 1e6);
    scan = time.timer(VirtualTime.CONTROLLER, this::scan);
  }

  private static Map<String, Device> clients(Site site) {
    Map<String, Device> clients = new TreeMap<>();
    for (Device device : Device.values()) {
      clients.put(SiteSimulation.clientId(site, device), device);
    }
    return clients;
  }

  private Reach reach(Network network) {
    LinkFaults links = new LinkFaults(scenario.site(), network);
    return new Reach() {
      @Override
      public void cut(Device device, boolean cut) {
        network.cut(SiteSimulation.clientId(scenario.site(), device), cut);
      }

      @Override
      public void pause(boolean stopped) {
        supervisor.pause(stopped);
      }

      @Override
      public void disturb(Fault fault, boolean on) {
        links.set(fault, on);
      }

      @Override
      public void upset(Fault fault, boolean on) {
        supervisor.upset(fault, on);
      }

      @Override
      public void claim(String mode) {
        falseMode.claim(mode);
      }
    };
  }

  /** How a maker's supervisors are made for a run: Islet's own as it is, others under watch. */
  public static Function<Site, Supervisor> supervisor(SupervisorMaker maker) {
    return maker == Supervisors.OWN ? maker::make : site -> WatchedSupervisor.of(maker, site);
  }

  /** Puts the first round and the first scan into the queue. */
  public void start() {
    simulation.start();
    armScan();
  }

  private void armScan() {
    nextScan = time.now() + scanMicros;
    scan.arm(nextScan);
  }

  /** When the next scan is due, µs since the Unix epoch; never before {@link #start}. */
  public long nextScan() {
    return nextScan;
  }

  private void scan() {
    armScan();
    if (!crashed) {
      try {
        supervisor.scan();
      } catch (SupervisorCrash crash) {
        crashed = true;
        note("supervisor", "crash", "", "", crash.sentence());
        judges.crashed(time.now(), crash.sentence());
      }
    }
  }

  /**
   * Takes a fault of the present moment, as it stands under a scenario's events but without its
   * instant; what is wrong with it stands in the sequence of events.
   *
   * @param text YAML or JSON
   */
  public void takeFault(String text) {
    try {
      Event.Fault fault =
          EventReader.faultNow(scenario.site().arrangement(), "bench/command", text);
      if (network == Network.REAL && fault.kind().needsVirtualLinks()) {
        note(
            "bench",
            "refused",
            "",
            fault.kind().word(),
            "links are real here; use rehearse for it, or cut the real link");
        return;
      }
      script.now(fault).ifPresent(why -> note("bench", "refused", "", "", why));
    } catch (InputException e) {
      note("bench", "refused", "", "", String.valueOf(e.getMessage()).replace('\n', ' '));
    }
  }

  /**
   * Lets an event happen at the present instant, as it stands under a scenario's events but without
   * its instant.
   *
   * @param text YAML or JSON
   * @return why not, in a sentence; empty when it happens
   */
  public Optional<String> takeEvent(String text) {
    try {
      Event event = EventReader.eventNow(scenario.site().arrangement(), "bench/command", text);
      if (event instanceof Event.Operator asked && asked.action() != Event.Action.SWITCH) {
        return Optional.of("Orders go to the supervisor, on supervisor/command.");
      }
      if (network == Network.REAL
          && event instanceof Event.Fault fault
          && fault.kind().needsVirtualLinks()) {
        return Optional.of(
            "Links are real here, so "
                + fault.kind().word()
                + " cannot be played; use rehearse for it, or cut the real link.");
      }
      return script.now(event);
    } catch (InputException e) {
      return Optional.of(String.valueOf(e.getMessage()).replace('\n', ' '));
    }
  }

  /** The faults that stand, the oldest first; on the run's own thread only. */
  public List<StandingFault> standing() {
    return script.standing();
  }

  /**
   * Ends one fault that stands, whoever began it.
   *
   * @param number by which {@link #standing} tells it
   * @return why not, in a sentence; empty when it ends
   */
  public Optional<String> endFault(long number) {
    return script.end(number);
  }

  /**
   * Whether an event, as {@link #takeEvent} takes it, befalls what no site has for itself: the
   * utility, the sky, or what people turn on. Not so when it cannot be read.
   */
  public static boolean isOfSurroundings(String text) {
    try {
      Event event = EventReader.eventNow(Site.Arrangement.TWO_PANEL, "bench/command", text);
      return !(event instanceof Event.Fault || event instanceof Event.Operator);
    } catch (InputException e) {
      return false;
    }
  }

  /** The site. */
  public Site site() {
    return scenario.site();
  }

  /** Lets the utility be as it should, and ends every fault that {@link #takeEvent} began. */
  public void restore() {
    script.restore();
  }

  /** What is really so, as of the last change or full second; on the run's own thread only. */
  public Truth truth() {
    return simulation.truth();
  }

  /** Temperature of the air, °C; on the run's own thread only. */
  public double outdoorC() {
    return simulation.plant().ambientTemperatureC();
  }

  /** What a charger of its own takes from the utility, W; on the run's own thread only. */
  public double chargerPowerW() {
    return simulation.plant().chargerPowerW();
  }

  /** What has come of the run so far; on the run's own thread only. */
  public Books books() {
    return Books.of(simulation, judges);
  }

  /** Brings everything to the end of the run. */
  public void finish(long endMicros) {
    simulation.settleBooks(endMicros);
    judges.finish(endMicros);
  }

  /** Takes a line for the sequence of events, at the present instant. */
  public void note(String source, String kind, String from, String to, String reason) {
    judges.note(time.now(), source, kind, from, to, reason);
  }

  /** Who reads the wire for the judges. */
  public WireTap wire() {
    return wire;
  }

  /** The judges. */
  public Judges judges() {
    return judges;
  }

  /** Plant and devices. */
  SiteSimulation simulation() {
    return simulation;
  }

  /** Steps that the plant has taken. */
  public long steps() {
    return simulation.plant().ledger().steps();
  }

  /** Takes supervisor and devices off the broker in good order. */
  public void close() {
    supervisor.close();
    simulation.close();
  }
}
