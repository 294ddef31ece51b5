package islet.contract;

/** The alarms, each with what it means, what follows and what to do. One alarm for one cause. */
public enum AlarmId {
  TIE_NOT_OPEN(
      AlarmPriority.HIGH,
      "The tie was told to open and its contact still says closed.",
      "No island can be formed; the emergency panel stays on whatever the utility gives.",
      "Treat both sides as live. Lock out the utility and the battery before anybody works on the tie; have the contact tested."),
  TIE_NOT_CLOSED(
      AlarmPriority.MEDIUM,
      "The tie was told to close and its contact still says open.",
      "The site stays on its battery.",
      "Look for a hold, a tripped coil supply or a refused sync check."),
  TIE_DOUBTFUL(
      AlarmPriority.HIGH,
      "What the tie's contact says and the voltages on its two sides contradict each other.",
      "A line or panel that should be dead may be live.",
      "Keep everybody away from the line. Open the utility disconnect by hand and lock it out."),
  SWITCH_BY_HAND(
      AlarmPriority.HIGH,
      "The utility is gone and the changeover switch stands on its side.",
      "The loads are dead until somebody moves the switch.",
      "Look whether the inverter runs, then move the switch to its side. Treat both sides of the switch as live."),
  INVERTER_NOT_FORMING(
      AlarmPriority.HIGH,
      "The inverter was told to form the island and did not.",
      "The emergency panel is dead.",
      "Read the inverter's trip; reduce load; start again."),
  INVERTER_TRIPPED(
      AlarmPriority.HIGH,
      "The inverter stopped by its own protection.",
      "The emergency panel is dead unless the utility carries it.",
      "Read the trip cause; remove the overload or let the battery recover."),
  BATTERY_LOW(
      AlarmPriority.HIGH,
      "The battery has reached its floor.",
      "Loads are shed, and at the floor the emergency panel goes dead.",
      "Reduce load or start another source."),
  BATTERY_COLD_OR_HOT(
      AlarmPriority.MEDIUM,
      "The battery is outside its temperature limits for charging.",
      "It is not charged.",
      "Look to the room's heating and ventilation."),
  BATTERY_CONTACTOR_OPEN(
      AlarmPriority.HIGH,
      "The battery's management unit has opened its contactor.",
      "Without sun or utility nothing carries the loads.",
      "Read the unit's cause. Treat both sides of the contactor as live. It closes by itself when the cause has gone; a battery that ran empty needs a charger."),
  SENSORS_DISAGREE(
      AlarmPriority.MEDIUM,
      "A measurement at the battery is not to be believed.",
      "It is left out as far as another tells the same; with one voltage left, or two that contradict each other, charging goes at half the current and to float only.",
      "See in the journal which one and why. Compare with a calibrated meter at the battery terminals; they are live."),
  NO_BATTERY_VOLTAGE(
      AlarmPriority.HIGH,
      "No valid battery voltage is left.",
      "The supervisor holds everything.",
      "Restore the measurements, then reset."),
  DEVICE_SILENT(
      AlarmPriority.HIGH,
      "A device has sent nothing for the link time-out.",
      "It runs on its own settings.",
      "Look at its supply and its link."),
  COMMAND_REFUSED(
      AlarmPriority.LOW,
      "A device refused a command or did not answer.",
      "The command is tried again.",
      "Read the reason in the sequence of events."),
  BAD_MESSAGE(
      AlarmPriority.LOW,
      "A message was not what its topic promises.",
      "It was dropped and counted.",
      "Find the sender; compare versions."),
  SYNC_TIMEOUT(
      AlarmPriority.MEDIUM,
      "The island could not be brought into step with the utility in time.",
      "The site stays on its battery and tries again.",
      "Look at the utility's frequency and at the sync limits."),
  START_TIMEOUT(
      AlarmPriority.HIGH,
      "A device that is needed did not report in time after start.",
      "The supervisor orders nothing until it has; the devices go by what they were last told.",
      "Look at each device's link. The supervisor goes on by itself once it is heard."),
  CONTRADICTION(
      AlarmPriority.HIGH,
      "The devices' reports contradict each other.",
      "The supervisor holds everything.",
      "Compare the reports with what stands in the field, then reset."),
  JOURNAL_FAILED(
      AlarmPriority.MEDIUM,
      "The journal cannot be written.",
      "Holds, wishes and acknowledgements would not outlive a restart of the supervisor.",
      "Make room on the disk or mend its permissions. Until then hang a real padlock for every hold."),
  OVERRIDE_ACTIVE(
      AlarmPriority.LOW,
      "A person has forced something.",
      "The site does not run as its settings say until the override ends.",
      "Read in the supervisor's telemetry what is forced; end it when the work is done.");

  private final AlarmPriority priority;
  private final String text;
  private final String consequence;
  private final String action;

  AlarmId(AlarmPriority priority, String text, String consequence, String action) {
    this.priority = priority;
    this.text = text;
    this.consequence = consequence;
    this.action = action;
  }

  /** How soon a person must act. */
  public AlarmPriority priority() {
    return priority;
  }

  /** What is wrong. */
  public String text() {
    return text;
  }

  /** What follows if nothing is done. */
  public String consequence() {
    return consequence;
  }

  /** What to do. */
  public String action() {
    return action;
  }
}
