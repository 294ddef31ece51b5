package islet.control;

/**
 * What takes time before a line of the mode machine's table can be taken. {@link Situation} counts
 * each, the conditions of the lines ask these counts, and whoever looks on is shown the same.
 */
public enum Wait {
  /** Somebody has not reported; then it goes on without those that can be done without. */
  REPORTS,
  /** The tie says closed, and its two sides differ. */
  SIDES_DIFFER,
  /** The inverter is heard, and no device gives a battery voltage. */
  BLIND,
  /** The same: so long the step itself must have lasted. */
  BLIND_IN_STEP,
  /** The utility is beyond a limit of the profile; the one that is due first. */
  CLEARING,
  /** An operator asks to leave, and power still rises after a return. */
  RAMP,
  /** The tie carries nothing. */
  UNLOADED,
  /** The longest that unloading the tie may take. */
  UNLOAD,
  /** The longest that opening the tie may take. */
  OPEN,
  /** That is over, and the tie has told nothing of the time since. */
  OPEN_WORD,
  /** The longest that the inverter may take to form. */
  FORM,
  /** That is over, and the order may not have come. */
  FORM_WORD,
  /** The inverter forms no longer. */
  NOT_FORMING,
  /** The same: so long the step itself must have lasted. */
  NOT_FORMING_IN_STEP,
  /** The panel lives behind an open tie, and the inverter says that it forms nothing. */
  UNCARRIED,
  /** The inverter says that it forms behind a closed tie. */
  FORMS_BEHIND,
  /** The battery's voltage is at its disconnect voltage. */
  LOW,
  /** The utility has been in the enter-service band. */
  BAND,
  /** The pause before the next try. */
  RETRY,
  /** The island is in step with the utility. */
  IN_STEP,
  /** The longest that coming into step may take. */
  SYNCHRONISE,
  /** The longest that closing the tie may take. */
  CLOSE,
  /** That is over, and the tie, or the inverter, has told nothing of the time since. */
  CLOSE_WORD,
  /** The inverter is silent: an order to form may still have been on its way to it. */
  IDLE
}
