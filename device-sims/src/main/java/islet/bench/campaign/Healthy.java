package islet.bench.campaign;

import islet.bench.RunResult;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Transition;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * How a course goes when nothing more happens: when it is in which mode, and how far it stays from
 * each hazard. Distances of its cases are told as shares of these.
 */
public final class Healthy {

  private static final String FIRST = "STARTING";

  /** A distance that is nearly none still serves as a measure. */
  private static final double LEAST = 1e-6;

  /** A time in one mode, µs after the start. */
  record Span(String mode, long from, long to) {}

  private final List<Span> spans = new ArrayList<>();
  private final Map<String, Double> shares = new LinkedHashMap<>();
  private final RunResult result;

  Healthy(RunResult result, long durationMicros) {
    this.result = result;
    String mode = FIRST;
    long since = 0;
    for (Transition transition : result.transitions()) {
      long at = Math.min(durationMicros, StrictMath.round(transition.atSeconds() * 1e6));
      add(mode, since, at);
      mode = transition.to();
      since = at;
    }
    add(mode, since, durationMicros);
    for (HazardVerdict hazard : result.hazards()) {
      shares.put(hazard.id(), hazard.share());
    }
  }

  private void add(String mode, long from, long to) {
    if (to > from) {
      spans.add(new Span(mode, from, to));
    }
  }

  /** The run itself. */
  public RunResult result() {
    return result;
  }

  /** The modes that it passes, in their order. */
  List<String> modes() {
    Set<String> modes = new LinkedHashSet<>();
    spans.forEach(span -> modes.add(span.mode()));
    return List.copyOf(modes);
  }

  /** Instants at which its mode changes, µs after the start. */
  List<Long> changes() {
    return spans.stream().skip(1).map(Span::from).toList();
  }

  /**
   * An instant in a mode.
   *
   * @param share of the whole time spent in it, 0 (included) to 1 (excluded)
   * @return µs after the start; −1 when the course never is in that mode
   */
  long instant(String mode, double share) {
    long whole = 0;
    for (Span span : spans) {
      whole += span.mode().equals(mode) ? span.to() - span.from() : 0;
    }
    long left = (long) (share * whole);
    for (Span span : spans) {
      if (span.mode().equals(mode)) {
        long length = span.to() - span.from();
        if (left < length) {
          return span.from() + left;
        }
        left -= length;
      }
    }
    return -1;
  }

  /** The mode at an instant. */
  String modeAt(long micros) {
    String mode = FIRST;
    for (Span span : spans) {
      mode = span.from() <= micros ? span.mode() : mode;
    }
    return mode;
  }

  /** How far a case is from a hazard, over this course's own: 1 is as far as ever, 0 is it. */
  double share(HazardVerdict hazard) {
    return share(hazard.id(), hazard.share());
  }

  /** The same by the hazard's id and the case's share of its scale. */
  double share(String hazard, double share) {
    return share / Math.max(LEAST, Math.abs(shares.getOrDefault(hazard, 1.0)));
  }
}
