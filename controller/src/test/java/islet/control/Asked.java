package islet.control;

/**
 * Of which times a scan asks how long they have lasted. Where it does not ask, it goes the same way
 * whether or not they have run out, and an {@link Exploration} need not try both. It concerns only
 * times of which {@link StateCode} keeps nothing: before the next scan each may have run out anew,
 * so that nothing later hangs on what was not tried here either.
 */
@FunctionalInterface
interface Asked {

  /** Every time in every scan, as if nothing were known of the code. */
  Asked EVERYTHING = (time, before, says) -> true;

  /**
   * What can be read off {@link Situation} and {@link ModeTable}. An exploration does not take its
   * word for it: in some of its states it tries everything, and fails where that goes another way.
   */
  Asked BY_THE_CODE = Asked::byTheCode;

  /**
   * Whether it is asked how long a time has lasted.
   *
   * @param time the name under which it is remembered
   * @param before the phase in which the scan begins
   * @param says what the devices say in it
   */
  boolean asks(String time, Phase before, Field says);

  private static boolean byTheCode(String time, Phase before, Field says) {
    return switch (time) {
      // Only inStep asks, in a line of SYNCHRONISE.
      case "in step" -> before == Phase.SYNCHRONISE;
      // Only notFormingForLong asks, in a line of CARRY.
      case "not forming" -> before == Phase.CARRY;
      // Only tieUnloaded asks, in a line of UNLOAD_TIE.
      case "unloaded" -> before == Phase.UNLOAD_TIE;
      // Only contactLies asks, in a line each of LISTEN, CONNECTED and UNSUPPLIED.
      case "sides differ" ->
          before == Phase.LISTEN || before == Phase.CONNECTED || before == Phase.UNSUPPLIED;
      // Only doubtfulTie and formsBehindClosedTie ask, of an inverter that is heard to form; one
      // that is heard not to form sets the former back before anybody asks.
      case "formed", "closed" -> says.forming() && Field.heard(says.inverterAge);
      // Only saidTogetherMicros asks, once the panel has lived for some time; and here what has
      // run out has lasted for ever, longer than any slow link, so that its answer changes nothing.
      case "open", "denied" -> false;
      default -> true;
    };
  }
}
