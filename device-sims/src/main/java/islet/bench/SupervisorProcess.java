package islet.bench;

import islet.contract.Device;
import islet.contract.Port;
import islet.control.Supervisor;
import islet.executive.Duty;
import islet.executive.Executive;
import islet.executive.WitnessedClock;
import islet.executive.journal.Journal;
import islet.fault.Fault;
import islet.fault.FaultKind;
import islet.site.Site;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;

/**
 * The supervisor's process in a run: it can stand still, die and come again with what its journal
 * kept, have a clock that is wrong, and get company.
 */
final class SupervisorProcess {

  /** Another one's name at the broker. */
  private static final String SECOND = "second";

  private final Site site;
  private final Function<Site, Supervisor> logic;
  private final Port.Broker broker;
  private final Network network;
  private final VirtualTime time;
  private final String clientId;
  private final Optional<MemoryJournal> memory;
  private final VirtualTime.Timer start;
  private Executive executive;
  private boolean alive = true;
  private boolean paused;
  private long clockOff;
  private Optional<Duty> second = Optional.empty();

  /**
   * Starts it.
   *
   * @param remembers whether it keeps a journal; without one a new one starts as the first did
   */
  SupervisorProcess(
      Site site,
      Function<Site, Supervisor> logic,
      Port.Broker broker,
      Network network,
      VirtualTime time,
      boolean remembers) {
    this.site = site;
    this.logic = logic;
    this.broker = broker;
    this.network = network;
    this.time = time;
    clientId = SiteSimulation.clientId(site, Device.SUPERVISOR);
    memory = remembers ? Optional.of(new MemoryJournal()) : Optional.empty();
    start = time.timer(VirtualTime.CONTROLLER, this::begin);
    executive = make(Map.of());
  }

  /** Whether a scenario lets a new process come, which then needs what the former one noted. */
  static boolean startsAnew(Scenario scenario) {
    return scenario.events().stream()
        .anyMatch(
            event ->
                event instanceof Event.Fault fault
                    && (fault.kind() == FaultKind.SUPERVISOR_CRASH
                        || fault.kind() == FaultKind.SUPERVISOR_RESTART
                        || fault.kind() == FaultKind.JOURNAL_TRUNCATED));
  }

  private Executive make(Map<String, String> past) {
    Journal journal = memory.isPresent() ? memory.get() : Journal.NONE;
    return new Executive(
        site,
        logic.apply(site),
        broker,
        new WitnessedClock(this::clock, time::now),
        clientId,
        journal,
        past,
        false);
  }

  /** The machine's, which the steady one beside it does not follow when somebody sets it. */
  private long clock() {
    return time.now() + clockOff;
  }

  /** One scan of everybody who scans. */
  void scan() {
    if (alive && !paused) {
      executive.scan();
    }
    second.ifPresent(Duty::scan);
  }

  void pause(boolean stopped) {
    paused = stopped;
  }

  /** Lets a fault of the process begin or end. */
  void upset(Fault fault, boolean on) {
    FaultKind kind = fault.kind();
    if (kind == FaultKind.SUPERVISOR_CLOCK_STEP) {
      clockOff = on ? fault.micros("by") : 0;
    } else if (kind == FaultKind.SECOND_SUPERVISOR) {
      company(on);
    } else if (on) {
      die();
      if (kind == FaultKind.JOURNAL_TRUNCATED) {
        memory.ifPresent(m -> m.lose(clock() - fault.micros("lost")));
      }
      if (kind != FaultKind.SUPERVISOR_CRASH) {
        start.arm(time.now() + fault.micros("down"));
      }
    } else if (kind == FaultKind.SUPERVISOR_CRASH) {
      begin();
    }
  }

  private void die() {
    if (!alive) {
      return;
    }
    alive = false;
    if (!network.kill(clientId)) {
      // Over a real broker a client can only leave, with the words that its will would say.
      executive.close();
    }
  }

  private void begin() {
    if (alive) {
      return;
    }
    alive = true;
    executive = make(memory.map(MemoryJournal::past).orElse(Map.of()));
  }

  private void company(boolean on) {
    if (on) {
      second =
          Optional.of(
              new Duty(site, logic, broker, time::now, SECOND, Journal.NONE, Map.of(), false));
    } else {
      second.ifPresent(Duty::close);
      second = Optional.empty();
    }
  }

  /** Leaves the broker in good order. */
  void close() {
    second.ifPresent(Duty::close);
    if (alive) {
      executive.close();
    }
  }
}
