package islet.bench.guided;

import islet.bench.RunResult;
import islet.bench.Stop;
import java.util.List;

/**
 * The record of a guided rehearsal, as it is signed.
 *
 * @param result what the run came to
 * @param siteId the site as topics name it
 * @param simulatedFrom the start of the run in civil time at the site, ISO 8601 with offset
 * @param scenarioSha256 of the scenario as resolved, the run folder's {@code scenario.yaml}
 * @param files the run folder's other files that are the same whenever it is run
 * @param settings as found
 * @param steps by number
 * @param begun when the first question was asked, ISO 8601 with offset
 * @param signature who signed
 */
public record GuidedRecord(
    RunResult result,
    String siteId,
    String simulatedFrom,
    String scenarioSha256,
    List<FileDigest> files,
    List<AsFound.Group> settings,
    List<Step> steps,
    String begun,
    Signature signature) {

  /** What the record is not, on its face. */
  public static final String NOTICE =
      "This is the record of a rehearsal on a simulated plant. It does not replace the tests that"
          + " the authority having jurisdiction, the utility and a licensed person require, nor the"
          + " certified protection of the equipment. Local codes and the manufacturers' instructions"
          + " come first.";

  /** How the digest is made, for somebody who wants to check it without Islet. */
  public static final String CHECK =
      "The digest stands for every line of record.json before its own. Check it with"
          + " \"islet replay\" on the folder, or: head -n -2 record.json | sha256sum. It shows a later"
          + " change to whoever holds this paper; it proves no identity, which the hand-written"
          + " signature does.";

  public GuidedRecord {
    files = List.copyOf(files);
    settings = List.copyOf(settings);
    steps = List.copyOf(steps);
  }

  /** How it all came out. */
  public enum Outcome {
    PASS,
    FAIL,
    /** Nothing failed, but a step was skipped. */
    OPEN
  }

  /** One file of the run's folder. */
  public record FileDigest(String name, String sha256) {}

  /**
   * One stop and what was said there.
   *
   * @param at civil time at the site, ISO 8601 with offset
   * @param atSeconds after the start of the run
   */
  public record Step(Stop stop, String at, double atSeconds, Answer answer) {}

  /**
   * A signature.
   *
   * @param name who signs
   * @param text what was typed as the signature
   * @param when ISO 8601 with offset
   */
  public record Signature(String name, String text, String when) {}

  /** Failed when the run or a step failed, open when a step was skipped, else passed. */
  public Outcome outcome() {
    if (!result.passed() || count(Verdict.FAIL) > 0) {
      return Outcome.FAIL;
    }
    return count(Verdict.SKIP) > 0 ? Outcome.OPEN : Outcome.PASS;
  }

  /** How many steps were judged so. */
  public long count(Verdict verdict) {
    return steps.stream().filter(step -> step.answer().verdict() == verdict).count();
  }
}
