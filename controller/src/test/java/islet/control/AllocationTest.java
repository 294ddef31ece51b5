package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import org.junit.jupiter.api.Test;

/**
 * A scan in steady state allocates nothing. Judged by the JVM's own count of the thread's bytes.
 */
class AllocationTest {

  private static final ThreadMXBean THREADS = (ThreadMXBean) ManagementFactory.getThreadMXBean();
  private static final int SCANS = 10_000;
  private static final int BLOCKS = 8;

  @Test
  void onTheUtility() {
    assertEquals(0, bytes(new FakeSite(Sites.demo()).connected()));
  }

  @Test
  void chargingFromTheUtilityInItsWindow() {
    FakeSite site = new FakeSite(Sites.demo("supervision.chargeWindows.1.between", "12:00-18:00"));
    site.batteryV = 48.6;
    site.connected();
    assertEquals(0, bytes(site));
  }

  @Test
  void tradingAtHighPrices() {
    FakeSite site = new FakeSite(Sites.demo("supervision.dispatch.trade", "loads")).connected();
    assertEquals(0, bytes(site));
    assertTrue(site.out.feedLimitW > 0);
  }

  /** Between two full hours; at each of them the question of the next plan is put. */
  @Test
  void followingAPlan() {
    FakeSite site = new FakeSite(Sites.demo("supervision.dispatch.plan", "optimal")).connected();
    site.seconds(70);
    site.supervisor.think();
    assertEquals(0, bytes(site));
  }

  @Test
  void withAMeterThatIsNotBelieved() {
    FakeSite site = new FakeSite(Sites.demo()).connected();
    site.regulatorBiasV = 3;
    site.seconds(20);
    assertEquals(0, bytes(site));
    assertTrue(site.out.doubts.contains("regulator"));
  }

  @Test
  void onTheIsland() {
    assertEquals(0, bytes(new FakeSite(Sites.demo()).islanded()));
  }

  @Test
  void waitingForAPerson() {
    FakeSite site = new FakeSite(Sites.demo());
    site.tieObeys = false;
    site.connected().utilityPu = 0;
    site.until(Phase.WAIT_FOR_PERSON, 2);
    assertEquals(0, bytes(site));
  }

  /**
   * The same telemetry again and again, always fresh. What a scan allocates shows in every block of
   * scans; what the JVM or the coverage agent does once shows in one, so the least of several
   * counts.
   */
  private static long bytes(FakeSite site) {
    scans(site, 20_000);
    long thread = Thread.currentThread().getId();
    long least = Long.MAX_VALUE;
    for (int block = 0; block < BLOCKS; block++) {
      long before = THREADS.getThreadAllocatedBytes(thread);
      scans(site, SCANS);
      least = Math.min(least, THREADS.getThreadAllocatedBytes(thread) - before);
    }
    return least;
  }

  private static void scans(FakeSite site, int number) {
    for (int i = 0; i < number; i++) {
      site.now += FakeSite.SCAN;
      site.in.take(site.in.regulator(), site.now);
      site.in.take(site.in.inverter(), site.now);
      site.in.take(site.in.tie(), site.now);
      site.in.take(site.in.meter(), site.now);
      site.supervisor.scan(site.in, site.now, site.out);
      site.in.scanned();
    }
  }
}
