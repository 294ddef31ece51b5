package islet.contract;

import java.util.ArrayDeque;
import java.util.HashMap;
import java.util.Map;
import java.util.function.Consumer;

/**
 * Messages that wait for one listener, in the order of their coming. It is bounded as a whole and
 * for each topic, so that a flood on one topic does not push out the others. Safe for several
 * threads; nobody waits in it.
 *
 * <p>When a topic is full: of what tells how things are (telemetry, state, presence) the newest
 * counts and the oldest that waits gives way; of everything else (commands, answers, events,
 * alarms) what has come stays and the newcomer is refused.
 */
public final class Mailbox {

  /** What became of a message. */
  public enum Fate {
    /** It waits. */
    TAKEN,
    /** It waits in the place of an older one of its topic, which is gone. */
    TAKEN_FOR_AN_OLDER,
    /** It is gone. */
    REFUSED
  }

  /** A message between its neighbours in the order of coming. */
  private static final class Slot {
    final Message message;
    Slot before = this;
    Slot after = this;

    Slot(Message message) {
      this.message = message;
    }
  }

  private final int mostOfTopic;
  private final int most;
  private final Slot ends = new Slot(Message.of("", new byte[0], 0, false));
  private final Map<String, ArrayDeque<Slot>> byTopic = new HashMap<>();
  private int size;

  /**
   * An empty mailbox.
   *
   * @param mostOfTopic messages of one topic that may wait, 1 or more
   * @param most messages that may wait in all, 1 or more
   */
  public Mailbox(int mostOfTopic, int most) {
    this.mostOfTopic = mostOfTopic;
    this.most = most;
  }

  /** Puts a message in if it may. */
  public synchronized Fate put(Message message) {
    ArrayDeque<Slot> same = byTopic.computeIfAbsent(message.topic(), topic -> new ArrayDeque<>(2));
    boolean full = same.size() >= mostOfTopic || size >= most;
    if (!full) {
      append(new Slot(message), same);
      return Fate.TAKEN;
    }
    if (!same.isEmpty() && Topics.newestCounts(message.topic())) {
      unlink(same.remove());
      append(new Slot(message), same);
      return Fate.TAKEN_FOR_AN_OLDER;
    }
    if (same.isEmpty()) {
      byTopic.remove(message.topic());
    }
    return Fate.REFUSED;
  }

  private void append(Slot slot, ArrayDeque<Slot> same) {
    slot.before = ends.before;
    slot.after = ends;
    ends.before.after = slot;
    ends.before = slot;
    same.add(slot);
    size++;
  }

  private void unlink(Slot slot) {
    slot.before.after = slot.after;
    slot.after.before = slot.before;
    size--;
  }

  /**
   * Hands out the message that has waited longest.
   *
   * @return whether there was one
   */
  public boolean deliver(Consumer<Message> to) {
    Message first;
    synchronized (this) {
      if (size == 0) {
        return false;
      }
      Slot slot = ends.after;
      unlink(slot);
      first = slot.message;
      ArrayDeque<Slot> same = byTopic.get(first.topic());
      if (same != null) {
        same.remove();
        if (same.isEmpty()) {
          byTopic.remove(first.topic());
        }
      }
    }
    to.accept(first);
    return true;
  }

  /** How many messages wait. */
  public synchronized int size() {
    return size;
  }
}
