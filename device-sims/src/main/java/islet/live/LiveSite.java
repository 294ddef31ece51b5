package islet.live;

import islet.bench.EventLog;
import islet.bench.Network;
import islet.bench.Scenario;
import islet.bench.SiteSimulation;
import islet.bench.Stage;
import islet.bench.VirtualTime;
import islet.bench.Wire;
import islet.bench.plug.WireHabit;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.Topics;
import islet.control.SupervisorMaker;
import java.util.Map;
import java.util.Optional;
import java.util.function.Consumer;

/**
 * One site of a live run: its plant, devices, supervisor and judges on the run's clock, each with a
 * client at the broker. The judges listen on the wire as one more client, so that what they hear
 * has crossed the broker. Belongs to the run's own thread.
 */
final class LiveSite implements AutoCloseable {

  private final Scenario scenario;
  private final VirtualTime time;
  private final LiveLinks links;
  private final Topics topics;
  private final Stage stage;
  private final Port listening;
  private final WireEar ear = new WireEar();
  private final PhaseSight phases = new PhaseSight();
  private final LiveHistory history = new LiveHistory();
  private Optional<BenchVoice> voice = Optional.empty();

  LiveSite(
      Scenario scenario,
      SupervisorMaker maker,
      VirtualTime time,
      LiveLinks links,
      Consumer<EventLog.Row> hears) {
    this.scenario = scenario;
    this.time = time;
    this.links = links;
    topics = new Topics(scenario.site().id());
    stage =
        new Stage(
            scenario,
            time,
            WireHabit.of(maker, this::connect, scenario.site()),
            phases.over(Stage.supervisor(maker)),
            Network.REAL);
    stage.judges().supervisedBy(maker.name());
    stage.judges().listen(row -> heard(row, hears));
    Wire own = new Wire(scenario.site().id(), Map.of(), ear);
    Port.Listener judging =
        new Port.Listener() {
          @Override
          public void message(Message message) {
            own.published(time.now(), "", message);
            stage.wire().published(time.now(), "", message);
            stage.wire().delivered(time.now(), owner(message.topic()), message);
            if (voice.isEmpty() && message.topic().equals(topics.of(Device.BENCH, Kind.COMMAND))) {
              stage.takeFault(message.text());
            }
          }

          @Override
          public void link(boolean up) {
            // What is missed meanwhile shows as silence, which the judges see for themselves.
          }
        };
    // The judges' own loss is nobody's concern, so they leave no will.
    listening =
        connect("judges-" + scenario.site().id(), Message.of("", new byte[0], 0, false), judging);
    listening.subscribe(topics.everything(), 1);
  }

  private Port connect(String clientId, Message will, Port.Listener listener) {
    return links.connect(clientId, will, listener, this::linked);
  }

  private void linked(String clientId, boolean up) {
    stage.note(clientId, "link", up ? "down" : "up", up ? "up" : "down", "");
  }

  private String owner(String topic) {
    for (Device device : Device.values()) {
      if (topic.equals(topics.of(device, Kind.COMMAND))) {
        return SiteSimulation.clientId(scenario.site(), device);
      }
    }
    return "";
  }

  private void heard(EventLog.Row row, Consumer<EventLog.Row> hears) {
    hears.accept(row);
    voice.ifPresent(
        speaking -> {
          speaking.happened(row);
          history.take(row);
        });
  }

  /** Lets a voice tell of this site, and a desk take what people ask on its bench's topic. */
  void open(BenchVoice speaking, BenchDesk desk, RealTimeDriver driver) {
    // Nobody shall take a run that is gone for one that stands.
    Message will = Message.of(topics.of(Device.BENCH, Kind.STATE), new byte[0], 1, true);
    Port port =
        links.connectDesk(
            "desk-" + scenario.site().id(),
            will,
            new Port.Listener() {
              @Override
              public void message(Message message) {
                if (!message.retain()) {
                  driver.control(() -> desk.take(message));
                }
              }

              @Override
              public void link(boolean up) {
                if (up) {
                  driver.control(speaking::tellState);
                }
              }
            });
    port.subscribe(topics.of(Device.BENCH, Kind.COMMAND), 1);
    speaking.speaksBy(port);
    voice = Optional.of(speaking);
  }

  /** Tells what is due, and keeps what is so for whoever comes later. */
  void beat(long wallNanos) {
    voice.ifPresent(speaking -> speaking.beat(wallNanos));
    history.take(time.now(), stage.truth().sample);
  }

  Scenario scenario() {
    return scenario;
  }

  Stage stage() {
    return stage;
  }

  PhaseSight phases() {
    return phases;
  }

  /** What its wire tells. From any thread. */
  WireEar ear() {
    return ear;
  }

  /** What has been so far. From any thread. */
  LiveHistory.Past past() {
    return history.past();
  }

  @Override
  public void close() {
    voice.ifPresent(BenchVoice::leave);
    stage.close();
    listening.close();
  }
}
