package islet.executive;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

/**
 * A clock that is set is followed only when a device's report bears it out. Judged by arithmetic: a
 * report cannot be dated after the instant at which it comes.
 */
class WitnessedClockTest {

  private static final long SECOND = 1_000_000;
  private static final long START = 1_768_424_400L * SECOND;

  /** What the devices' clocks, which are right, say. */
  private long truth = START;

  private long machineOff;

  /** Begins to run anywhere. */
  private static final long STEADY = 77;

  private final WitnessedClock clock =
      new WitnessedClock(() -> truth + machineOff, () -> truth - START + STEADY);

  /** A second passes, and a report comes that was so long on its way. */
  private void aReportComes(long late) {
    truth += SECOND;
    clock.heard(truth - late);
  }

  private long off() {
    return clock.micros() - truth;
  }

  @Test
  void aJumpIsNotFollowedAsLongAsTheDevicesBelieIt() {
    for (long jump : new long[] {-5 * SECOND, 5 * SECOND, -86_400 * SECOND, 86_400 * SECOND}) {
      machineOff = jump;
      assertEquals(0, off(), "before anybody reports");
      assertEquals(jump, clock.disputedMicros());
      aReportComes(2_000);
      assertEquals(0, off());
      aReportComes(0);
      assertEquals(0, off());
      machineOff = 0;
      assertEquals(0, off());
      assertEquals(0, clock.disputedMicros());
    }
  }

  @Test
  void aClockThatIsSetRightIsFollowedWithTheFirstReport() {
    for (long wrong : new long[] {-5 * SECOND, 5 * SECOND, 3600 * SECOND}) {
      machineOff = wrong;
      WitnessedClock wasWrong =
          new WitnessedClock(() -> truth + machineOff, () -> truth - START + STEADY);
      truth += SECOND;
      wasWrong.heard(truth);
      assertEquals(wrong, wasWrong.micros() - truth, "no jump, nothing to judge");
      machineOff = 0;
      assertEquals(wrong, wasWrong.micros() - truth, "before anybody reports");
      truth += SECOND;
      wasWrong.heard(truth - 50_000);
      assertEquals(0, wasWrong.micros() - truth);
      assertEquals(0, wasWrong.disputedMicros());
    }
  }

  /** A link that is slow by 3 s makes a report look as if this clock were 3 s ahead. */
  @Test
  void aSlowLinkIsNotTakenForAWrongClock() {
    machineOff = -2 * SECOND;
    aReportComes(SECOND);
    assertEquals(0, off(), "1 s late goes better than 1 s early");
    machineOff = 2 * SECOND;
    aReportComes(3 * SECOND);
    assertEquals(0, off());
  }

  @Test
  void whatIsNoJumpIsFollowedAtOnceOrAtHalfSpeed() {
    machineOff = SECOND / 2;
    assertEquals(SECOND / 2, off(), "forward");
    machineOff = 0;
    assertEquals(SECOND / 2, off(), "never back");
    truth += SECOND / 2;
    assertEquals(SECOND / 4, off(), "half speed");
    truth += SECOND / 2;
    assertEquals(0, off());
    machineOff = -SECOND / 2 - 1;
    assertEquals(0, off(), "a jump from here on");
  }
}
