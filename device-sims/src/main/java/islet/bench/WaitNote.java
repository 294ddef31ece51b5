package islet.bench;

import islet.control.Wait;

/**
 * What counts before a row of the mode machine can be taken: for people, beside the code.
 *
 * @param what in a few words, to stand before the time that has passed
 * @param limit where the time in all comes from: a setting of the site, or a figure of the
 *     supervisor's own
 */
public record WaitNote(String what, String limit) {

  private static final String COMMON = " (common practice)";

  /** The note to what counts. */
  public static WaitNote of(Wait wait) {
    return switch (wait) {
      case REPORTS ->
          new WaitNote(
              "a report is missing; then on without", "half of supervision.timeouts.start");
      case SIDES_DIFFER -> new WaitNote("the two sides differ", "1 s");
      case BLIND -> new WaitNote("no battery voltage", "5 s, five reports" + COMMON);
      case BLIND_IN_STEP ->
          new WaitNote("no battery voltage, and the step lasts", "supervision.timeouts.start");
      case CLEARING ->
          new WaitNote("beyond a limit", "the clearing time of the profile that is over first");
      case RAMP -> new WaitNote("power still rises after the return", "the profile's ramp");
      case UNLOADED -> new WaitNote("the tie carries nothing", "1 s, a report of each");
      case UNLOAD -> new WaitNote("unloading", "supervision.timeouts.unload");
      case OPEN -> new WaitNote("opening", "supervision.timeouts.open");
      case OPEN_WORD ->
          new WaitNote("no word of the tie since", "the same and supervision.linkTimeout");
      case FORM -> new WaitNote("forming", "supervision.timeouts.form");
      case FORM_WORD ->
          new WaitNote("the order may not have come", "the same and supervision.linkTimeout");
      case NOT_FORMING -> new WaitNote("the inverter forms no longer", "supervision.timeouts.form");
      case NOT_FORMING_IN_STEP ->
          new WaitNote("it forms no longer, and the step lasts", "supervision.timeouts.form");
      case UNCARRIED -> new WaitNote("live, and nobody says that he carries it", "1 s");
      case FORMS_BEHIND -> new WaitNote("closed, and the inverter says that it forms", "0.5 s");
      case LOW -> new WaitNote("at the disconnect voltage", "30 s" + COMMON);
      case BAND -> new WaitNote("the utility is in band", "the profile's enter-service delay");
      case RETRY ->
          new WaitNote(
              "pause before the next try",
              "30 s; half of supervision.linkTimeout after a lost order");
      case IN_STEP -> new WaitNote("in step", "0.3 s");
      case SYNCHRONISE -> new WaitNote("coming into step", "supervision.timeouts.synchronise");
      case CLOSE -> new WaitNote("closing", "supervision.timeouts.close");
      case CLOSE_WORD -> new WaitNote("no word since", "the same and supervision.linkTimeout");
      case IDLE ->
          new WaitNote(
              "an order to form may still be under way",
              "supervision.commandLifetime and what clocks may differ");
    };
  }
}
