package islet.bench;

import islet.bench.margin.MostEvents;
import islet.contract.InverterState;
import java.util.Optional;

/**
 * Transfers, starts or stage changes come too often: in any hour more than so many moves of the
 * switch's contact, starts of the inverter or changes of the charge stage. The margin is the count
 * that is left.
 *
 * <p>The bounds are common practice. A contact moves at most {@value #MOVES} times an hour: five
 * disturbances that are each left and returned from, which at a five-minute enter-service delay is
 * as much as a bad line can ask for in half an hour. An inverter starts at most {@value #STARTS}
 * times an hour, as motors and their controllers of that size are rated for. The charge stage
 * changes at most {@value #STAGES} times an hour: a whole charge from bulk to rest and back, again
 * and again under passing clouds, takes fewer.
 *
 * <p>□ (moves of the last hour ≤ M) ∧ □ (starts of the last hour ≤ S) ∧ □ (stage changes of the
 * last hour ≤ C) (see {@link HazardNote}).
 */
final class Chatter implements Hazard {

  static final String ID = "chatter";

  static final int MOVES = 10;
  static final int STARTS = 10;
  static final int STAGES = 20;

  private static final long HOUR = 3_600_000_000L;

  private final MostEvents moves = new MostEvents(MOVES, HOUR);
  private final MostEvents starts = new MostEvents(STARTS, HOUR);
  private final MostEvents stages = new MostEvents(STAGES, HOUR);

  private boolean started;
  private long at;
  private boolean contact;
  private boolean runs;
  private double stage;
  private boolean keptContact;
  private boolean keptRuns;
  private double keptStage;

  @Override
  public String id() {
    return ID;
  }

  @Override
  public String title() {
    return "Transfers, starts or stage changes too often";
  }

  @Override
  public void truth(Truth truth) {
    long micros = truth.micros();
    // Devices settle in several rounds at one instant; what counts is how an instant ends.
    if (micros > at) {
      settle();
      at = micros;
    }
    contact = truth.contactClosed;
    runs = runs((int) truth.get(Signal.INVERTER_STATE));
    stage = truth.get(Signal.REGULATOR_STAGE);
  }

  private static boolean runs(int state) {
    return state != InverterState.OFF.ordinal() && state != InverterState.FAULT.ordinal();
  }

  private void settle() {
    if (started) {
      if (contact != keptContact) {
        moves.happened(at);
      }
      if (runs && !keptRuns) {
        starts.happened(at);
      }
      if (stage != keptStage) {
        stages.happened(at);
      }
    }
    started = at > 0;
    keptContact = contact;
    keptRuns = runs;
    keptStage = stage;
  }

  @Override
  public void finish(long endMicros) {
    settle();
  }

  @Override
  public Finding finding() {
    return counted(moves, "The switch moved", "moves")
        .tighter(counted(starts, "The inverter started", "starts"))
        .tighter(counted(stages, "The charge stage changed", "changes"));
  }

  @Override
  public Optional<Distance> distance(long micros) {
    return Distance.nearer(
        left(moves, micros, "Moves of the switch"),
        Distance.nearer(
            left(starts, micros, "Starts of the inverter"),
            left(stages, micros, "Changes of the charge stage")));
  }

  private static Optional<Distance> left(MostEvents events, long micros, String what) {
    int within = events.within(micros);
    int left = events.bound() - within;
    return Optional.of(
        new Distance(
            (double) left / events.bound(),
            left,
            "1",
            what + " in the last hour: " + within + "; allowed are " + events.bound() + "."));
  }

  private static Finding counted(MostEvents events, String what, String called) {
    if (events.most() == 0) {
      return Finding.idle(events.bound(), "1", "Nothing was switched, started or staged anew.");
    }
    boolean violated = events.violatedAt() >= 0;
    return new Finding(
        (double) events.margin() / events.bound(),
        events.margin(),
        "1",
        violated,
        violated ? events.violatedAt() : events.mostAt(),
        what
            + (events.most() == 1 ? " once" : " " + events.most() + " times")
            + " within an hour; allowed are "
            + events.bound()
            + " "
            + called
            + ".");
  }
}
