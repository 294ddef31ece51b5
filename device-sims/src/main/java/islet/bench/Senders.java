package islet.bench;

import islet.contract.Device;
import java.util.Arrays;

/**
 * Who has sent the commands that are under way. A command is known again by its payload, which a
 * broker hands on as it is; of one that was altered on its way, or whose sender the wire does not
 * tell, nobody is the sender.
 */
final class Senders {

  /** Commands remembered for each device; more than can be under way at once. */
  private static final int REMEMBERED = 64;

  private static final int DEVICES = Device.values().length;

  private final byte[][] payloads = new byte[DEVICES * REMEMBERED][];
  private final String[] froms = new String[DEVICES * REMEMBERED];
  private final int[] next = new int[DEVICES];

  Senders() {
    Arrays.fill(payloads, new byte[0]);
    Arrays.fill(froms, "");
  }

  /** A command has reached the broker. */
  void sent(Device device, String from, byte[] payload) {
    if (from.isEmpty()) {
      return;
    }
    int d = device.ordinal();
    int place = d * REMEMBERED + next[d];
    payloads[place] = payload;
    froms[place] = from;
    next[d] = next[d] + 1 & REMEMBERED - 1;
  }

  /** The client id of a delivered command's sender; empty when nobody knows. */
  String of(Device device, byte[] payload) {
    int d = device.ordinal();
    for (int back = 1; back <= REMEMBERED; back++) {
      int place = d * REMEMBERED + (next[d] - back & REMEMBERED - 1);
      if (payloads[place] == payload) {
        return froms[place];
      }
    }
    return "";
  }
}
