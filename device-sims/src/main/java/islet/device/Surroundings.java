package islet.device;

/**
 * What a device asks of whoever runs it: one source of time, and a call when something has changed.
 */
public interface Surroundings {

  /** The present instant, microseconds since 1970. */
  long now();

  /** A device has new orders; let the devices run at the present instant, soon. */
  void stir();

  /** Something worth a line in the sequence of events. */
  void note(String source, String kind, String from, String to, String reason);
}
