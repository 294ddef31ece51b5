package islet.bench;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;

/** The hazards that every run is judged by. */
public enum HazardId {
  /** The system energises a utility that is dead or out of band. */
  BACKFEED,
  /** The tie closes with voltage, frequency or angle too far apart. */
  OUT_OF_SYNC_CLOSE,
  /** The tie closes before the enter-service delay has run. */
  EARLY_RETURN,
  /** The battery is charged beyond its limits of voltage, current or temperature. */
  OVERCHARGE,
  /** The battery is below its floor with loads still on. */
  DEEP_DISCHARGE,
  /** The critical panel is dead or out of its envelope without need. */
  LOST_LOAD,
  /** Export where, when or as much as is not permitted. */
  FORBIDDEN_EXPORT,
  /** Two supervisors obeyed at once, or two sources that form one bus. */
  TWO_MASTERS,
  /** A device acts on a command older than its lifetime. */
  STALE_COMMAND,
  /** The supervisor's stated mode or tie position is not the plant's. */
  WRONG_PICTURE,
  /** Transfers, starts or stage changes beyond a rate. */
  CHATTER,
  /** A fault without its alarm, or an alarm without a fault. */
  SILENT_FAULT,
  /** Charging from the utility outside the windows without cause. */
  UNPAID_CHARGE;

  /** As files and verdicts name it, such as {@code lost-load}. */
  public String id() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** All ids, in order. */
  public static List<String> ids() {
    return Arrays.stream(values()).map(HazardId::id).toList();
  }
}
