package islet.live;

import islet.bench.Stage;
import islet.contract.AckResult;
import islet.contract.BenchCommand;
import islet.contract.BenchOrder;
import islet.contract.Decimal;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.RunState;
import java.util.Optional;
import java.util.regex.Pattern;

/**
 * Takes what people ask of the bench in a live run, and answers each with what became of it. All of
 * it happens on the run's own thread between two instants of the simulation, also while time stands
 * still, so that no instant is ever cut in two.
 */
final class BenchDesk {

  private static final double LOWEST_SPEED = LiveSession.LOWEST_SPEED;
  private static final double HIGHEST_SPEED = LiveSession.HIGHEST_SPEED;

  private static final int LONGEST_BOOKMARK = 64;

  /** A command by its field; what has none may be an event as a scenario writes it. */
  private static final Pattern ORDER = Pattern.compile("\"order\"\\s*:");

  private static final String OVER =
      "The run is over. Go back to the start, or load another scenario.";

  private final Stage stage;
  private final Together together;
  private final RealTimeDriver driver;
  private final BenchSeat seat;
  private final BenchVoice voice;

  /**
   * The desk of one site.
   *
   * @param together all sites of the run, this one among them
   */
  BenchDesk(
      Stage stage, Together together, RealTimeDriver driver, BenchSeat seat, BenchVoice voice) {
    this.stage = stage;
    this.together = together;
    this.driver = driver;
    this.seat = seat;
    this.voice = voice;
  }

  /** Takes a message on the bench's command topic. */
  void take(Message message) {
    BenchCommand command;
    try {
      command = BenchCommand.LAYOUT.decode(message.payload());
    } catch (MalformedException e) {
      boolean order = ORDER.matcher(message.text()).find();
      answer(message, 0, order ? refused(String.valueOf(e.getMessage())) : event(message.text()));
      return;
    }
    answer(message, command.seq(), outcome(command));
  }

  private static Together.Outcome refused(String reason) {
    return new Together.Outcome(Optional.of(reason), "");
  }

  private void answer(Message message, long seq, Together.Outcome outcome) {
    outcome.refusal().ifPresent(reason -> stage.note("bench", "refused", "", "", reason));
    voice.answer(
        message,
        seq,
        outcome.refusal().isPresent() ? AckResult.REFUSED : AckResult.DONE,
        outcome.refusal().orElse(outcome.remark()));
  }

  private Together.Outcome outcome(BenchCommand command) {
    return command.order() == BenchOrder.EVENT
        ? event(command.text())
        : new Together.Outcome(obey(command), "");
  }

  /** Why not, in a sentence; empty when it is done. */
  private Optional<String> obey(BenchCommand command) {
    return switch (command.order()) {
      case PAUSE -> pause();
      case GO_ON -> goOn();
      case STEP -> step();
      case SPEED -> speed(command.number());
      case BACK -> another(seat.scenario());
      case LOAD -> another(command.text());
      case BOOKMARK -> bookmark(command.text());
      case EVENT -> event(command.text()).refusal();
      case END -> end(command.number());
      case RESTORE -> restore();
    };
  }

  private Optional<String> pause() {
    if (driver.ended()) {
      return Optional.of(OVER);
    }
    driver.pause();
    together.stands(RunState.PAUSED);
    return Optional.empty();
  }

  private Optional<String> goOn() {
    if (driver.ended()) {
      return Optional.of(OVER);
    }
    driver.goOn();
    together.stands(RunState.RUNNING);
    return Optional.empty();
  }

  private Optional<String> step() {
    if (driver.ended()) {
      return Optional.of(OVER);
    }
    driver.step(together.nextScan());
    return Optional.empty();
  }

  private Optional<String> speed(double wanted) {
    if (!(wanted >= LOWEST_SPEED && wanted <= HIGHEST_SPEED)) {
      return Optional.of(
          "Found a speed of "
              + Decimal.text(wanted, 3)
              + "; allowed is "
              + Decimal.text(LOWEST_SPEED, 2)
              + " to "
              + Decimal.text(HIGHEST_SPEED, 0)
              + ".");
    }
    driver.speed(wanted);
    together.tellState();
    return Optional.empty();
  }

  private Optional<String> another(String scenario) {
    Optional<String> refusal = seat.wishes().another(scenario, driver.speed());
    if (refusal.isEmpty()) {
      together.stands(RunState.CHANGING);
      driver.stop();
    }
    return refusal;
  }

  private Optional<String> bookmark(String words) {
    if (words.isBlank() || words.length() > LONGEST_BOOKMARK) {
      return Optional.of(
          "Found a bookmark of "
              + words.length()
              + " characters; allowed are 1 to "
              + LONGEST_BOOKMARK
              + ".");
    }
    together.bookmark(words);
    return Optional.empty();
  }

  private Together.Outcome event(String text) {
    if (driver.ended()) {
      return refused(OVER);
    }
    Together.Outcome outcome = together.event(stage, text);
    if (outcome.refusal().isEmpty()) {
      together.tellState(); // which faults stand is news
    }
    return outcome;
  }

  /** Ends a fault of this site; each counts its own. */
  private Optional<String> end(double number) {
    if (driver.ended()) {
      return Optional.of(OVER);
    }
    Optional<String> refusal = stage.endFault(Math.round(number));
    if (refusal.isEmpty()) {
      voice.tellState();
    }
    return refusal;
  }

  private Optional<String> restore() {
    if (driver.ended()) {
      return Optional.of(OVER);
    }
    together.restore();
    together.tellState();
    return Optional.empty();
  }
}
