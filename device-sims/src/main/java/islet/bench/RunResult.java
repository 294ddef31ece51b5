package islet.bench;

import islet.bench.plug.Supervisors;
import islet.contract.Decimal;
import java.util.List;

/**
 * What a run came to. The run folder's {@code verdict.json} is this, field for field; times in
 * seconds from the start of the scenario.
 *
 * @param supervisor whose logic was judged; {@code islet} for Islet's own
 */
public record RunResult(
    String scenario,
    String site,
    long seed,
    String version,
    double simulatedSeconds,
    boolean passed,
    List<HazardVerdict> hazards,
    List<ExpectationVerdict> expectations,
    List<Transition> transitions,
    List<Entry> energy,
    List<Entry> cost,
    List<AlarmEntry> alarms,
    List<String> cautions,
    String supervisor) {

  public RunResult {
    hazards = List.copyOf(hazards);
    expectations = List.copyOf(expectations);
    transitions = List.copyOf(transitions);
    energy = List.copyOf(energy);
    cost = List.copyOf(cost);
    alarms = List.copyOf(alarms);
    cautions = List.copyOf(cautions);
  }

  /** Of a run with Islet's own supervisor. */
  public RunResult(
      String scenario,
      String site,
      long seed,
      String version,
      double simulatedSeconds,
      boolean passed,
      List<HazardVerdict> hazards,
      List<ExpectationVerdict> expectations,
      List<Transition> transitions,
      List<Entry> energy,
      List<Entry> cost,
      List<AlarmEntry> alarms,
      List<String> cautions) {
    this(
        scenario,
        site,
        seed,
        version,
        simulatedSeconds,
        passed,
        hazards,
        expectations,
        transitions,
        energy,
        cost,
        alarms,
        cautions,
        Supervisors.OWN_NAME);
  }

  /** How a judgement went. */
  public enum Outcome {
    PASS,
    FAIL,
    /** Violated, but waived by the scenario with a reason, which the detail repeats. */
    WAIVED
  }

  /**
   * One hazard.
   *
   * @param id as in the scenario's {@code waive:}
   * @param worstMargin how far from violated at the worst instant, negative when violated
   * @param unit the margin's unit; {@code 1} for a count
   * @param firstAtSeconds the first violation, or the worst instant when there was none; −1 when
   *     the hazard never had an occasion
   * @param share the margin as a share of its formula's scale, by which hazards of different units
   *     compare: 1 at the widest, 0 at the bound; not a number when it is not known
   */
  public record HazardVerdict(
      String id,
      String title,
      Outcome verdict,
      double worstMargin,
      String unit,
      double firstAtSeconds,
      String detail,
      double share) {

    /** One whose share is not known, as of a verdict that is read back. */
    public HazardVerdict(
        String id,
        String title,
        Outcome verdict,
        double worstMargin,
        String unit,
        double firstAtSeconds,
        String detail) {
      this(id, title, verdict, worstMargin, unit, firstAtSeconds, detail, Double.NaN);
    }

    /** The margin with its unit, such as {@code 2.5 s}; a count goes without. */
    public String marginText() {
      return Decimal.text(worstMargin, 3) + (unit.equals("1") ? "" : " " + unit);
    }
  }

  /** One expectation of the scenario; {@code text} as the file has it. */
  public record ExpectationVerdict(
      String text, Outcome verdict, double margin, String unit, double atSeconds) {}

  /** A change of the supervisor's mode as the wire told it. */
  public record Transition(double atSeconds, String from, String to, String reason) {}

  /** A name, a value, and the unit in the name ({@code import_kWh}). */
  public record Entry(String name, double value) {}

  /** An alarm's rise. */
  public record AlarmEntry(
      double atSeconds,
      String id,
      String priority,
      String text,
      String consequence,
      String action) {}
}
