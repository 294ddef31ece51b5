package islet.bench;

import islet.contract.Message;
import java.util.Arrays;

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

  /**
   * Damages payloads: one half is cut short, of the other half one byte is another. What is empty
   * has nothing to be damaged.
   *
   * @param share of all messages, 0 to 1
   */
  static Disturbance corrupt(double share, long seed) {
    SplitMix chance = new SplitMix(seed);
    return (fate, toBroker) -> {
      boolean hit = chance.fraction() < share;
      boolean cut = chance.fraction() < 0.5;
      long where = chance.next() >>> 1;
      int length = fate.message().payload().length;
      if (hit && length > 0) {
        int at = (int) (where % length);
        byte[] payload = Arrays.copyOf(fate.message().payload(), cut ? at : length);
        if (!cut) {
          payload[at] ^= (byte) (1 + (where >>> 32) % 255);
        }
        fate.replace(damaged(fate.message(), payload));
      }
    };
  }

  private static Message damaged(Message whole, byte[] payload) {
    return new Message(
        whole.topic(),
        payload,
        whole.qos(),
        whole.retain(),
        whole.expirySeconds(),
        whole.responseTopic(),
        whole.correlation());
  }
}
