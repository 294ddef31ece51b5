package islet.control;

/**
 * One measured signal on trial: what it is called, since when it looks wrong, and since when right
 * again. Who was once called bad is believed again only after ten seconds without a flaw, so that a
 * loose plug does not move the set points to and fro.
 */
final class Witness {

  /** So long without a flaw before it is believed again (common practice). */
  private static final long RETURN_MICROS = 10_000_000;

  /** What is wrong for so long is worth an alarm (common practice: some reports at 1 Hz). */
  private static final long RING_MICROS = 5_000_000;

  /** So is what comes and goes for so long. */
  private static final long FLAPPING_MICROS = 60_000_000;

  private final String name;

  private SignalStatus status = SignalStatus.GOOD;
  private SignalStatus looks = SignalStatus.GOOD;
  private long looksSince = Long.MAX_VALUE;
  private long wrongSince = Long.MAX_VALUE;
  private long rightSince = Long.MAX_VALUE;
  private long badSince = Long.MAX_VALUE;
  private boolean rings;

  /**
   * A signal that is believed until something speaks against it.
   *
   * @param name what it measures and who measures it, in words for a person
   */
  Witness(String name) {
    this.name = name;
  }

  /** Takes how the signal looks in this scan; tells an event when its status changes. */
  void judge(SignalStatus seen, long now, Outputs out) {
    if (seen != looks) {
      looks = seen;
      looksSince = now;
    }
    if (seen.bad()) {
      rightSince = Long.MAX_VALUE;
      wrongSince = Math.min(wrongSince, now);
      // A step that stays is not called a disagreement later on: it is the same flaw.
      boolean news = seen != status && !(seen == SignalStatus.DISAGREES && status.bad());
      if (news && now - looksSince >= seen.patienceMicros()) {
        become(seen, now, out);
      }
      rings |=
          status.bad() && (now - wrongSince >= RING_MICROS || now - badSince >= FLAPPING_MICROS);
      return;
    }
    wrongSince = Long.MAX_VALUE;
    rightSince = Math.min(rightSince, now);
    if (status.bad() && now - rightSince >= RETURN_MICROS) {
      become(SignalStatus.GOOD, now, out);
    }
  }

  /** Nothing is heard: what was called so stays so, and no time runs. */
  void unheard() {
    looks = SignalStatus.GOOD;
    looksSince = Long.MAX_VALUE;
    wrongSince = Long.MAX_VALUE;
    rightSince = Long.MAX_VALUE;
    rings = false;
  }

  private void become(SignalStatus next, long now, Outputs out) {
    out.event("signal", status.name(), next.name(), name);
    badSince = next.bad() ? Math.min(badSince, now) : Long.MAX_VALUE;
    rings &= next.bad();
    status = next;
  }

  SignalStatus status() {
    return status;
  }

  boolean good() {
    return status == SignalStatus.GOOD;
  }

  /** Whether it has been bad for long enough to call a person. */
  boolean rings() {
    return rings;
  }

  /** Appends its name and status when it is not believed. */
  void tell(StringBuilder text) {
    if (status.bad()) {
      text.append(text.isEmpty() ? "" : ", ").append(name).append(' ').append(status.name());
    }
  }

  void remember(Memory memory) {
    status = memory.word("signal status", status);
    looks = memory.word("signal looks", looks);
    looksSince = memory.instant("signal looks since", looksSince);
    wrongSince = memory.instant("signal wrong since", wrongSince);
    rightSince = memory.instant("signal right since", rightSince);
    badSince = memory.instant("signal bad since", badSince);
    rings = memory.flag("signal rings", rings);
  }
}
