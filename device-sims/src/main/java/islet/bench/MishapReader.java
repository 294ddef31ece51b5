package islet.bench;

import islet.fault.FaultKind;
import islet.site.Dimension;
import islet.site.Section;
import islet.site.Site;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.BiFunction;

/**
 * Reads what a campaign lets happen: events as scenarios have them, without their instant. A number
 * may be a list, or a range as {@code { from: 0.1, to: 0.9 }}; a fault's device and signal may be
 * left out, and then stand for all that it can befall.
 */
public final class MishapReader {

  private static final double SECOND = 1e6;

  private MishapReader() {}

  /** What a length, a voltage and so on is read by: the part and the field's name. */
  private interface Reading extends BiFunction<Section, String, Double> {}

  /** The mishaps of one entry. */
  public static List<Mishap> read(Section s) {
    return s.oneOf("utility", "operator", "fault").map(form -> form(s, form)).orElse(List.of());
  }

  private static List<Mishap> form(Section s, String form) {
    return switch (form) {
      case "utility" -> List.of(s.section(form, "", MishapReader::utility));
      case "operator" -> List.of(operator(s));
      default -> {
        Optional<Axis> lasting =
            s.has("for") ? Optional.of(axis(s, "for", MishapReader::seconds)) : Optional.empty();
        yield s.section(form, "", f -> fault(f, lasting));
      }
    };
  }

  private static Mishap utility(Section s) {
    String form =
        s.oneOf(
                "outage",
                "sag",
                "swell",
                "frequency",
                "phaseJump",
                "brownOut",
                "frequencyRamp",
                "reclose")
            .orElse("");
    Reading share = (p, n) -> p.quantity(n, Dimension.RATIO, 0, 1, "What is left.");
    Reading hertz = (p, n) -> p.quantity(n, Dimension.FREQUENCY, 40, 75, "");
    return switch (form) {
      case "outage" -> outage(s);
      case "sag" ->
          of(
              form,
              List.of(axis(s, form, share), length(s, "for")),
              (at, v) -> new Event.Sag(at, v[0], micros(v[1])));
      case "swell" ->
          of(
              form,
              List.of(
                  axis(s, form, (p, n) -> p.quantity(n, Dimension.RATIO, 1.001, 2, "Above 1.")),
                  length(s, "for")),
              (at, v) -> new Event.Swell(at, v[0], micros(v[1])));
      case "frequency" ->
          of(
              form,
              List.of(axis(s, form, hertz), length(s, "for")),
              (at, v) -> new Event.FrequencyStep(at, v[0], micros(v[1])));
      case "phaseJump" ->
          of(
              "phase-jump",
              List.of(axis(s, form, (p, n) -> p.quantity(n, Dimension.ANGLE, -180, 180, ""))),
              (at, v) -> new Event.PhaseJump(at, v[0]));
      case "brownOut" ->
          of(
              "brown-out",
              List.of(axis(s, form, share), length(s, "fall"), length(s, "for"), length(s, "rise")),
              (at, v) -> new Event.BrownOut(at, v[0], micros(v[1]), micros(v[2]), micros(v[3])));
      case "frequencyRamp" ->
          of(
              "frequency-ramp",
              List.of(
                  axis(s, form, hertz),
                  axis(
                      s,
                      "rate",
                      (p, n) -> p.quantity(n, Dimension.FREQUENCY_RATE, 0.001, 100, "Above 0.")),
                  length(s, "for")),
              (at, v) -> new Event.FrequencyRamp(at, v[0], v[1], micros(v[2])));
      default -> reclose(s);
    };
  }

  private static Mishap outage(Section s) {
    List<Axis> axes = new ArrayList<>();
    axes.add(length(s, "outage"));
    Reading angle = (p, n) -> p.quantity(n, Dimension.ANGLE, -180, 180, "");
    axes.add(s.has("returnAngle") ? axis(s, "returnAngle", angle) : still("returnAngle", 0));
    if (!s.has("matchedLoad")) {
      return of("outage", axes, (at, v) -> new Event.Outage(at, micros(v[0]), v[1], NO_MATCH));
    }
    axes.add(axis(s, "matchedLoad", (p, n) -> p.quantity(n, Dimension.RATIO, 0, 10, "")));
    Reading quality = (p, n) -> p.number(n, 0, 10, "");
    axes.add(s.has("qualityFactor") ? axis(s, "qualityFactor", quality) : still("q", 1));
    Reading balance = (p, n) -> p.number(n, -1, 1, "0 is a perfect match.");
    axes.add(s.has("imbalance") ? axis(s, "imbalance", balance) : still("imbalance", 0));
    return of(
        "outage-matched",
        axes,
        (at, v) ->
            new Event.Outage(
                at, micros(v[0]), v[1], Optional.of(new Event.Match(v[2], v[3], v[4]))));
  }

  private static final Optional<Event.Match> NO_MATCH = Optional.empty();

  private static Axis still(String name, double value) {
    return Axis.of(name, List.of(value));
  }

  private static Mishap reclose(Section s) {
    List<Long> lengths =
        s.has("reclose")
            ? s.durations("reclose", 1, "Lengths of off, on, off and so on.")
            : List.of();
    if (lengths.size() % 2 == 0 && s.has("reclose") && !s.isWrong("reclose")) {
      s.wrong("reclose", "an odd number of durations: off, on, off and so on", "Leave one out.");
    }
    return of("reclose", List.of(), (at, v) -> new Event.Reclose(at, lengths));
  }

  private static Mishap of(String kind, List<Axis> axes, Mishap.Maker maker) {
    return new Mishap(kind, kind, axes, Site.Arrangement::hasUtility, maker);
  }

  /** Read for the arrangement that has everything; a course that lacks the part is left out. */
  private static Mishap operator(Section s) {
    Event.Operator event =
        (Event.Operator) new EventReader(Long.MAX_VALUE, Site.Arrangement.TWO_PANEL).operator(s, 0);
    String kind = Section.word(event.action());
    String label = event.key().isEmpty() ? kind : kind + " " + event.key();
    return new Mishap(
        kind,
        label,
        List.of(),
        a -> event.action() != Event.Action.SWITCH || a.hasChangeover(),
        (at, v) -> new Event.Operator(at, event.action(), event.key(), event.forMicros()));
  }

  private static List<Mishap> fault(Section s, Optional<Axis> lasting) {
    FaultKind kind = s.choice("kind", FaultKind.class, "");
    if (s.isWrong("kind")) {
      s.names(); // what else belongs here depends on the kind
      return List.of();
    }
    List<String> devices =
        s.has("device")
            ? s.oneOrMore("device", d -> d.choice("device", kind.devices(), ""))
            : kind.devices();
    List<Axis> axes = new ArrayList<>();
    lasting.ifPresent(axes::add);
    List<String> names = kind.parameters().stream().map(FaultKind.Parameter::name).toList();
    for (FaultKind.Parameter p : kind.parameters()) {
      Reading number =
          (part, name) ->
              part.number(name, p.minimum(), p.maximum(), "It says " + p.meaning() + ".");
      axes.add(axis(s, p.name(), number));
    }
    List<String> claims =
        kind.claims().isEmpty()
            ? List.of("")
            : s.has("as")
                ? s.oneOrMore("as", c -> c.choice("as", kind.claims(), ""))
                : kind.claims();
    List<Mishap> mishaps = new ArrayList<>();
    for (String device : devices) {
      for (String signal : signals(s, kind, device)) {
        for (String claim : claims) {
          mishaps.add(fault(kind, device, signal, claim, names, axes, lasting.isPresent()));
        }
      }
    }
    if (mishaps.isEmpty() && !s.isWrong("signal")) {
      s.wrong("signal", "a signal of " + String.join(" or ", devices), "");
    }
    return mishaps;
  }

  /** The signals that are asked for, as far as the device has them. */
  private static List<String> signals(Section s, FaultKind kind, String device) {
    List<String> all = kind.signals(device);
    if (all.isEmpty() || !s.has("signal")) {
      return all.isEmpty() ? List.of("") : all;
    }
    List<String> known =
        kind.devices().stream().flatMap(d -> kind.signals(d).stream()).distinct().toList();
    List<String> asked = s.oneOrMore("signal", x -> x.choice("signal", known, ""));
    return asked.stream().filter(all::contains).toList();
  }

  private static Mishap fault(
      FaultKind kind,
      String device,
      String signal,
      String claim,
      List<String> names,
      List<Axis> axes,
      boolean ends) {
    int first = ends ? 1 : 0;
    String word = Section.word(kind);
    String where = kind.devices().size() == 1 ? "" : " " + device;
    String label = word + where + (signal.isEmpty() ? "" : " " + signal);
    return new Mishap(
        word,
        claim.isEmpty() ? label : label + " " + claim,
        axes,
        a -> EventReader.there(kind, device, a),
        (at, v) -> {
          Map<String, Double> numbers = new TreeMap<>();
          for (int i = 0; i < names.size(); i++) {
            numbers.put(names.get(i), v[first + i]);
          }
          return new Event.Fault(at, kind, device, signal, numbers, claim, ends ? micros(v[0]) : 0);
        });
  }

  private static Axis length(Section s, String name) {
    return axis(s, name, MishapReader::seconds);
  }

  private static double seconds(Section s, String name) {
    return s.duration(name, 1, 1, "") / SECOND;
  }

  private static long micros(double seconds) {
    return Math.max(1, StrictMath.round(seconds * SECOND));
  }

  private static Axis axis(Section s, String name, Reading reading) {
    if (!s.hasGroup(name)) {
      return Axis.of(name, s.oneOrMore(name, part -> reading.apply(part, name)));
    }
    return s.section(
        name,
        "",
        range -> {
          double from = reading.apply(range, "from");
          double to = reading.apply(range, "to");
          if (from >= to) {
            range.wrong("to", "more than from", "Give a list for a single value.");
          }
          return Axis.range(name, from, to);
        });
  }
}
