package islet.fault;

import static islet.fault.FaultFamily.ACTUATOR;
import static islet.fault.FaultFamily.BATTERY;
import static islet.fault.FaultFamily.LINK;
import static islet.fault.FaultFamily.OPERATOR;
import static islet.fault.FaultFamily.SENSOR;
import static islet.fault.FaultFamily.SUPERVISOR;

import islet.contract.AlarmId;
import islet.contract.Forced;
import islet.contract.Mode;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;

/**
 * Every kind of fault that a scenario may ask for: where it may bite, what it needs to know, what
 * it does, what a good supervisor does about it, and what must be noticed of it. Faults of the
 * utility are events of their own.
 */
@SuppressWarnings("ImmutableEnumChecker") // unmodifiable lists of records
public enum FaultKind {
  /** The tie's contact stays closed whatever its coil is told. */
  TIE_WELDED(
      in(ACTUATOR)
          .at("tie")
          .does("the tie's contact stays closed whatever its coil is told")
          .wants("Forms no island behind it, and says that it did not open.")
          .owes(
              Owed.From.TIE_SHOULD_BE_OPEN,
              10,
              "only an order to open shows it",
              AlarmId.TIE_NOT_OPEN,
              AlarmId.TIE_DOUBTFUL,
              AlarmId.CONTRADICTION)),
  /** The tie stays open whatever its coil is told. */
  TIE_WONT_CLOSE(
      in(ACTUATOR)
          .at("tie")
          .does("the tie stays open whatever its coil is told")
          .wants("Stays on its island, says that the tie did not close, and tries again.")
          .owes(
              Owed.From.TIE_SHOULD_CLOSE,
              180,
              "only a return shows it, and that takes its time to come into step",
              AlarmId.TIE_NOT_CLOSED,
              AlarmId.SYNC_TIMEOUT)),
  /** The tie's auxiliary contact tells the opposite of the main contact's position. */
  AUX_CONTACT_LIES(
      in(ACTUATOR)
          .at("tie")
          .does("the tie's auxiliary contact tells the opposite of the truth")
          .wants("Believes the voltages on both sides more than the contact, and says so.")
          .owes(
              Owed.From.BEGINNING,
              30,
              "the voltages on both sides and the inverter say otherwise",
              AlarmId.TIE_DOUBTFUL,
              AlarmId.TIE_NOT_OPEN,
              AlarmId.TIE_NOT_CLOSED,
              AlarmId.CONTRADICTION,
              AlarmId.COMMAND_REFUSED)),
  /** The regulator acknowledges new set points and goes on with its old ones. */
  REGULATOR_IGNORES_SETPOINTS(
      in(ACTUATOR)
          .at("regulator")
          .does("the regulator acknowledges new set points and goes on with its old ones")
          .wants("Keeps the battery's limits with what still obeys.")
          .owesNothing(
              "what it goes on with were good set points, and no alarm compares them with new ones")),
  /** The charger goes on charging when it is told to stop. */
  CHARGER_STUCK_ON(
      in(ACTUATOR)
          .at("inverter", "charger")
          .does("the charger goes on charging when it is told to stop")
          .wants("Takes the other sources back so that the sum keeps the battery's limits.")
          .owesNothing("no alarm compares a charger's current with its order")),
  /** The inverter does not start; one that runs goes on. */
  INVERTER_WONT_START(
      in(ACTUATOR)
          .at("inverter")
          .does("the inverter does not start; one that forms already goes on")
          .wants("Says that the panel is dead, and stops trying after a few times.")
          .owes(
              Owed.From.PANEL_SHOULD_LIVE,
              30,
              "only a start shows it",
              AlarmId.INVERTER_NOT_FORMING,
              AlarmId.INVERTER_TRIPPED,
              AlarmId.BATTERY_LOW,
              AlarmId.START_TIMEOUT)),
  /** A sensor reads too much or too little by a fixed amount. */
  SENSOR_BIAS(
      in(SENSOR)
          .at(Sensors.ALL)
          .number("by", -100_000, 100_000, 1, "what is added, in the unit of the signal's name")
          .does("a sensor reads too much or too little by a fixed amount")
          .wants("Outvotes it where others measure the same, and goes on with them.")
          .owes(
              Owed.From.FAR_OFF,
              90,
              Words.CROSS_CHECKED,
              AlarmId.SENSORS_DISAGREE,
              AlarmId.NO_BATTERY_VOLTAGE)),
  /** A sensor goes on telling the value it had when the fault began. */
  SENSOR_STUCK(
      in(SENSOR)
          .at(Sensors.ALL)
          .does("a sensor goes on telling the value it had when the fault began")
          .wants("Finds it out as soon as the others move, and goes on with them.")
          .owes(
              Owed.From.FAR_OFF,
              90,
              Words.CROSS_CHECKED,
              AlarmId.SENSORS_DISAGREE,
              AlarmId.NO_BATTERY_VOLTAGE)),
  /** A sensor tells nothing. */
  SENSOR_DROPOUT(
      in(SENSOR)
          .at(Sensors.ALL)
          .does("a sensor reads zero")
          .wants("Leaves it out at once and goes on with the others.")
          .owes(
              Owed.From.FAR_OFF,
              90,
              Words.CROSS_CHECKED,
              AlarmId.SENSORS_DISAGREE,
              AlarmId.NO_BATTERY_VOLTAGE)),
  /** One device loses its link to the broker. */
  DEVICE_LINK_LOST(
      in(LINK)
          .at("regulator", "inverter", "charger", "tie", "meter")
          .does("one device loses its link to the broker")
          .wants("Says that it is silent, counts on its own settings, and proves nothing by it.")
          .owes(
              Owed.From.BEGINNING,
              15,
              "its telemetry comes once a second, and silence is called so after the link time-out",
              AlarmId.DEVICE_SILENT,
              AlarmId.START_TIMEOUT)),
  /** The supervisor loses its link to the broker. */
  SUPERVISOR_LINK_LOST(
      in(LINK)
          .at("supervisor")
          .does("the supervisor loses its link to the broker")
          .wants("Forms and joins nothing meanwhile; the devices keep to their own settings.")
          .owesNothing("who is cut off can tell nobody; its last will does")),
  /** The supervisor stands still and then goes on as if nothing had been. */
  SUPERVISOR_PAUSE(
      in(SUPERVISOR)
          .at("supervisor")
          .does("the supervisor stands still, then goes on as if nothing had been")
          .wants("Takes what it knows for as old as it is.")
          .owesNothing("who stands still tells nothing; the devices notice its silence")),
  /** The wire carries a false mode of the supervisor; exists on the bench only. */
  SUPERVISOR_LIES(
      in(SUPERVISOR)
          .at("supervisor")
          .ways(Arrays.stream(Mode.values()).map(Mode::name).toList())
          .does("the wire carries a false mode of the supervisor; on the bench only")
          .wants("Nothing: it does not know. The bench must notice.")
          .owesNothing("it is a fault of the bench's own, for trying whether a hazard sees it")),
  /** Every message on a link arrives later. */
  LINK_DELAY(
      in(LINK)
          .at(Links.ALL)
          .number("by", 0.001, 600, 1, "how much later each message arrives, in s")
          .does("every message on a link arrives later, both ways")
          .wants("Goes by the age of what it hears; the devices drop orders that came too late.")
          .owesNothing(Words.SLOW)),
  /** Messages on a link arrive late by times that change. */
  LINK_JITTER(
      in(LINK)
          .at(Links.ALL)
          .number("upTo", 0.001, 600, 1, "the longest time by which one arrives later, in s")
          .does("each message on a link is held up by a time of its own; order is kept")
          .wants("The same as with a delay.")
          .owesNothing(Words.SLOW)),
  /** Messages on a link are lost. */
  LINK_LOSS(
      in(LINK)
          .at(Links.ALL)
          .number("share", 0, 1, 0.3, "the share of messages that is lost")
          .does("messages on a link are lost while the link seems to stand")
          .wants("Repeats its orders; calls a device silent once nothing comes any more.")
          .owesNothing(
              "what is lost comes again a second later, or the silence of a lost link is owed"
                  + " there")),
  /** Messages on a link come twice. */
  LINK_DUPLICATE(
      in(LINK)
          .at(Links.ALL)
          .number("share", 0, 1, 0.3, "the share of messages that comes twice")
          .does("messages on a link come twice")
          .wants("Nothing twice: neither side acts again on what it knows.")
          .owesNothing("a message that comes twice says nothing new")),
  /** Messages on a link overtake one another. */
  LINK_REORDER(
      in(LINK)
          .at(Links.ALL)
          .number("share", 0, 1, 0.3, "the share of messages that is overtaken")
          .number("by", 0.001, 600, 1, "how much later those arrive, in s")
          .does("some messages on a link are held back, so that later ones overtake them")
          .wants("Lets no old order undo a newer one.")
          .owesNothing(Words.SLOW)),
  /** Messages on a link are damaged. */
  LINK_CORRUPT(
      in(LINK)
          .at(Links.ALL)
          .number("share", 0, 1, 0.3, "the share of messages that is damaged")
          .does("messages on a link are cut short, or one of their bytes is another")
          .wants("Drops what cannot be read, counts it, and says so.")
          .owesNothing("which message is hit, and whether one can read it still, is chance")),
  /** An old retained message of a device comes back. */
  STALE_RETAINED(
      in(LINK)
          .once()
          .at("regulator", "inverter", "charger", "tie", "meter")
          .ways(List.of(Words.STATE, Words.ONLINE))
          .does(
              "an old retained message of a device comes back, an hour old: that it is OFF, or that"
                  + " it is gone; it stands until the device speaks anew, whenever the fault ends")
          .wants("Believes the device's telemetry, which is newer.")
          .owesNothing("the next telemetry, a second later, sets it right")),
  /** Somebody floods a device's topics. */
  LINK_FLOOD(
      in(LINK)
          .at("regulator", "inverter", "charger", "tie", "meter")
          .number(
              "perSecond", 1, 1000, 100, "messages a second, half of them telemetry, half commands")
          .does("somebody floods a device's telemetry and command topics with what is no message")
          .wants("Drops them all, says so once, and keeps its cycle.")
          .owes(
              Owed.From.BEGINNING,
              5,
              "a single message that cannot be read is enough",
              AlarmId.BAD_MESSAGE)),
  /** The broker goes down and comes up again. */
  BROKER_RESTART(
      in(LINK)
          .once()
          .at("broker")
          .number("down", 0, 600, 10, "how long it is away, in s")
          .ways(List.of("durable", Words.FORGETFUL))
          .does(
              "the broker goes down and comes up again, with its sessions and retained messages"
                  + " (durable) or without (forgetful); all links drop; nothing else ends it")
          .wants("Comes back by itself, tells its state anew, and repeats its orders.")
          .owesNothing("while the broker is away nobody can tell anybody anything")),
  /** A sensor reads more and more wrong. */
  SENSOR_DRIFT(
      in(SENSOR)
          .at(Sensors.ALL)
          .number(
              "perHour", -100_000, 100_000, 10, "what is added in an hour, in the signal's unit")
          .does("a sensor reads more and more wrong")
          .wants("Finds it out by the others before it does harm.")
          .owes(
              Owed.From.FAR_OFF,
              90,
              Words.CROSS_CHECKED,
              AlarmId.SENSORS_DISAGREE,
              AlarmId.NO_BATTERY_VOLTAGE)),
  /** A sensor's readings scatter. */
  SENSOR_NOISE(
      in(SENSOR)
          .at(Sensors.ALL)
          .number(
              "deviation", 0, 100_000, 1, "standard deviation, in the unit of the signal's name")
          .does("a sensor's readings scatter around the truth")
          .wants("Neither acts on a single reading nor rings for each.")
          .owesNothing("right in the mean, it misleads nobody for long")),
  /** A sensor's reading is no number. */
  SENSOR_NOT_FINITE(
      in(SENSOR)
          .at(Sensors.ALL)
          .does("a device tells what is no number for a reading; it does not go by it itself")
          .wants("Drops the whole message, says so, and takes the device for silent.")
          .owes(
              Owed.From.BEGINNING,
              15,
              "the first message that cannot be read is enough",
              AlarmId.BAD_MESSAGE,
              AlarmId.DEVICE_SILENT,
              AlarmId.START_TIMEOUT)),
  /** A device tells a reading in a wrong unit. */
  SENSOR_UNIT_SLIP(
      in(SENSOR)
          .at(Sensors.ALL)
          .ways(List.of("thousandfold", "thousandth"))
          .does("a device tells a reading a thousand times too large or too small")
          .wants("Recognises the slip where others measure the same, and goes on with them.")
          .owes(
              Owed.From.FAR_OFF,
              90,
              Words.CROSS_CHECKED,
              AlarmId.SENSORS_DISAGREE,
              AlarmId.NO_BATTERY_VOLTAGE,
              AlarmId.BAD_MESSAGE,
              AlarmId.DEVICE_SILENT)),
  /** A device tells a reading with the wrong sign. */
  SENSOR_REVERSED(
      in(SENSOR)
          .at(Sensors.SIGNED)
          .does("a device tells a reading with the wrong sign, as a shunt wired the wrong way does")
          .wants("Finds the shunt out by the sum of the converters' currents.")
          .owes(
              Owed.From.FAR_OFF,
              90,
              Words.CROSS_CHECKED,
              AlarmId.SENSORS_DISAGREE,
              AlarmId.NO_BATTERY_VOLTAGE)),
  /** The tie takes longer to move. */
  TIE_SLOW(
      in(ACTUATOR)
          .at("tie")
          .number("factor", 1, 10_000, 10, "its operating time over what it should be")
          .does("the tie takes longer to move than it is built for")
          .wants("Waits for the contact and never counts on the time alone.")
          .owesNothing("it arrives in the end; when it takes too long, the contact is what tells")),
  /** The inverter trips by its own protection. */
  INVERTER_TRIPS(
      in(ACTUATOR)
          .at("inverter")
          .ways(List.of("once", Words.LOCKED))
          .does(
              "the inverter trips as on an overload; once, so that it starts again by its rule, or"
                  + " locked until the fault ends")
          .wants("Says so; starts it again a few times and no more.")
          .owes(
              Owed.From.PANEL_SHOULD_LIVE,
              30,
              "while the utility carries the panel nothing is missing",
              AlarmId.INVERTER_TRIPPED,
              AlarmId.INVERTER_NOT_FORMING,
              AlarmId.BATTERY_LOW,
              AlarmId.START_TIMEOUT)),
  /** The inverter gives less than it is built for. */
  INVERTER_DERATED(
      in(ACTUATOR)
          .at("inverter")
          .number("share", 0, 1, 0.5, "the share of its rated power that is left")
          .does("the inverter bears only a part of its rated power")
          .wants("Sheds loads when it trips on what is left.")
          .owesNothing(
              "as long as it carries its loads nothing is missing; when it trips, it says"
                  + " so itself")),
  /** A cell of the battery is shorted. */
  CELL_SHORTED(
      in(BATTERY)
          .at("battery")
          .does(
              "one cell's voltage is gone, and what it held; when the fault ends, a good cell is in"
                  + " its place, charged as the others")
          .wants("Charges no higher for it; takes the lower voltage for what it is.")
          .owesNothing(
              "one cell of many is less than the voltages of a battery under load tell apart")),
  /** The battery has lost capacity. */
  CAPACITY_LOST(
      in(BATTERY)
          .once()
          .at("battery")
          .number("share", 0.01, 0.9, 0.4, "the share of the capacity that is lost")
          .does("a share of the capacity is gone, and what it held; its end brings nothing back")
          .wants("Goes by the voltage when the count says more than the battery holds.")
          .owesNothing("only a discharge to the end shows it, and that rings as a low battery")),
  /** The battery's resistance is high. */
  RESISTANCE_HIGH(
      in(BATTERY)
          .at("battery")
          .number("factor", 1, 100, 5, "its resistance over what it should be")
          .does("the battery's resistance is higher than it should be")
          .wants("Sheds loads when the voltage falls under them.")
          .owesNothing("only a current shows it, and no meter measures a resistance")),
  /** The battery's contactor is open. */
  BATTERY_CONTACTOR_OPEN(
      in(BATTERY)
          .at("battery")
          .does("the battery's contactor is open whatever its unit wants")
          .wants("Says so; charges and discharges nothing, and holds the bus as well as it can.")
          .owes(
              Owed.From.BEGINNING,
              10,
              "its auxiliary contact is wired to the meter",
              AlarmId.BATTERY_CONTACTOR_OPEN)),
  /** The probe at the battery is lost. */
  BATTERY_TEMPERATURE_LOST(
      in(BATTERY)
          .at("battery")
          .does("the probe at the battery is lost: all devices read 0 °C")
          .wants("Takes a cold battery for cold, which charges it carefully.")
          .owesNothing("0 °C is what a battery can have, and no second probe says otherwise")),
  /** The supervisor's process is gone. */
  SUPERVISOR_CRASH(
      in(SUPERVISOR)
          .at("supervisor")
          .does(
              "the supervisor's process is gone; when the fault ends, a new one starts with what the"
                  + " journal kept")
          .wants("The new one goes by what the field says first, by the journal second.")
          .owesNothing("who is gone tells nothing; its last will does, and the devices notice")),
  /** The supervisor's process is started again. */
  SUPERVISOR_RESTART(
      in(SUPERVISOR)
          .once()
          .at("supervisor")
          .number("down", 0.1, 600, 10, "how long nobody is there, in s")
          .does(
              "the supervisor's process is gone and a new one starts with what the journal kept;"
                  + " nothing else ends it")
          .wants("Goes by what the field says first, by the journal second.")
          .owesNothing(Words.ONE_TAKES_OVER)),
  /** A second supervisor is started on the same wire. */
  SECOND_SUPERVISOR(
      in(SUPERVISOR)
          .at("supervisor")
          .does("a second supervisor is started on the same wire, until the fault ends")
          .wants("The second one notices the first and stays a silent observer.")
          .owesNothing("one that says nothing is no matter")),
  /** The supervisor's clock jumps. */
  SUPERVISOR_CLOCK_STEP(
      in(SUPERVISOR)
          .at("supervisor")
          .number("by", -86_400, 86_400, 30, "by how much it jumps, in s")
          .does(
              "the clock of the supervisor's machine jumps, and jumps back when the fault ends: who"
                  + " follows it dates commands wrongly and takes what it hears for older or newer")
          .wants(
              "Asks the devices' reports before it believes a jump; what is dated wrongly the"
                  + " devices refuse.")
          .owesNothing("refusals ring as such when the clock is off by more than a lifetime")),
  /** The supervisor restarts with a memory that has lost its tail. */
  JOURNAL_TRUNCATED(
      in(SUPERVISOR)
          .once()
          .at("supervisor")
          .number("lost", 1, 86_400, 60, "how much of the journal's end is gone, in s")
          .number("down", 0.1, 600, 10, "how long nobody is there, in s")
          .does(
              "the supervisor's process is gone and a new one starts with a journal whose newest"
                  + " records are lost; nothing else ends it")
          .wants("Goes by what the field says; believes no old note against it.")
          .owesNothing(Words.ONE_TAKES_OVER)),
  /** Somebody has entered a wrong voltage at a charging device. */
  VOLTAGE_SET_BY_HAND(
      in(OPERATOR)
          .at("regulator", "charger")
          .number(
              "volts", 1, 1000, 60, "what was entered, in V; the unit keeps below its own highest")
          .does("somebody has entered a voltage at the unit, which goes by it whatever it is told")
          .wants("Keeps the battery's limits with what still obeys.")
          .owesNothing("no alarm compares a unit's set point with its order")),
  /** Somebody has entered a wrong current at a charging device. */
  CURRENT_SET_BY_HAND(
      in(OPERATOR)
          .at("regulator", "charger", "inverter")
          .number(
              "amperes", 0, 1000, 5, "what was entered, in A; the unit keeps below its own rating")
          .does("somebody has entered a current at the unit, which goes by it whatever it is told")
          .wants("Takes the other sources back so that the sum keeps the battery's limits.")
          .owesNothing("no alarm compares a unit's current with its order")),
  /** A person has forced something and forgotten it. */
  OVERRIDE_LEFT_ON(
      in(OPERATOR)
          .at("supervisor")
          .ways(Arrays.stream(Forced.values()).map(FaultKind::kebab).toList())
          .does("a person has forced something for a day and forgotten it; its end takes it back")
          .wants("Says all the time that something is forced; the interlocks hold all the same.")
          .owes(
              Owed.From.BEGINNING,
              5,
              "an override is visible as long as it stands",
              AlarmId.OVERRIDE_ACTIVE)),
  /** A person has left a disconnect open. */
  DISCONNECT_LEFT_OPEN(
      in(OPERATOR)
          .at("pv", "battery", "tie")
          .does(
              "a person has left a disconnect open: at the array, at the battery, or between main"
                  + " panel and tie")
          .wants("Lives on what is left, and never takes a part for there by its meter alone.")
          .owesNothing("a disconnect has no contact that tells, and a dark array looks the same"));

  /** How {@link #INVERTER_TRIPS} keeps the inverter off. */
  static final String LOCKED = Words.LOCKED;

  /** How {@link #SENSOR_UNIT_SLIP} tells too much. */
  public static final String THOUSANDFOLD = "thousandfold";

  /** The array, where a disconnect may be left open. */
  static final String PV = "pv";

  /** The battery, where one may be left open. */
  static final String BATTERY_ITSELF = "battery";

  private final About about;

  FaultKind(About about) {
    this.about = about;
  }

  /**
   * A device that this fault can befall.
   *
   * @param device as topics name it
   * @param signals which of its signals it can befall; empty when the fault is the whole device's
   */
  public record Target(String device, List<String> signals) {
    public Target {
      signals = List.copyOf(signals);
    }
  }

  /**
   * A number that the fault needs.
   *
   * @param name its field
   * @param meaning what it says, with its unit
   * @param usual a value that shows something at a small site, for who has none of his own;
   *     invented
   */
  public record Parameter(
      String name, double minimum, double maximum, String meaning, double usual) {}

  /** Where the fault comes from. */
  public FaultFamily family() {
    return about.family;
  }

  /** Where the fault can bite: at least one device. */
  public List<Target> targets() {
    return about.targets;
  }

  /** The devices that the fault can befall. */
  public List<String> devices() {
    return targets().stream().map(Target::device).toList();
  }

  /** The signals of a device that the fault can befall; empty when it is the whole device's. */
  public List<String> signals(String device) {
    Optional<Target> target = targets().stream().filter(t -> t.device().equals(device)).findFirst();
    return target.map(Target::signals).orElse(List.of());
  }

  /** Numbers that the fault needs. */
  public List<Parameter> parameters() {
    return about.parameters;
  }

  /**
   * In which of several ways it bites, such as what it makes a device claim: the field {@code as};
   * empty when there is only one.
   */
  public List<String> claims() {
    return about.ways;
  }

  /** What it does, in words that go on after a dash. */
  public String effect() {
    return about.effect;
  }

  /** What a good supervisor does about it, in a sentence. */
  public String duty() {
    return about.duty;
  }

  /** Whether it happens once and is over with that, so that its end changes nothing. */
  boolean once() {
    return about.once;
  }

  /** Whether it can be played on the virtual broker's links only. */
  public boolean needsVirtualLinks() {
    return family() == LINK && this != LINK_FLOOD && this != STALE_RETAINED;
  }

  /** What must be noticed of it. */
  public Owed owed() {
    return about.owed;
  }

  /** Its name in scenarios. */
  public String word() {
    return kebab(this);
  }

  private static String kebab(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  private static About in(FaultFamily family) {
    return new About(family);
  }

  /** All that is known of a kind, put together step by step. */
  private static final class About {
    private final FaultFamily family;
    private List<Target> targets = List.of();
    private List<Parameter> parameters = List.of();
    private List<String> ways = List.of();
    private boolean once;
    private String effect = "";
    private String duty = "";
    private Owed owed = Owed.nothing("");

    private About(FaultFamily family) {
      this.family = family;
    }

    private About at(String... devices) {
      return at(Arrays.stream(devices).map(device -> new Target(device, List.of())).toList());
    }

    private About at(List<Target> where) {
      targets = List.copyOf(where);
      return this;
    }

    private About number(
        String name, double minimum, double maximum, double usual, String meaning) {
      List<Parameter> more = new ArrayList<>(parameters);
      more.add(new Parameter(name, minimum, maximum, meaning, usual));
      parameters = List.copyOf(more);
      return this;
    }

    private About ways(List<String> words) {
      ways = List.copyOf(words);
      return this;
    }

    private About once() {
      once = true;
      return this;
    }

    private About does(String words) {
      effect = words;
      return this;
    }

    private About wants(String sentence) {
      duty = sentence;
      return this;
    }

    private About owes(Owed.From from, double withinS, String reason, AlarmId... alarms) {
      owed = new Owed(from, withinS, Set.of(alarms), reason);
      return this;
    }

    private About owesNothing(String reason) {
      owed = Owed.nothing(reason);
      return this;
    }
  }

  /** Words that stand in several places. */
  private static final class Words {
    private static final String LOCKED = "locked";
    private static final String FORGETFUL = "forgetful";
    private static final String STATE = "state";
    private static final String ONLINE = "online";
    private static final String CROSS_CHECKED =
        "where others measure the same, the battery's voltage, current and temperature; a voltage shows"
            + " in seconds, a current in half a minute, a temperature in a minute";
    private static final String SLOW =
        "what comes late is judged by its age; a device that is late for longer than the link"
            + " time-out counts as silent";
    private static final String ONE_TAKES_OVER = "the next one is there again soon";
  }

  /** Who has a link. */
  private static final class Links {
    private static final List<Target> ALL =
        List.of("regulator", "inverter", "charger", "tie", "meter", "supervisor").stream()
            .map(device -> new Target(device, List.of()))
            .toList();
  }

  /** What each device measures. */
  private static final class Sensors {
    private static final List<Target> ALL =
        List.of(
            new Target(
                "regulator", List.of("battery.temperature_C", "bus.voltage_V", "pv.power_W")),
            new Target(
                "inverter", List.of("bus.voltage_V", "critical.voltage_pu", "inverter.power_W")),
            new Target("charger", List.of("battery.temperature_C", "bus.voltage_V")),
            new Target("tie", List.of("main.voltage_pu", "critical.voltage_pu")),
            new Target(
                "meter",
                List.of(
                    "battery.voltage_V",
                    "battery.current_A",
                    "battery.temperature_C",
                    "pcc.power_W",
                    "critical.power_W",
                    "noncritical.power_W")));

    /** What has a direction: currents and powers. */
    private static final List<Target> SIGNED =
        List.of(
            new Target("regulator", List.of("pv.power_W")),
            new Target("inverter", List.of("inverter.power_W")),
            new Target(
                "meter",
                List.of(
                    "battery.current_A",
                    "pcc.power_W",
                    "critical.power_W",
                    "noncritical.power_W")));
  }
}
