package islet.bench;

import islet.contract.AlarmId;
import islet.contract.Forced;
import islet.fault.FaultKind;
import islet.site.Dimension;
import islet.site.Section;
import islet.site.Site;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.regex.Pattern;

/** Reads what happens in a run. */
final class EventReader {
  private static final Pattern KEY = Pattern.compile("[A-Za-z0-9][A-Za-z0-9-]{0,30}");

  /** Stands in for a time that could not be read; such an event is not judged further. */
  private static final long NO_TIME = -1;

  /** As long as the supervisor takes it. */
  private static final int MOST_SHELVED_S = 8 * 3600;

  private static final int MOST_FORCED_S = 24 * 3600;
  private static final int MOST_WARNED_S = 7 * 24 * 3600;

  private static final Event UNREADABLE = new Event.PhaseJump(NO_TIME, 0);

  private final long durationMicros;
  private final Site.Arrangement arrangement;

  /** Reads the events of a run of this length at a site of this arrangement. */
  EventReader(long durationMicros, Site.Arrangement arrangement) {
    this.durationMicros = durationMicros;
    this.arrangement = arrangement;
  }

  /** An event and where it stands. */
  private record Placed(Event event, Section place) {}

  /** The events by time; those at the same instant in the order of the file. */
  List<Event> events(Section s) {
    if (!s.has("events")) {
      return List.of();
    }
    List<Placed> placed = new ArrayList<>(s.sections("events", "", this::placed));
    placed.removeIf(p -> p.event().atMicros() == NO_TIME);
    placed.sort(Comparator.comparingLong(p -> p.event().atMicros()));
    for (int i = 0; i < placed.size(); i++) {
      checkEnd(placed.get(i));
      checkAgainstEarlier(placed.get(i), placed.subList(0, i));
    }
    return placed.stream().map(Placed::event).toList();
  }

  private void checkEnd(Placed placed) {
    if (placed.event().atMicros() >= durationMicros) {
      placed
          .place()
          .wrong(
              "at",
              "less than the scenario's duration, " + Micros.iso(durationMicros),
              "Move the event, or make the run longer.");
    }
  }

  private static void checkAgainstEarlier(Placed placed, List<Placed> earlier) {
    for (Placed other : earlier) {
      if (other.event().equals(placed.event())) {
        placed
            .place()
            .wrong(
                "at",
                "the same event as in line " + other.place().line("at"),
                "each event once",
                "Remove one of the two.");
        return;
      }
      boolean overlaps =
          placed.event().outUntilMicros() > 0
              && placed.event().atMicros() < other.event().outUntilMicros();
      if (overlaps) {
        placed
            .place()
            .wrong(
                "at",
                "an outage that begins before the one in line "
                    + other.place().line("at")
                    + " ends",
                "outages one after the other",
                "Make it one outage.");
        return;
      }
    }
  }

  private Placed placed(Section s) {
    long at = s.duration("at", 0, NO_TIME, "Time after the start of the run.");
    Event event =
        s.oneOf("utility", "operator", "fault").map(form -> event(s, form, at)).orElse(UNREADABLE);
    return new Placed(event, s);
  }

  private Event event(Section s, String form, long at) {
    return switch (form) {
      case "utility" -> {
        if (!arrangement.hasUtility()) {
          s.wrong(
              "utility",
              "an event of the utility",
              "no utility in this arrangement",
              "Take it out, or name a site that has one.");
        }
        yield s.section(
            "utility",
            "",
            u ->
                u.oneOf(
                        "outage",
                        "sag",
                        "swell",
                        "frequency",
                        "phaseJump",
                        "brownOut",
                        "frequencyRamp",
                        "reclose")
                    .map(kind -> utility(u, kind, at))
                    .orElse(UNREADABLE));
      }
      case "operator" -> operator(s, at);
      default -> fault(s, at);
    };
  }

  private static Event utility(Section s, String form, long at) {
    return switch (form) {
      case "outage" -> outage(s, at);
      case "reclose" -> reclose(s, at);
      case "brownOut" ->
          new Event.BrownOut(
              at,
              s.quantity(form, Dimension.RATIO, 0, 1, "What is left."),
              length(s, "fall"),
              length(s, "for"),
              length(s, "rise"));
      case "frequencyRamp" ->
          new Event.FrequencyRamp(
              at,
              s.quantity(form, Dimension.FREQUENCY, 40, 75, ""),
              s.quantity("rate", Dimension.FREQUENCY_RATE, 0.001, 100, "Above 0, both ways."),
              length(s, "for"));
      case "sag" ->
          new Event.Sag(
              at, s.quantity(form, Dimension.RATIO, 0, 1, "What is left."), length(s, "for"));
      case "swell" ->
          new Event.Swell(
              at, s.quantity(form, Dimension.RATIO, 1.001, 2, "Above 1."), length(s, "for"));
      case "frequency" ->
          new Event.FrequencyStep(
              at, s.quantity(form, Dimension.FREQUENCY, 40, 75, ""), length(s, "for"));
      default -> new Event.PhaseJump(at, s.quantity(form, Dimension.ANGLE, -180, 180, ""));
    };
  }

  private static Event outage(Section s, long at) {
    long length = length(s, "outage");
    double returnDeg =
        s.has("returnAngle") ? s.quantity("returnAngle", Dimension.ANGLE, -180, 180, "") : 0;
    return new Event.Outage(
        at, length, returnDeg, s.has("matchedLoad") ? Optional.of(match(s)) : Optional.empty());
  }

  private static Event.Match match(Section s) {
    return new Event.Match(
        s.quantity("matchedLoad", Dimension.RATIO, 0, 10, "1 takes just what the site feeds."),
        s.has("qualityFactor") ? s.number("qualityFactor", 0, 10, "") : 1,
        s.has("imbalance") ? s.number("imbalance", -1, 1, "0 is a perfect match.") : 0);
  }

  private static Event reclose(Section s, long at) {
    List<Long> lengths = s.durations("reclose", 1, "Lengths of off, on, off and so on.");
    if (lengths.size() % 2 == 0 && !s.isWrong("reclose")) {
      s.wrong(
          "reclose",
          "an odd number of durations: off, on, off and so on, ending with off",
          "Leave out the last one: after the last off the utility is back.");
    }
    return new Event.Reclose(at, lengths);
  }

  private static long length(Section s, String name) {
    return s.duration(name, 1, 1, "");
  }

  /** A word, or a padlock with its key as {@code { hold: key }}. */
  Event operator(Section s, long at) {
    if (s.hasGroup("operator")) {
      return s.section("operator", "", o -> particular(o, at));
    }
    List<String> words = new ArrayList<>();
    for (Event.Action action : Event.Action.values()) {
      switch (action) {
        case HOLD, RELEASE, SWITCH, SHELVE, UNSHELVE, OVERRIDE, END_OVERRIDE, WARN -> {}
        case ISLAND_REQUEST,
            RECONNECT_REQUEST,
            ACKNOWLEDGE,
            RESET,
            AUTO,
            MANUAL,
            EQUALISE,
            ALL_CLEAR ->
            words.add(Section.word(action));
      }
    }
    String word =
        s.choice(
            "operator",
            words,
            "A padlock is written { hold: key }, an override { override: charge-now, for: PT2H }.");
    Event.Action action =
        List.of(Event.Action.values()).stream()
            .filter(a -> Section.word(a).equals(word))
            .findFirst()
            .orElseThrow();
    return new Event.Operator(at, action, "");
  }

  private Event particular(Section s, long at) {
    String form =
        s.oneOf(
                "hold",
                "release",
                "switch",
                "shelve",
                "unshelve",
                "override",
                "end-override",
                "warn",
                "all-clear")
            .orElse("");
    return switch (form) {
      case "shelve" ->
          new Event.Operator(
              at, Event.Action.SHELVE, alarm(s, form), lasting(s, MOST_SHELVED_S, "A shift."));
      case "unshelve" -> new Event.Operator(at, Event.Action.UNSHELVE, alarm(s, form));
      case "override" ->
          new Event.Operator(
              at, Event.Action.OVERRIDE, forced(s, form), lasting(s, MOST_FORCED_S, "A day."));
      case "warn" ->
          new Event.Operator(
              at, Event.Action.WARN, key(s, form), lasting(s, MOST_WARNED_S, "A week."));
      case "all-clear" -> new Event.Operator(at, Event.Action.ALL_CLEAR, key(s, form));
      case "end-override" -> new Event.Operator(at, Event.Action.END_OVERRIDE, forced(s, form));
      default -> padlock(s, form, at);
    };
  }

  private static String key(Section s, String field) {
    return s.text(field, KEY, "a key of letters, digits and hyphens", "");
  }

  private static String alarm(Section s, String field) {
    return s.choice(field, AlarmId.class, "").name();
  }

  private static String forced(Section s, String field) {
    return s.choice(field, Forced.class, "").name();
  }

  private static long lasting(Section s, int mostS, String advice) {
    long length = length(s, "for");
    if (length > mostS * 1_000_000L) {
      s.wrong("for", "at most PT" + mostS / 3600 + "H", advice);
    }
    return length;
  }

  private Event padlock(Section s, String form, long at) {
    if (form.equals("switch")) {
      if (!arrangement.hasChangeover()) {
        s.wrong("switch", "nothing to move by hand in this arrangement", "Take it out.");
      }
      return new Event.Operator(
          at, Event.Action.SWITCH, s.choice("switch", List.of("utility", "inverter"), ""));
    }
    String key = form.isEmpty() ? "" : key(s, form);
    return new Event.Operator(
        at, form.equals("release") ? Event.Action.RELEASE : Event.Action.HOLD, key);
  }

  /**
   * A fault of the present moment, as it stands under {@code events} but without {@code at}.
   *
   * @param origin where the text came from, for messages
   * @param text YAML, or JSON, which is YAML too
   * @throws islet.site.InputException with everything that is wrong in it
   */
  static Event.Fault faultNow(Site.Arrangement arrangement, String origin, String text) {
    EventReader reader = new EventReader(1, arrangement);
    Event read =
        Section.readText(
            origin,
            text,
            s -> {
              if (s.has("fault")) {
                return reader.fault(s, 0);
              }
              s.wrong(
                  "fault",
                  "a fault as under a scenario's events, without at",
                  "For example { fault: { kind: tie-welded }, for: PT1M }.");
              return UNREADABLE;
            });
    return (Event.Fault) read;
  }

  /**
   * An event of the present moment, as it stands under {@code events} but without {@code at}.
   *
   * @param origin where the text came from, for messages
   * @param text YAML, or JSON, which is YAML too
   * @throws islet.site.InputException with everything that is wrong in it
   */
  static Event eventNow(Site.Arrangement arrangement, String origin, String text) {
    EventReader reader = new EventReader(1, arrangement);
    return Section.readText(
        origin,
        text,
        s ->
            s.oneOf("utility", "sky", "load", "operator", "fault")
                .map(form -> reader.eventNow(s, form))
                .orElse(UNREADABLE));
  }

  private Event eventNow(Section s, String form) {
    return switch (form) {
      case "sky" ->
          s.section(
              form,
              "",
              sky ->
                  new Event.Cloud(
                      0,
                      sky.quantity("cloud", Dimension.RATIO, 0, 1, "Of the light that is left."),
                      length(sky, "for")));
      case "load" ->
          s.section(
              form,
              "",
              load ->
                  new Event.LoadStep(
                      0,
                      load.quantity(
                          "loadStep", Dimension.POWER, -1e6, 1e6, "Below 0 for one that goes."),
                      length(load, "for")));
      default -> event(s, form, 0);
    };
  }

  private Event fault(Section s, long at) {
    long length = s.has("for") ? length(s, "for") : 0;
    return s.section("fault", "", f -> fault(f, at, length));
  }

  private Event fault(Section s, long at, long length) {
    FaultKind kind = s.choice("kind", FaultKind.class, "");
    if (s.isWrong("kind")) {
      s.names(); // what else belongs here depends on the kind
      return UNREADABLE;
    }
    List<String> devices =
        kind.devices().stream().filter(device -> there(kind, device, arrangement)).toList();
    if (devices.isEmpty()) {
      s.wrong(
          "kind",
          "a fault of a part that this arrangement has",
          "It befalls " + String.join(", ", kind.devices()) + ".");
      s.names();
      return UNREADABLE;
    }
    boolean one = devices.size() == 1;
    String device = one && !s.has("device") ? devices.get(0) : s.choice("device", devices, "");
    List<String> signals = kind.signals(device);
    String signal = signals.isEmpty() ? "" : s.choice("signal", signals, "");
    Map<String, Double> numbers = new TreeMap<>();
    for (FaultKind.Parameter parameter : kind.parameters()) {
      String meaning = "It says " + parameter.meaning() + ".";
      double value = s.number(parameter.name(), parameter.minimum(), parameter.maximum(), meaning);
      numbers.put(parameter.name(), value);
    }
    String claim = kind.claims().isEmpty() ? "" : s.choice("as", kind.claims(), "");
    return new Event.Fault(at, kind, device, signal, numbers, claim, length);
  }

  /** What of a fault's targets a site has; empty when it cannot befall it at all. */
  static List<FaultKind.Target> targets(FaultKind kind, Site.Arrangement arrangement) {
    return kind.targets().stream().filter(t -> there(kind, t.device(), arrangement)).toList();
  }

  /** Whether an arrangement has this device, and what of it a fault of this kind befalls. */
  static boolean there(FaultKind kind, String device, Site.Arrangement arrangement) {
    boolean disconnect = kind == FaultKind.DISCONNECT_LEFT_OPEN && device.equals("tie");
    return disconnect ? arrangement.hasTie() : there(device, arrangement);
  }

  /** Whether an arrangement has this device. */
  static boolean there(String device, Site.Arrangement arrangement) {
    return switch (device) {
      case "tie" -> arrangement.hasSwitch();
      case "charger" -> arrangement.hasCharger();
      default -> true;
    };
  }
}
