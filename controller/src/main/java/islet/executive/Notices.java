package islet.executive;

import java.util.Locale;
import java.util.function.Consumer;
import java.util.function.LongSupplier;

/**
 * Tells a person at the machine, and everybody on the wire, what is worth knowing of the controller
 * itself: its role, its link, and cycles that went without a scan.
 */
public final class Notices {

  /** Overruns are told at most so often. */
  private static final long OVERRUN_MICROS = 60_000_000;

  private static final long NEVER = Long.MIN_VALUE / 2;

  private final Duty duty;
  private final LongSupplier overruns;
  private final Consumer<String> person;
  private boolean first = true;
  private Duty.Role role = Duty.Role.OBSERVING;
  private boolean linked;
  private long told;
  private long toldAt = NEVER;

  /**
   * Looks at a controller.
   *
   * @param overruns cycles without a scan since the start
   * @param person is told a line
   */
  public Notices(Duty duty, LongSupplier overruns, Consumer<String> person) {
    this.duty = duty;
    this.overruns = overruns;
    this.person = person;
  }

  /** Looks once; to be called after each scan. */
  public void look(long nowMicros) {
    if (first || duty.role() != role) {
      role = duty.role();
      person.accept(role.name().toLowerCase(Locale.ROOT));
      first = false;
    }
    if (duty.linked() != linked) {
      linked = duty.linked();
      person.accept(linked ? "link up" : "link down");
    }
    long count = overruns.getAsLong();
    if (count > told && nowMicros - toldAt >= OVERRUN_MICROS) {
      String before = Long.toString(told);
      told = count;
      toldAt = nowMicros;
      person.accept(count + " cycles have gone without a scan since the start");
      duty.executive()
          .announce(
              "overrun", before, Long.toString(count), "cycles without a scan since the start");
    }
  }
}
