package islet.bench;

import islet.contract.AlarmId;
import islet.contract.AlarmPriority;
import islet.contract.Forced;
import islet.contract.OperatorOrder;
import java.util.Arrays;
import java.util.List;

/**
 * What an operator's order asks and what it needs: for people, beside the code. The supervisor
 * itself judges each order; a test gives it every order as this describes it.
 *
 * @param meaning in words that go on after a dash
 * @param key whether the order needs a key
 * @param keyMeaning what the key says; empty where there is none
 * @param keys the keys that there are; empty for any word
 * @param longestS the longest time that may be asked for; 0 where none is asked for
 * @param usualS a time to begin with, invented; 0 where none is asked for
 * @param grave whether a person should be asked twice, since it moves the site or takes a
 *     protection away
 */
public record OrderNote(
    String meaning,
    Key key,
    String keyMeaning,
    List<String> keys,
    double longestS,
    double usualS,
    boolean grave) {
  public OrderNote {
    keys = List.copyOf(keys);
  }

  /** Whether an order needs a key. */
  public enum Key {
    REQUIRED,
    OPTIONAL,
    NONE
  }

  private static final double HOUR_S = 3_600;

  private static final List<String> ALARMS =
      Arrays.stream(AlarmId.values()).map(AlarmId::name).toList();

  /** What threatens people or the supply is not put out of sight. */
  private static final List<String> SHELVABLE =
      Arrays.stream(AlarmId.values())
          .filter(id -> id.priority() != AlarmPriority.HIGH)
          .map(AlarmId::name)
          .toList();

  private static final List<String> FORCED =
      Arrays.stream(Forced.values()).map(Forced::name).toList();

  /** The note to an order. */
  public static OrderNote of(OperatorOrder order) {
    return switch (order) {
      case ISLAND -> plain("leave the utility in good order and stay away", true);
      case RECONNECT ->
          plain(
              "take back the wish to stay away; under manual authority also: go back, or start, now",
              true);
      case HOLD ->
          keyed(
              "hang a padlock: nothing closes the tie until the same key takes it off",
              "whose padlock",
              false);
      case RELEASE -> keyed("take a padlock off", "whose padlock", true);
      case ACKNOWLEDGE ->
          new OrderNote(
              "the alarm has been seen; without a key all of them",
              Key.OPTIONAL,
              "which alarm",
              ALARMS,
              0,
              0,
              false);
      case RESET -> plain("leave HELD and start again from what the field says", true);
      case SHELVE ->
          new OrderNote(
              "put an alarm aside for a time",
              Key.REQUIRED,
              "which alarm",
              SHELVABLE,
              8 * HOUR_S,
              HOUR_S,
              false);
      case UNSHELVE ->
          new OrderNote(
              "take an alarm off the shelf", Key.REQUIRED, "which alarm", SHELVABLE, 0, 0, false);
      case OVERRIDE ->
          new OrderNote(
              "force something for a time; the interlocks hold all the same",
              Key.REQUIRED,
              "what is forced",
              FORCED,
              24 * HOUR_S,
              HOUR_S,
              true);
      case END_OVERRIDE ->
          new OrderNote(
              "end what is forced; without a key all of it",
              Key.OPTIONAL,
              "what is forced",
              FORCED,
              0,
              0,
              false);
      case AUTO -> plain("let the supervisor begin everything by itself", true);
      case MANUAL -> plain("let a person begin what is not urgent", true);
      case EQUALISE ->
          plain("give a flooded bank an equalising charge after its next full charge", true);
      case WARN ->
          new OrderNote(
              "warn of something for a time, such as a storm: the reserve goes up",
              Key.REQUIRED,
              "what of, in a word",
              List.of(),
              7 * 24 * HOUR_S,
              6 * HOUR_S,
              false);
      case ALL_CLEAR ->
          new OrderNote(
              "take a warning back; without a key all of them",
              Key.OPTIONAL,
              "what of, in a word",
              List.of(),
              0,
              0,
              false);
    };
  }

  private static OrderNote plain(String meaning, boolean grave) {
    return new OrderNote(meaning, Key.NONE, "", List.of(), 0, 0, grave);
  }

  private static OrderNote keyed(String meaning, String keyMeaning, boolean grave) {
    return new OrderNote(meaning, Key.REQUIRED, keyMeaning, List.of(), 0, 0, grave);
  }
}
