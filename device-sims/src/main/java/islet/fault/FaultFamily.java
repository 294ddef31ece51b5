package islet.fault;

/** Where a fault comes from; faults of the utility are events of their own. */
public enum FaultFamily {
  /** The way of messages between a party and the broker, and the broker. */
  LINK("Links and broker"),
  /** What a device measures. */
  SENSOR("Sensors"),
  /** What a device moves. */
  ACTUATOR("Actuators"),
  /** The battery and its contactor. */
  BATTERY("Battery"),
  /** The supervisor's process. */
  SUPERVISOR("Supervisor"),
  /** What a person did or forgot. */
  OPERATOR("Operator");

  private final String title;

  FaultFamily(String title) {
    this.title = title;
  }

  /** Its name for people. */
  public String title() {
    return title;
  }
}
