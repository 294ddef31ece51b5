package islet.bench;

import islet.site.InputException;
import islet.site.InputFile;
import islet.site.Problem;
import islet.site.Section;
import islet.site.Site;
import islet.site.SiteReader;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.TreeSet;
import java.util.stream.Collectors;

/**
 * The same case at a site whose parts are joined otherwise: the same place and so the same sun, the
 * same loads, the same utility and prices, the same events at the same instants, settings, seed and
 * state of charge at the start. Only then is a difference between the two the arrangement's.
 *
 * <p>What a scenario expects is said of its own site, so nothing is expected of the other but that
 * no hazard comes.
 *
 * @param scenario the case at the other site
 * @param leftOut events that the other site has no part for, each in words
 */
public record Rearranged(Scenario scenario, List<String> leftOut) {

  private static final double MICROS_PER_SECOND = 1e6;

  public Rearranged {
    leftOut = List.copyOf(leftOut);
  }

  /**
   * Reads the other site and puts the case there.
   *
   * @throws InputException when the site's file is wrong, when the scenario's settings do not suit
   *     it, or when anything differs that must be the same
   */
  public static Rearranged of(Scenario first, Path siteFile) {
    Site other = SiteReader.read(siteFile, first.settings());
    List<Problem> problems = new Differences(siteFile, first.site(), other).all();
    if (!problems.isEmpty()) {
      throw new InputException(problems);
    }
    boolean alone = first.file().equals(first.siteFile());
    List<Event> events = new ArrayList<>();
    List<String> leftOut = new ArrayList<>();
    for (Event event : first.events()) {
      if (isPossible(event, other.arrangement())) {
        events.add(event);
      } else {
        leftOut.add(words(event, other));
      }
    }
    Path there = InputFile.tidy(siteFile);
    return new Rearranged(
        new Scenario(
            alone ? other.name() + " on a steady utility" : first.title(),
            alone ? there : first.file(),
            there,
            other,
            first.settings(),
            first.startMicros(),
            first.durationMicros(),
            first.seed(),
            first.weather(),
            first.initialSoc(),
            first.initialHealth(),
            first.tieClosed() && other.arrangement().hasSwitch(),
            events,
            List.of(),
            first.waive(),
            first.traceStepS()),
        leftOut);
  }

  private static boolean isPossible(Event event, Site.Arrangement arrangement) {
    if (event instanceof Event.Fault fault) {
      return fault.device().isEmpty()
          || EventReader.there(fault.kind(), fault.device(), arrangement);
    }
    if (event instanceof Event.Operator operator) {
      return operator.action() != Event.Action.SWITCH || arrangement.hasChangeover();
    }
    return event instanceof Event.Cloud
        || event instanceof Event.LoadStep
        || arrangement.hasUtility();
  }

  private static String words(Event event, Site site) {
    String what =
        event instanceof Event.Fault fault
            ? "the fault " + fault.kind().word() + ", which needs a " + fault.device()
            : event instanceof Event.Operator
                ? "a hand on the changeover switch"
                : "an event of the utility";
    return site.name()
        + " goes without "
        + what
        + ", "
        + Amount.of(event.atMicros() / MICROS_PER_SECOND, "s")
        + " after the start.";
  }

  /** What differs between two sites though it must not. */
  private static final class Differences {

    private final String file;
    private final Site first;
    private final Site other;
    private final List<Problem> problems = new ArrayList<>();

    Differences(Path siteFile, Site first, Site other) {
      file = InputFile.shown(siteFile);
      this.first = first;
      this.other = other;
    }

    List<Problem> all() {
      if (first.id().equals(other.id())) {
        wrong("id", quoted(other.id()), "an id of its own", "Both would speak on the same topics.");
      }
      if (!first.place().equals(other.place())) {
        wrong(
            "place",
            "another place than that of " + quoted(first.id()),
            "the same place, so that both have the same sun",
            "Give both files the same latitude, longitude, altitude, albedo and zone.");
      }
      circuits();
      if (first.arrangement().hasUtility() && other.arrangement().hasUtility()) {
        utility();
      }
      return problems;
    }

    private void circuits() {
      TreeSet<String> apart = new TreeSet<>(apart(first, other));
      apart.addAll(apart(other, first));
      if (!apart.isEmpty()) {
        wrong(
            "circuits",
            "other loads than those of " + quoted(first.id()) + ": " + String.join(", ", apart),
            "the same circuits, on whichever panel",
            "What is switched on must be the same at both.");
      }
    }

    private static List<String> apart(Site one, Site than) {
      List<Site.Circuit> known =
          than.circuits().stream().map(Differences::anywhere).collect(Collectors.toList());
      return one.circuits().stream()
          .map(Differences::anywhere)
          .filter(circuit -> !known.contains(circuit))
          .map(Site.Circuit::name)
          .toList();
    }

    /** The circuit, whichever panel it hangs on. */
    private static Site.Circuit anywhere(Site.Circuit c) {
      return new Site.Circuit(
          c.name(),
          Site.Panel.CRITICAL,
          c.load(),
          c.zShare(),
          c.iShare(),
          c.pShare(),
          c.powerFactor(),
          c.inrush());
    }

    private void utility() {
      Site.Utility a = first.utility();
      Site.Utility b = other.utility();
      boolean same =
          a.nominalV() == b.nominalV()
              && a.nominalHz() == b.nominalHz()
              && a.serviceOhm() == b.serviceOhm()
              && a.serviceReactanceOhm() == b.serviceReactanceOhm()
              && a.lineLoadW() == b.lineLoadW();
      if (!same) {
        wrong(
            "utility",
            "another utility than that of " + quoted(first.id()),
            "the same one; only its export limit may differ",
            "Give both files the same nominal values, service and line load.");
      }
      if (!first.tariff().equals(other.tariff())) {
        wrong(
            "tariff",
            "other prices than those of " + quoted(first.id()),
            "the same tariff",
            "Two tariffs are compared with: compare --vary tariff=A,B.");
      }
    }

    private void wrong(String field, String found, String allowed, String advice) {
      problems.add(new Problem(file, 0, field, found, allowed, advice));
    }

    private static String quoted(String text) {
      return '"' + text + '"';
    }
  }

  /** How the other site is arranged, as its file writes it. */
  public String arrangement() {
    return Section.word(scenario.site().arrangement());
  }
}
