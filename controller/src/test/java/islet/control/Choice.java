package islet.control;

import java.util.Map;

/**
 * What an exploration may put before one scan.
 *
 * @param says it in words
 * @param field what the devices say
 * @param memory fields of the supervisor's memory that are chosen anew before each scan, where they
 *     differ from the usual; real numbers as their bits
 * @param oddities how many things in it are out of the ordinary
 */
record Choice(String says, Field field, Map<String, Long> memory, int oddities) {
  Choice {
    memory = Map.copyOf(memory);
  }
}
