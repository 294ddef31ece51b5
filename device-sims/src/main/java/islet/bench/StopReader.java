package islet.bench;

import islet.site.Section;
import islet.site.Spelling;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;

/** Reads where a guided rehearsal stops for a person. */
final class StopReader {

  private static final List<String> SIGNALS = Signal.all().stream().map(Signal::label).toList();

  private final long durationMicros;

  /** Reads the stops of a run of this length. */
  StopReader(long durationMicros) {
    this.durationMicros = durationMicros;
  }

  /** The stops by time; those at the same instant in the order of the file. */
  List<Stop> stops(Section s) {
    if (!s.has("stops")) {
      return List.of();
    }
    List<Stop> stops = new ArrayList<>(s.sections("stops", "", this::stop));
    stops.sort(Comparator.comparingLong(Stop::atMicros));
    return stops;
  }

  private Stop stop(Section s) {
    long at = s.duration("at", 0, 0, "Time after the start of the run.");
    if (at > durationMicros) {
      s.wrong(
          "at",
          "the scenario's duration or less, " + Micros.iso(durationMicros),
          "Move the stop, or make the run longer.");
    }
    String act = s.text("do", "text", "Say what the person does or would do on the plant.");
    String see = s.text("see", "text", "Say what should be seen.");
    List<Signal> measure = s.has("measure") ? signals(s) : List.of();
    String safety = s.has("safety") ? s.text("safety", "text", "") : "";
    return new Stop(at, act.strip(), see.strip(), measure, safety.strip());
  }

  private static List<Signal> signals(Section s) {
    String allowed = "signals out of " + String.join(", ", SIGNALS);
    List<Signal> signals = new ArrayList<>();
    List<String> names = s.texts("measure", allowed, "");
    if (names.isEmpty() && !s.isWrong("measure")) {
      s.wrong("measure", "an empty list", allowed, "Leave it out, or name a signal.");
    }
    for (String name : names) {
      Optional<Signal> signal = Signal.named(name);
      if (signal.isEmpty()) {
        s.wrong("measure", "\"" + name + "\"", allowed, Spelling.question(name, SIGNALS));
      } else if (signals.contains(signal.get())) {
        s.wrong("measure", "\"" + name + "\" twice", "each signal once", "Remove one of the two.");
      }
      signal.ifPresent(signals::add);
    }
    return signals;
  }
}
