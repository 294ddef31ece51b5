package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.ScenarioReader;
import islet.bench.VirtualTime;
import islet.site.SiteReader;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** Judged by plain arithmetic on clocks set by hand. */
@Timeout(10)
class InFlightTest {

  private static final Path SITE =
      Path.of(System.getProperty("islet.root"), "config/sites/ferry-landing.yaml");

  private final AtomicLong wall = new AtomicLong();
  private final InFlight inFlight = new InFlight(200, wall::get);

  @Test
  void timeWaitsForTheOldestMessageThatSomebodyStillExpects() {
    inFlight.subscribes("a", "x/#");
    inFlight.subscribes("b", "x/+");
    inFlight.sent("x/1", 500);
    assertEquals(VirtualTime.NEVER, inFlight.latestMicros(), "nobody is linked yet");
    inFlight.linked("a", true);
    inFlight.linked("b", true);
    inFlight.sent("x/1", 1_000);
    inFlight.sent("y", 1_010);
    inFlight.sent("x/1/deep", 1_050);
    inFlight.arrived("a", "x/1");
    assertEquals(1_200, inFlight.latestMicros(), "b still expects x/1");
    inFlight.arrived("b", "x/1");
    assertEquals(1_250, inFlight.latestMicros(), "a still expects x/1/deep");
    inFlight.arrived("a", "z");
    assertEquals(1_250, inFlight.latestMicros(), "what nobody sent does not count");
    inFlight.arrived("a", "x/1/deep");
    assertEquals(VirtualTime.NEVER, inFlight.latestMicros());
  }

  @Test
  void nobodyWaitsLongForWhoIsCutOff() {
    inFlight.subscribes("a", "x");
    inFlight.linked("a", true);
    inFlight.sent("x", 1_000);
    wall.set(250_000_001);
    assertEquals(VirtualTime.NEVER, inFlight.latestMicros());
    inFlight.sent("x", 2_000);
    assertEquals(VirtualTime.NEVER, inFlight.latestMicros(), "a has not been heard of since");
    inFlight.arrived("a", "x");
    inFlight.sent("x", 3_000);
    assertEquals(3_200, inFlight.latestMicros());
    inFlight.linked("a", false);
    assertEquals(VirtualTime.NEVER, inFlight.latestMicros());
  }

  @Test
  void aDriverThatIsHeldBackSkipsNothingAndSaysHowLateItIs() {
    // Work each 10 µs; the gate stands at 30 µs until the wall clock has come to 100 µs.
    VirtualTime time = new VirtualTime(0);
    RealTimeDriver driver = new RealTimeDriver(time, 1, () -> wall.addAndGet(1_000));
    driver.holdBack(() -> wall.get() < 100_000 ? 30 : VirtualTime.NEVER);
    List<Long> ran = new ArrayList<>();
    List<Double> lags = new ArrayList<>();
    for (long due = 10; due <= 60; due += 10) {
      time.at(
          due,
          VirtualTime.CONTROLLER,
          () -> {
            ran.add(time.now());
            lags.add(driver.lag().seconds());
          });
    }
    driver.run(200);
    assertEquals(List.of(10L, 20L, 30L, 40L, 50L, 60L), ran);
    assertTrue(lags.get(3) > 60e-6, "at 40 µs the run was late by " + lags.get(3) + " s");
  }

  /** 1 s to open less a scan of 100 ms and 8 ms of travel, for an order and a report. */
  @Test
  void theBudgetLeavesRoomForAnOrderAndAReport() {
    LinkBudget budget = LinkBudget.of(SiteReader.read(SITE));
    assertEquals("supervision.timeouts.open", budget.timeout());
    assertEquals((1 - 0.1 - 0.008) / 2, budget.messageS(), 1e-12);
  }

  @Test
  void aFileIsPlayedForWhatItIs() {
    assertTrue(SiteOrScenario.isAlone(SiteOrScenario.read(SITE)));
    Path scenario = SITE.resolve("../../scenarios/evening-outage.yaml").normalize();
    assertEquals(
        ScenarioReader.read(scenario, OptionalLong.empty()), SiteOrScenario.read(scenario));
  }
}
