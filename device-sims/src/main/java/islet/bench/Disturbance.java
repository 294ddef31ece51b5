package islet.bench;

/**
 * What a fault does to the messages of a link, decided once for each message as it is put on the
 * link. Chance is seeded: the same seed and the same traffic give the same fates.
 */
@FunctionalInterface
public interface Disturbance {

  /** A healthy link. */
  Disturbance NONE = (fate, toBroker) -> {};

  /**
   * Decides about one message.
   *
   * @param fate the message and what is to become of it
   * @param toBroker {@code true} on the way from the client to the broker
   */
  void pass(Fate fate, boolean toBroker);

  /** This disturbance and then another. */
  default Disturbance and(Disturbance other) {
    return (fate, toBroker) -> {
      pass(fate, toBroker);
      other.pass(fate, toBroker);
    };
  }

  /**
   * Loses messages. A lost QoS 1 message to a client stays unacknowledged and comes again after the
   * next reconnection, never before (OASIS MQTT 5.0, 4.4, from memory).
   *
   * @param share of all messages, 0 to 1
   */
  static Disturbance loss(double share, long seed) {
    SplitMix chance = new SplitMix(seed);
    return (fate, toBroker) -> {
      if (chance.fraction() < share) {
        fate.lose();
      }
    };
  }

  /**
   * Holds every message up by the same time.
   *
   * @param micros 0 or more µs
   */
  static Disturbance delay(long micros) {
    return (fate, toBroker) -> fate.delay(micros);
  }

  /**
   * Holds every message up by a time of its own, evenly spread; order is kept.
   *
   * @param mostMicros the longest time in µs, 0 or more
   */
  static Disturbance jitter(long mostMicros, long seed) {
    SplitMix chance = new SplitMix(seed);
    return (fate, toBroker) -> fate.delay(chance.below(mostMicros + 1));
  }

  /**
   * Sends messages twice.
   *
   * @param share of all messages, 0 to 1
   */
  static Disturbance duplicate(double share, long seed) {
    SplitMix chance = new SplitMix(seed);
    return (fate, toBroker) -> {
      if (chance.fraction() < share) {
        fate.duplicate();
      }
    };
  }

  /**
   * Lets messages be overtaken.
   *
   * @param share of all messages, 0 to 1
   * @param micros how much later those arrive, µs
   */
  static Disturbance later(double share, long micros, long seed) {
    SplitMix chance = new SplitMix(seed);
    return (fate, toBroker) -> {
      if (chance.fraction() < share) {
        fate.later(micros);
      }
    };
  }
}
