package islet.bench;

import islet.bench.RunResult.ExpectationVerdict;
import islet.contract.Alarm;
import islet.contract.Device;
import islet.contract.Event;
import java.util.ArrayList;
import java.util.List;

/** Judges what a scenario's author expects, while the run goes on. */
public final class Expectations implements Witness {

  private final List<Expectation> expectations;
  private final Check[] checks;
  private final long startMicros;
  private long endMicros;

  /**
   * The checks of a run.
   *
   * @param startMicros the start of the scenario, microseconds since 1970
   */
  public Expectations(List<Expectation> expectations, long startMicros) {
    this.expectations = List.copyOf(expectations);
    this.startMicros = startMicros;
    endMicros = startMicros;
    checks = new Check[expectations.size()];
    for (int i = 0; i < checks.length; i++) {
      checks[i] = check(expectations.get(i), startMicros);
    }
  }

  /** One expectation under judgement. */
  interface Check extends Witness {

    /** What it came to, after {@link Witness#finish}. */
    Finding finding();
  }

  /** An expectation with its text; the finding's detail is that text. */
  private static Check check(Expectation expectation, long start) {
    if (expectation instanceof Expectation.Becomes e) {
      return new BecomesCheck(e, start);
    }
    if (expectation instanceof Expectation.Stays e) {
      return new StaysCheck(e, start);
    }
    if (expectation instanceof Expectation.Bound e) {
      return new BoundCheck(e, start);
    }
    if (expectation instanceof Expectation.Transitions e) {
      return new TransitionsCheck(e, start);
    }
    if (expectation instanceof Expectation.Transition e) {
      return new TransitionCheck(e, start);
    }
    return new AlarmCheck((Expectation.Alarm) expectation, start);
  }

  /** Whether a longer run might have met what this one did not. */
  private static boolean open(Expectation expectation, Finding finding, long ranMicros) {
    boolean unmet = finding.violated() && finding.atMicros() < 0;
    if (expectation instanceof Expectation.Becomes e) {
      return unmet && ranMicros < deadline(e, e.withinMicros());
    }
    if (expectation instanceof Expectation.Transition e) {
      return unmet && ranMicros < deadline(e, e.withinMicros());
    }
    if (expectation instanceof Expectation.Alarm e) {
      return unmet && ranMicros < deadline(e, e.withinMicros());
    }
    if (expectation instanceof Expectation.Transitions) {
      return ranMicros < expectation.untilMicros();
    }
    // Bounds and values to be kept: open only when the run did not get as far as their beginning.
    return ranMicros <= expectation.afterMicros();
  }

  private static long deadline(Expectation expectation, long withinMicros) {
    return Math.min(expectation.afterMicros() + withinMicros, expectation.untilMicros());
  }

  @Override
  public void truth(Truth truth) {
    for (Check check : checks) {
      check.truth(truth);
    }
  }

  @Override
  public void happened(long micros, Device device, Event event) {
    for (Check check : checks) {
      check.happened(micros, device, event);
    }
  }

  @Override
  public void alarmed(long micros, Device device, Alarm alarm) {
    for (Check check : checks) {
      check.alarmed(micros, device, alarm);
    }
  }

  @Override
  public void finish(long end) {
    endMicros = end;
    for (Check check : checks) {
      check.finish(end);
    }
  }

  /**
   * The verdicts in the order of the scenario, after {@link #finish}: one an expectation, but for
   * those that stay open since the run ended before their time.
   */
  public List<ExpectationVerdict> verdicts() {
    List<ExpectationVerdict> verdicts = new ArrayList<>();
    for (int i = 0; i < checks.length; i++) {
      Finding finding = checks[i].finding();
      if (open(expectations.get(i), finding, endMicros - startMicros)) {
        continue;
      }
      verdicts.add(
          new ExpectationVerdict(
              finding.detail(),
              finding.violated() ? RunResult.Outcome.FAIL : RunResult.Outcome.PASS,
              finding.margin(),
              finding.unit(),
              finding.atMicros() < 0 ? -1 : (finding.atMicros() - startMicros) / 1e6));
    }
    return verdicts;
  }
}
