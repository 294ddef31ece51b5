package islet.live;

import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Online;
import islet.contract.Port;
import islet.contract.Scanned;
import islet.contract.Step;
import islet.contract.StepCall;
import islet.contract.Topics;
import islet.mqtt.PahoBroker;

/** A controller that only keeps the lockstep, until a step at which it does something else. */
final class Stub implements AutoCloseable {

  /** What it does then. */
  @FunctionalInterface
  interface Turn {
    void at(Stub stub, Step step);
  }

  private static final long PERIOD_MS = 1_000;

  private final Topics topics;
  private final long wrongAtSecond;
  private final Turn wrong;
  private final Port port;
  private volatile long startMicros;

  /**
   * Connects.
   *
   * @param wrongAtSecond simulated second from the start at which the turn takes the place of the
   *     answer; every one from then on
   */
  Stub(PahoBroker broker, String site, long wrongAtSecond, Turn wrong) {
    topics = new Topics(site);
    this.wrongAtSecond = wrongAtSecond;
    this.wrong = wrong;
    port =
        broker.connect(
            "stub",
            Message.of("", new byte[0], 0, false),
            new Port.Listener() {
              @Override
              public void message(Message message) {
                obey(message);
              }

              @Override
              public void link(boolean up) {}
            });
    port.subscribe(topics.of(Device.BENCH, Kind.STEP), 1);
  }

  private void obey(Message message) {
    Step step;
    try {
      step = Step.LAYOUT.decode(message.payload());
    } catch (MalformedException e) {
      throw new IllegalStateException(e);
    }
    if (step.call() == StepCall.BEGIN) {
      startMicros = step.at();
    }
    if (step.at() - startMicros >= wrongAtSecond * 1_000_000) {
      wrong.at(this, step);
    } else if (step.call() != StepCall.END) {
      answer(step, 0);
    }
  }

  /** Whether it has been told to begin. */
  boolean begun() {
    return startMicros > 0;
  }

  void answer(Step step, long messages) {
    say(Kind.SCANNED, scanned(step.seq(), messages));
  }

  byte[] scanned(long step, long messages) {
    return Scanned.LAYOUT.encode(new Scanned(0, startMicros, step, messages, PERIOD_MS, "stub"));
  }

  void say(Kind kind, byte[] payload) {
    port.publish(Message.of(topics.of(Device.SUPERVISOR, kind), payload, 1, false));
  }

  void leave() {
    say(Kind.ONLINE, Online.LAYOUT.encode(new Online(0, startMicros, false)));
  }

  @Override
  public void close() {
    port.close();
  }
}
