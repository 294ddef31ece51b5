package islet.contract;

/** What a person asks of the bench in a live run; nothing of it exists at a real site. */
public enum BenchOrder {
  /** Let site time stand still. */
  PAUSE,
  /** Let site time go on. */
  GO_ON,
  /** Let one scan of the supervisor pass, then stand still. */
  STEP,
  /** Let site time run so many times as fast as the wall's. */
  SPEED,
  /** Begin the same run anew. */
  BACK,
  /** Begin another run, of the scenario that the text names. */
  LOAD,
  /** Put the text into the sequence of events. */
  BOOKMARK,
  /** Let the event in the text happen now. */
  EVENT,
  /** End the fault that the number names. */
  END,
  /** Let utility, sky and loads be as they should, and end every fault begun by {@link #EVENT}. */
  RESTORE
}
