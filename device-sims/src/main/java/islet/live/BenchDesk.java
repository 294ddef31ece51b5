package islet.live;

import islet.bench.Stage;
import islet.contract.AckResult;
import islet.contract.BenchCommand;
import islet.contract.Decimal;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.RunState;
import java.util.Optional;
import java.util.regex.Pattern;

/**
 * Takes what people ask of the bench in a live run, and answers each with what became of it. All of
 * it happens on the run's own thread between two works of the simulation, also while time stands
 * still, so that no scan is ever cut in two.
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
  private final RealTimeDriver driver;
  private final BenchSeat seat;
  private final BenchVoice voice;

  BenchDesk(Stage stage, RealTimeDriver driver, BenchSeat seat, BenchVoice voice) {
    this.stage = stage;
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
      Optional<String> refusal =
          ORDER.matcher(message.text()).find()
              ? Optional.of(String.valueOf(e.getMessage()))
              : event(message.text());
      answer(message, 0, refusal);
      return;
    }
    answer(message, command.seq(), obey(command));
  }

  private void answer(Message message, long seq, Optional<String> refusal) {
    refusal.ifPresent(reason -> stage.note("bench", "refused", "", "", reason));
    voice.answer(
        message, seq, refusal.isPresent() ? AckResult.REFUSED : AckResult.DONE, refusal.orElse(""));
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
      case EVENT -> event(command.text());
      case END -> end(command.number());
      case RESTORE -> restore();
    };
  }

  private Optional<String> pause() {
    if (driver.ended()) {
      return Optional.of(OVER);
    }
    driver.pause();
    voice.stands(RunState.PAUSED);
    return Optional.empty();
  }

  private Optional<String> goOn() {
    if (driver.ended()) {
      return Optional.of(OVER);
    }
    driver.goOn();
    voice.stands(RunState.RUNNING);
    return Optional.empty();
  }

  private Optional<String> step() {
    if (driver.ended()) {
      return Optional.of(OVER);
    }
    driver.step(stage.nextScan());
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
    voice.tellState();
    return Optional.empty();
  }

  private Optional<String> another(String scenario) {
    Optional<String> refusal = seat.wishes().another(scenario, driver.speed());
    if (refusal.isEmpty()) {
      voice.stands(RunState.CHANGING);
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
    stage.note("bench", "bookmark", "", words, "");
    voice.bookmarked(words);
    return Optional.empty();
  }

  private Optional<String> event(String text) {
    return driver.ended() ? Optional.of(OVER) : told(stage.takeEvent(text));
  }

  private Optional<String> end(double number) {
    return driver.ended() ? Optional.of(OVER) : told(stage.endFault(Math.round(number)));
  }

  /** Which faults stand is news. */
  private Optional<String> told(Optional<String> refusal) {
    if (refusal.isEmpty()) {
      voice.tellState();
    }
    return refusal;
  }

  private Optional<String> restore() {
    if (driver.ended()) {
      return Optional.of(OVER);
    }
    stage.restore();
    voice.tellState();
    return Optional.empty();
  }
}
