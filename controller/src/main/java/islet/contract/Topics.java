package islet.contract;

/** The topics of one site: {@code islet/v1/{site}/{device}/{kind}}. */
public final class Topics {

  private static final String ROOT = "islet/v1/";

  private final String[][] names = new String[Device.values().length][Kind.values().length];
  private final String site;

  /** The topics of the site with this id (lower-case letters, digits, hyphens). */
  public Topics(String site) {
    this.site = site;
    for (Device device : Device.values()) {
      for (Kind kind : Kind.values()) {
        names[device.ordinal()][kind.ordinal()] =
            ROOT + site + "/" + device.segment() + "/" + kind.segment();
      }
    }
  }

  /** The topic of a device's messages of one kind. */
  public String of(Device device, Kind kind) {
    return names[device.ordinal()][kind.ordinal()];
  }

  /** A filter for all messages of the site. */
  public String everything() {
    return ROOT + site + "/#";
  }

  /** A filter for one kind of message of every device. */
  public String fromAll(Kind kind) {
    return ROOT + site + "/+/" + kind.segment();
  }

  /**
   * Whether a topic tells how things are, so that a newer message makes an older one worthless:
   * telemetry, state and presence. Commands, answers, events and alarms are each worth something.
   */
  static boolean newestCounts(String topic) {
    String kind = topic.substring(topic.lastIndexOf('/') + 1);
    return kind.equals(Kind.TELEMETRY.segment())
        || kind.equals(Kind.STATE.segment())
        || kind.equals(Kind.ONLINE.segment());
  }

  /** The message that the broker publishes for a device that is lost without farewell. */
  public Message will(Device device) {
    return Message.of(
        of(device, Kind.ONLINE), Online.LAYOUT.encode(new Online(0, 0, false)), 1, true);
  }
}
