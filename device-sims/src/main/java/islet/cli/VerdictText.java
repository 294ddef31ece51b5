package islet.cli;

import islet.bench.Bill;
import islet.bench.RunResult;
import islet.bench.RunResult.AlarmEntry;
import islet.bench.RunResult.Entry;
import islet.bench.RunResult.ExpectationVerdict;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.bench.RunResult.Transition;
import islet.bench.plug.Supervisors;
import islet.contract.Decimal;
import java.nio.file.Path;
import java.util.Locale;

/** A verdict for the terminal: the answer first, then what it rests on. */
final class VerdictText {

  private static final String CAUTION =
      "Islet rehearses; certified device protection protects. Before live work: isolate, lock out,"
          + " test dead;\nlocal codes and licensed practice come first (docs/safety.md).\n";

  private VerdictText() {}

  /** With the place of the report. */
  static String of(RunResult result, Path folder) {
    return told(result) + "Report: " + folder.resolve("report.html") + "\n" + CAUTION;
  }

  /** Of a run that left no folder. */
  static String of(RunResult result) {
    return told(result) + CAUTION;
  }

  private static String told(RunResult result) {
    StringBuilder text = new StringBuilder();
    text.append(result.passed() ? "PASS  " : "FAIL  ").append(result.scenario()).append('\n');
    text.append("      ")
        .append(result.site())
        .append(", ")
        .append(span(result.simulatedSeconds()))
        .append(" simulated, seed ")
        .append(result.seed());
    if (!result.supervisor().equals(Supervisors.OWN_NAME)) {
      text.append(", supervisor ").append(result.supervisor());
    }
    text.append('\n');
    text.append("\nModes\n");
    for (Transition t : result.transitions()) {
      text.append(
          String.format(
              Locale.ROOT,
              "  %s  %s → %s: %s%n",
              clock(t.atSeconds()),
              t.from(),
              t.to(),
              t.reason()));
    }
    text.append("\nHazards\n");
    for (HazardVerdict h : result.hazards()) {
      text.append(
          String.format(
              Locale.ROOT,
              "  %-6s %-18s %s%n",
              word(h.verdict()),
              h.id(),
              h.firstAtSeconds() < 0 ? "no occasion" : "margin " + h.marginText()));
      if (h.verdict() != Outcome.PASS) {
        text.append("         at ").append(clock(h.firstAtSeconds()).strip()).append(": ");
        text.append(h.detail()).append('\n');
      }
    }
    if (!result.expectations().isEmpty()) {
      text.append("\nExpectations\n");
      for (ExpectationVerdict e : result.expectations()) {
        text.append(
            String.format(
                Locale.ROOT,
                "  %-6s %s (margin %s %s)%n",
                word(e.verdict()),
                e.text(),
                Decimal.text(e.margin(), 3),
                e.unit()));
      }
    }
    if (!result.alarms().isEmpty()) {
      text.append("\nAlarms\n");
      for (AlarmEntry a : result.alarms()) {
        text.append(
            String.format(
                Locale.ROOT,
                "  %s  %s %s: %s%n         What to do: %s%n",
                clock(a.atSeconds()),
                a.priority(),
                a.id(),
                a.text(),
                a.action()));
      }
    }
    if (!result.cost().isEmpty()) {
      text.append("\nBill\n ");
      for (Entry entry : result.cost().stream().filter(Bill::isSum).toList()) {
        text.append(' ').append(entry.name()).append(' ').append(Decimal.text(entry.value(), 2));
      }
      text.append('\n');
    }
    text.append('\n');
    return text.toString();
  }

  private static String word(Outcome outcome) {
    return switch (outcome) {
      case PASS -> "pass";
      case FAIL -> "FAIL";
      case WAIVED -> "waived";
    };
  }

  /** Hours, minutes, seconds and milliseconds from the start. */
  static String clock(double seconds) {
    long millis = Math.round(seconds * 1000);
    return String.format(
        Locale.ROOT,
        "%4d:%02d:%02d.%03d",
        millis / 3_600_000,
        millis / 60_000 % 60,
        millis / 1000 % 60,
        millis % 1000);
  }

  private static String span(double seconds) {
    return seconds >= 172_800
        ? Decimal.text(seconds / 86_400, 2) + " days"
        : seconds >= 3600
            ? Decimal.text(seconds / 3600, 2) + " h"
            : Decimal.text(seconds, 1) + " s";
  }
}
