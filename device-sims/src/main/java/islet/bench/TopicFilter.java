package islet.bench;

/**
 * An MQTT topic filter, cut into its levels once.
 *
 * <p>OASIS MQTT Version 5.0, 4.7.1 (wildcards) and 4.7.2 (topics beginning with a dollar sign);
 * section numbers from memory.
 */
public final class TopicFilter {

  private static final String ANY_LEVEL = "+";
  private static final String ALL_BELOW = "#";

  private final String[] levels;
  private final boolean wildAtFront;

  /**
   * Reads a filter.
   *
   * @throws IllegalArgumentException when a wildcard stands where it may not, or the filter is
   *     empty
   */
  public TopicFilter(String filter) {
    check(filter);
    levels = levelsOf(filter);
    wildAtFront = levels[0].equals(ANY_LEVEL) || levels[0].equals(ALL_BELOW);
  }

  /**
   * Refuses what is no filter (4.7.1.2, 4.7.1.3, 4.7.3).
   *
   * @throws IllegalArgumentException with a sentence
   */
  static void check(String filter) {
    if (filter.isEmpty()) {
      throw new IllegalArgumentException(
          "A topic filter is empty; it needs at least one character.");
    }
    String[] levels = levelsOf(filter);
    for (int i = 0; i < levels.length; i++) {
      checkLevel(filter, levels[i], i == levels.length - 1);
    }
  }

  private static void checkLevel(String filter, String level, boolean last) {
    boolean misplacedPlus = level.contains(ANY_LEVEL) && level.length() > 1;
    boolean misplacedHash = level.contains(ALL_BELOW) && (level.length() > 1 || !last);
    if (misplacedPlus || misplacedHash) {
      throw new IllegalArgumentException(
          "The topic filter \""
              + filter
              + "\" has a wildcard in the level \""
              + level
              + "\". A + must be a whole level; a # must be the whole last level.");
    }
  }

  /** Refuses a topic name that no message may have (4.7.1-1: no wildcards; 4.7.3-1: not empty). */
  static void checkName(String topic) {
    if (topic.isEmpty() || topic.contains(ANY_LEVEL) || topic.contains(ALL_BELOW)) {
      throw new IllegalArgumentException(
          "A message was to be published to \""
              + topic
              + "\". A topic name has at least one character and no + or #.");
    }
  }

  /** Whether a topic name, given by its levels, is covered. */
  public boolean matches(String[] topic) {
    if (wildAtFront && topic[0].startsWith("$")) {
      return false;
    }
    for (int i = 0; i < levels.length; i++) {
      if (levels[i].equals(ALL_BELOW)) {
        return true;
      }
      if (i == topic.length || !(levels[i].equals(ANY_LEVEL) || levels[i].equals(topic[i]))) {
        return false;
      }
    }
    return levels.length == topic.length;
  }

  /** The levels of a topic name. */
  public static String[] levelsOf(String topic) {
    return topic.split("/", -1);
  }
}
