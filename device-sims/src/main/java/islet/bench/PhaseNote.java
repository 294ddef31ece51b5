package islet.bench;

import islet.control.Phase;
import islet.site.Site;

/**
 * What a step of the mode machine is and how long it may take: for people, beside the code.
 *
 * @param meaning a sentence
 * @param limit the setting that limits it; empty for a step to stay in
 */
public record PhaseNote(String meaning, String limit) {

  /** The note to a step. */
  public static PhaseNote of(Phase phase) {
    return switch (phase) {
      case LISTEN ->
          new PhaseNote(
              "Listening until every device has reported. After half of the time it goes on without"
                  + " those that only charge, and without an inverter or a meter for which the others"
                  + " speak. Nothing is ordered; when the time is over, alarm START_TIMEOUT rings, and"
                  + " the listening goes on.",
              "supervision.timeouts.start");
      case CONNECTED ->
          new PhaseNote(
              "The tie is closed and the utility carries the panels; the inverter follows it.", "");
      case UNLOAD_TIE ->
          new PhaseNote(
              "Before a planned opening the inverter takes over the panel's power, so that the tie"
                  + " carries none.",
              "supervision.timeouts.unload");
      case OPEN_TIE ->
          new PhaseNote(
              "The tie is told to open, and its opening is being proven.",
              "supervision.timeouts.open");
      case FORM ->
          new PhaseNote(
              "The tie is proven open, and the inverter is told to form.",
              "supervision.timeouts.form");
      case CARRY -> new PhaseNote("The inverter carries the emergency panel.", "");
      case SYNCHRONISE ->
          new PhaseNote(
              "The inverter steers the island onto the utility's voltage, frequency and angle.",
              "supervision.timeouts.synchronise");
      case CLOSE_TIE ->
          new PhaseNote("In step; the tie is told to close.", "supervision.timeouts.close");
      case CLOSE_ON_DEAD_PANEL ->
          new PhaseNote(
              "The emergency panel is dead; the tie is told to close onto it.",
              "supervision.timeouts.close");
      case UNSUPPLIED ->
          new PhaseNote("Nothing carries the emergency panel; tie open, inverter off.", "");
      case WAIT_FOR_PERSON ->
          new PhaseNote("A person must look; the inverter is off until somebody resets.", "");
    };
  }

  /** The longest that a step may take, s; 0 for a step to stay in. */
  public static double limitS(Phase phase, Site.Timeouts timeouts) {
    return switch (phase) {
      case LISTEN -> timeouts.startS();
      case UNLOAD_TIE -> timeouts.unloadS();
      case OPEN_TIE -> timeouts.openS();
      case FORM -> timeouts.formS();
      case SYNCHRONISE -> timeouts.synchroniseS();
      case CLOSE_TIE, CLOSE_ON_DEAD_PANEL -> timeouts.closeS();
      case CONNECTED, CARRY, UNSUPPLIED, WAIT_FOR_PERSON -> 0;
    };
  }
}
