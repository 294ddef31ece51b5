package islet.bench;

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
}
