package islet.bench.campaign;

import islet.bench.Hazards;
import islet.bench.Rehearsal;
import islet.bench.ResolvedScenario;
import islet.bench.RunResult;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.bench.Scenario;
import islet.bench.campaign.CaseRow.Verdict;
import islet.control.SupervisorMaker;
import islet.plant.DataFiles;
import java.util.Collections;
import java.util.List;
import java.util.stream.Collectors;

/** Runs cases, on any thread. */
final class CaseRunner {

  private final Campaign campaign;
  private final String version;
  private final DataFiles files = new DataFiles();

  CaseRunner(Campaign campaign, String version) {
    this.campaign = campaign;
    this.version = version;
  }

  /** A scenario's result under a supervisor. */
  RunResult result(Scenario scenario, SupervisorMaker maker) {
    return new Rehearsal(scenario, maker, files).run(micros -> {}).record(version).result();
  }

  /** Runs a course undisturbed. */
  Healthy healthy(Course course, SupervisorMaker maker) {
    Scenario scenario = CampaignCase.healthy(0, course).scenario();
    return new Healthy(result(scenario, maker), scenario.durationMicros());
  }

  /** Runs a case. */
  CaseRow run(CampaignCase one, SupervisorMaker maker, Healthy healthy) {
    try {
      return row(one, maker.name(), result(one.scenario(), maker), healthy);
    } catch (RuntimeException e) {
      // One case that breaks off must not take the others with it; its row says what happened.
      return row(
          one, maker.name(), Verdict.BROKEN, "", -1, -1, "The run broke off: " + e, List.of());
    }
  }

  /**
   * Runs a planted defect: the row passes when the hazard that is named has caught it.
   *
   * @param hazard by id
   */
  CaseRow planted(CampaignCase one, SupervisorMaker maker, Healthy healthy, String hazard) {
    RunResult result = result(one.scenario(), maker);
    List<String> caught =
        result.hazards().stream()
            .filter(h -> h.verdict() == Outcome.FAIL)
            .map(HazardVerdict::id)
            .toList();
    HazardVerdict named =
        result.hazards().stream().filter(h -> h.id().equals(hazard)).findFirst().orElseThrow();
    boolean found = caught.contains(hazard);
    String others =
        caught.isEmpty() ? "No hazard caught it." : "Caught by " + String.join(", ", caught) + ".";
    return row(
        one,
        maker.name(),
        found ? Verdict.PASS : Verdict.FAIL,
        hazard,
        healthy.share(named),
        named.firstAtSeconds(),
        found ? others + " " + named.detail() : "Not caught by " + hazard + ". " + others,
        result.hazards());
  }

  private CaseRow row(CampaignCase one, String supervisor, RunResult result, Healthy healthy) {
    boolean failed = false;
    boolean waived = false;
    HazardVerdict nearest = result.hazards().get(0);
    double share = Double.POSITIVE_INFINITY;
    for (HazardVerdict hazard : result.hazards()) {
      boolean violated = hazard.verdict() == Outcome.FAIL;
      boolean excused = violated && waived(one, hazard.id());
      // What fails the case is told before what was waived, and that before what only came near.
      double itsShare = healthy.share(hazard);
      boolean first = violated && !excused && !failed;
      boolean later = failed && !(violated && !excused);
      if (first || (!later && itsShare < share)) {
        share = itsShare;
        nearest = hazard;
      }
      failed |= violated && !excused;
      waived |= excused;
    }
    boolean crashed = result.expectations().stream().anyMatch(e -> e.verdict() == Outcome.FAIL);
    Verdict verdict =
        failed ? Verdict.FAIL : crashed ? Verdict.BROKEN : waived ? Verdict.WAIVED : Verdict.PASS;
    return row(
        one,
        supervisor,
        verdict,
        nearest.id(),
        share,
        nearest.firstAtSeconds(),
        crashed && !failed ? result.cautions().get(0) : nearest.detail(),
        result.hazards());
  }

  /** A case's row; {@code hazards} are empty when it broke off. */
  private static CaseRow row(
      CampaignCase one,
      String supervisor,
      Verdict verdict,
      String hazard,
      double share,
      double firstAtSeconds,
      String detail,
      List<HazardVerdict> hazards) {
    List<Double> none = Collections.nCopies(Hazards.IDS.size(), Double.NaN);
    return new CaseRow(
        one.id(),
        one.course().name(),
        one.mode(),
        one.mishap(),
        one.atMicros(),
        one.events().stream().map(ResolvedScenario::event).collect(Collectors.joining("\n")),
        supervisor,
        verdict,
        hazard,
        share,
        firstAtSeconds,
        detail,
        hazards.isEmpty() ? none : hazards.stream().map(HazardVerdict::worstMargin).toList(),
        hazards.isEmpty() ? none : hazards.stream().map(HazardVerdict::share).toList());
  }

  private boolean waived(CampaignCase one, String hazard) {
    return campaign.waivers().stream()
        .anyMatch(w -> w.hazard().equals(hazard) && one.kinds().contains(w.kind()));
  }
}
