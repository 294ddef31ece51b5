package islet.bench;

import islet.bench.plug.SupervisorCrash;
import islet.bench.plug.Supervisors;
import islet.bench.plug.WatchedSupervisor;
import islet.contract.Device;
import islet.contract.Port;
import islet.control.Supervisor;
import islet.control.SupervisorMaker;
import islet.executive.Executive;
import islet.fault.FaultInjector;
import islet.fault.Reach;
import islet.plant.DataFiles;
import islet.site.Site;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.BiConsumer;
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
  private final Executive executive;
  private final Judges judges;
  private final Wire wire;
  private final VirtualTime.Timer scan;
  private final long scanMicros;
  private final FalseMode falseMode;
  private boolean paused;
  private boolean crashed;

  /**
   * Sets everybody up and connects them.
   *
   * @param supervisor the control logic for the site
   * @param cutter cuts (true) or mends a client's link
   */
  public Stage(
      Scenario scenario,
      VirtualTime time,
      Port.Broker broker,
      Function<Site, Supervisor> supervisor,
      BiConsumer<String, Boolean> cutter) {
    this(scenario, time, broker, supervisor, cutter, new DataFiles());
  }

  /** The same, one of many runs that share their data files. */
  Stage(
      Scenario scenario,
      VirtualTime time,
      Port.Broker broker,
      Function<Site, Supervisor> supervisor,
      BiConsumer<String, Boolean> cutter,
      DataFiles files) {
    this.scenario = scenario;
    this.time = time;
    Site site = scenario.site();
    judges = new Judges(scenario);
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
    executive =
        new Executive(
            site,
            supervisor.apply(site),
            (clientId, will, listener) -> falseMode.over(broker.connect(clientId, will, listener)),
            time::now,
            SiteSimulation.clientId(site, Device.SUPERVISOR));
    FaultInjector faults = new FaultInjector(simulation.devices(), reach(cutter));
    new Script(scenario, time, broker, simulation, faults, judges::note);
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

  private Reach reach(BiConsumer<String, Boolean> cutter) {
    return new Reach() {
      @Override
      public void cut(Device device, boolean cut) {
        cutter.accept(SiteSimulation.clientId(scenario.site(), device), cut);
      }

      @Override
      public void pause(boolean stopped) {
        paused = stopped;
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
    scan.arm(time.now() + scanMicros);
  }

  private void scan() {
    scan.arm(time.now() + scanMicros);
    if (!paused && !crashed) {
      try {
        executive.scan();
      } catch (SupervisorCrash crash) {
        crashed = true;
        note("supervisor", "crash", "", "", crash.sentence());
        judges.crashed(time.now(), crash.sentence());
      }
    }
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

  /** Steps that the plant has taken. */
  public long steps() {
    return simulation.plant().ledger().steps();
  }

  /** Takes supervisor and devices off the broker in good order. */
  public void close() {
    executive.close();
    simulation.close();
  }
}
