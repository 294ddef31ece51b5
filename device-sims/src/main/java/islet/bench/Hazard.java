package islet.bench;

import java.util.Optional;

/**
 * One thing that must never happen, judged on the plant's truth and the wire with a margin. Each
 * states its bounds and where they come from.
 */
interface Hazard extends Witness {

  /** As in the scenario's {@code waive:}. */
  String id();

  /** In a few words, for people. */
  String title();

  /** What it came to, after {@link Witness#finish}. */
  Finding finding();

  /**
   * How far it is from being violated at an instant, by what has been judged until then; changes
   * nothing of that. It makes sentences, so it is for whoever looks on, not for each step.
   *
   * @param micros no earlier than anything it has been told
   * @return empty while nothing is so that could violate it
   */
  Optional<Distance> distance(long micros);
}
