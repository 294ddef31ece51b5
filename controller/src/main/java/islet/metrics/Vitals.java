package islet.metrics;

import islet.contract.AlarmId;
import islet.contract.AlarmPriority;
import islet.contract.AlarmState;
import islet.contract.Device;
import islet.contract.Mode;
import islet.control.Inputs;
import islet.control.Outputs;
import islet.executive.Duty;
import islet.executive.Executive;
import islet.executive.journal.Journal;
import islet.site.Dispatch;
import islet.site.Site;
import java.util.Arrays;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.atomic.AtomicLongArray;

/**
 * A controller's vital signs. {@link #look} copies them after each scan, on the scan's thread and
 * without allocating; {@link #write} tells them on any other. Each number is whole in itself; two
 * of them may come from neighbouring scans.
 */
public final class Vitals {

  /** Under which names a supervisor keeps its alarms. */
  private static final String KEPT = "alarm ";

  private static final AlarmId[] ALARMS = AlarmId.values();
  private static final AlarmState[] STATES = AlarmState.values();
  private static final AlarmPriority[] PRIORITIES = AlarmPriority.values();
  private static final Mode[] MODES = Mode.values();
  private static final Duty.Role[] ROLES = Duty.Role.values();
  private static final Device[] DEVICES = Device.values();

  /** What is copied, one place each. */
  private enum Place {
    SCANS,
    MODE,
    ROLE,
    LINK,
    JOURNAL_FAILING,
    JOURNAL_LAG,
    MALFORMED,
    PLANS_MADE,
    PLANS_NONE,
    PLAN_AT,
    SCANNED_AT
  }

  private final Duty duty;
  private final Journal journal;
  private final Device[] devices;
  private final boolean plans;
  private final AtomicLongArray places = new AtomicLongArray(Place.values().length);
  private final AtomicLongArray heard = new AtomicLongArray(DEVICES.length);
  private final AtomicLongArray alarms = new AtomicLongArray(ALARMS.length);
  private Executive known;
  private long malformedBefore;
  private long malformedSeen;

  /** The vital signs of a controller that has not scanned yet. */
  public Vitals(Site site, Duty duty, Journal journal) {
    this.duty = duty;
    this.journal = journal;
    devices = devices(site.arrangement());
    plans = site.supervision().dispatch().plan() == Dispatch.Plan.OPTIMAL;
    known = duty.executive();
    put(Place.PLAN_AT, Inputs.NEVER);
    for (Device device : DEVICES) {
      heard.set(device.ordinal(), Inputs.NEVER);
    }
    alarmsOf(known);
  }

  private static Device[] devices(Site.Arrangement arrangement) {
    return Arrays.stream(DEVICES)
        .filter(
            device ->
                switch (device) {
                  case REGULATOR, INVERTER, METER -> true;
                  case CHARGER -> arrangement.hasCharger();
                  case TIE -> arrangement.hasSwitch();
                  case SUPERVISOR, BENCH -> false;
                })
        .toArray(Device[]::new);
  }

  /** Copies what is now; to be called after each scan, on its thread. */
  public void look(long nowMicros) {
    Executive executive = duty.executive();
    if (executive != known) {
      // Another role has another executive, which counts anew and remembers what the former knew.
      malformedBefore += malformedSeen;
      known = executive;
      alarmsOf(executive);
    }
    malformedSeen = executive.badMessages();
    put(Place.MALFORMED, malformedBefore + malformedSeen);
    put(Place.SCANS, get(Place.SCANS) + 1);
    put(Place.SCANNED_AT, nowMicros);
    Outputs out = executive.outputs();
    put(Place.MODE, out.mode.ordinal());
    put(Place.ROLE, duty.role().ordinal());
    put(Place.LINK, duty.linked() ? 1 : 0);
    put(Place.JOURNAL_FAILING, journal.failing() ? 1 : 0);
    put(Place.JOURNAL_LAG, journal.waiting());
    for (Device device : devices) {
      heard.lazySet(device.ordinal(), executive.heardAt(device));
    }
    for (int i = 0; i < out.alarms(); i++) {
      alarms.lazySet(out.alarmId(i).ordinal(), out.alarmState(i).ordinal());
    }
    for (int i = 0; i < out.events(); i++) {
      if (out.kind(i).equals("plan")) {
        planned(out.to(i).equals("MADE"), nowMicros);
      }
    }
  }

  private void planned(boolean made, long nowMicros) {
    Place counter = made ? Place.PLANS_MADE : Place.PLANS_NONE;
    put(counter, get(counter) + 1);
    put(Place.PLAN_AT, made ? nowMicros : Inputs.NEVER);
  }

  private void alarmsOf(Executive executive) {
    Map<String, String> kept = executive.keepsake();
    for (AlarmId id : ALARMS) {
      String state = kept.getOrDefault(KEPT + id.name(), AlarmState.NORMAL.name());
      alarms.lazySet(id.ordinal(), AlarmState.valueOf(state).ordinal());
    }
  }

  private void put(Place place, long value) {
    places.lazySet(place.ordinal(), value);
  }

  private long get(Place place) {
    return places.get(place.ordinal());
  }

  /** Messages dropped because they were not what their topic promises, since the start. */
  long malformed() {
    return get(Place.MALFORMED);
  }

  private static String lower(Enum<?> word) {
    return word.name().toLowerCase(Locale.ROOT);
  }

  /** Writes everything but the drops, which several parts count. */
  void write(OpenMetrics page) {
    page.family("islet_scans", "counter", "", "Scans since the start.");
    page.sample("islet_scans_total", get(Place.SCANS));
    page.family("islet_mode", "stateset", "", "The mode of the supervisor.");
    page.states("islet_mode", MODES, (int) get(Place.MODE));
    page.family("islet_role", "stateset", "", "Whether this controller commands.");
    page.states("islet_role", ROLES, (int) get(Place.ROLE));
    page.family("islet_link_up", "gauge", "", "1 while the link to the broker stands.");
    page.sample("islet_link_up", get(Place.LINK));
    page.family(
        "islet_message_age_seconds",
        "gauge",
        "seconds",
        "Age of each device's telemetry at the last scan; infinite when none has come or the"
            + " device is offline.");
    long now = get(Place.SCANNED_AT);
    for (Device device : devices) {
      page.sample(
          "islet_message_age_seconds",
          age(now, heard.get(device.ordinal())),
          "device",
          device.segment());
    }
    writeAlarms(page);
    page.family(
        "islet_journal_lag_notes", "gauge", "notes", "Notes that are not known to be on disk.");
    page.sample("islet_journal_lag_notes", get(Place.JOURNAL_LAG));
    page.family(
        "islet_journal_failing", "gauge", "", "1 while the journal has lost notes it should hold.");
    page.sample("islet_journal_failing", get(Place.JOURNAL_FAILING));
    page.family(
        "islet_plans", "counter", "", "Day plans asked for since the start, by what came of them.");
    page.sample("islet_plans_total", get(Place.PLANS_MADE), "outcome", "made");
    page.sample("islet_plans_total", get(Place.PLANS_NONE), "outcome", "none");
    if (plans) {
      page.family(
          "islet_plan_age_seconds",
          "gauge",
          "seconds",
          "Age of the day plan; infinite when there is none and the windows hold.");
      page.sample("islet_plan_age_seconds", age(now, get(Place.PLAN_AT)));
    }
  }

  private void writeAlarms(OpenMetrics page) {
    long[] standing = new long[PRIORITIES.length * STATES.length];
    for (AlarmId id : ALARMS) {
      standing[id.priority().ordinal() * STATES.length + (int) alarms.get(id.ordinal())]++;
    }
    page.family("islet_alarms", "gauge", "", "Alarms by priority and state.");
    for (AlarmPriority priority : PRIORITIES) {
      for (AlarmState state : STATES) {
        if (state != AlarmState.NORMAL) {
          page.sample(
              "islet_alarms",
              standing[priority.ordinal() * STATES.length + state.ordinal()],
              "priority",
              lower(priority),
              "state",
              lower(state));
        }
      }
    }
  }

  private static double age(long now, long then) {
    return then == Inputs.NEVER ? Double.POSITIVE_INFINITY : (now - then) * 1e-6;
  }
}
