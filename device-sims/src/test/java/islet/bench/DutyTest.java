package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.RunResult.Outcome;
import islet.contract.Device;
import islet.contract.Message;
import islet.control.SiteSupervisor;
import islet.executive.Duty;
import islet.executive.Duty.Role;
import islet.executive.journal.Journal;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import java.util.Random;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Two supervisors on one site. Judged by the broker's own book of who is connected under the name
 * that commands, by the site's link time-out of 10 s, and by the hazards of every run.
 */
class DutyTest {

  private static final long SECOND = 1_000_000;
  private static final Scenario SCENARIO =
      ScenarioReader.read(
          Path.of(System.getProperty("islet.root"), "config/scenarios/evening-outage.yaml"),
          OptionalLong.of(7));
  private static final String COMMANDER = Duty.clientId(SCENARIO.site());

  private final VirtualTime time = new VirtualTime(SCENARIO.startMicros());
  private final VirtualBroker broker = new VirtualBroker(time);
  private final List<Controller> controllers = new ArrayList<>();
  private final TreeSet<String> spoke = new TreeSet<>();
  private final DeviceStage site;

  DutyTest() {
    site = new DeviceStage(SCENARIO, time, broker);
    broker.tap(site.wire());
    broker.tap(
        new WireTap() {
          @Override
          public void published(long micros, String from, Message message) {
            if (message.topic().contains("/supervisor/") || message.topic().endsWith("/command")) {
              spoke.add(from);
            }
          }

          @Override
          public void delivered(long micros, String to, Message message) {}
        });
    site.start();
  }

  /** A process with a supervisor, which may die. */
  private final class Controller {
    final String name;
    final Duty duty;
    final VirtualTime.Timer timer;
    boolean dead;

    Controller(String name, boolean observes) {
      this.name = name;
      duty =
          new Duty(
              SCENARIO.site(),
              SiteSupervisor::new,
              broker,
              time::now,
              name,
              Journal.NONE,
              Map.of(),
              observes);
      timer = time.timer(VirtualTime.CONTROLLER, this::scan);
      timer.arm(time.now() + SECOND / 10);
      controllers.add(this);
    }

    private void scan() {
      if (!dead) {
        timer.arm(time.now() + SECOND / 10);
        duty.scan();
        assertTrue(commanding() <= 1, "two command at " + time.now());
      }
    }

    boolean commands() {
      return !dead && duty.role() == Role.COMMANDING && duty.linked();
    }

    /** As SIGKILL does: the sockets are closed by the machine, nothing else happens. */
    void kill() {
      dead = true;
      timer.cancel();
      broker.kill(duty.role() == Role.COMMANDING ? COMMANDER : COMMANDER + "-" + name);
    }
  }

  private long commanding() {
    return controllers.stream().filter(Controller::commands).count();
  }

  private void pass(double seconds) {
    time.runUntil(time.now() + Math.round(seconds * SECOND));
  }

  private void noHazard() {
    site.finish(time.now());
    RunResult result = site.judges().record("test").result();
    for (RunResult.HazardVerdict hazard : result.hazards()) {
      assertEquals(Outcome.PASS, hazard.verdict(), hazard.id() + ": " + hazard.detail());
    }
  }

  @Test
  void theFirstCommandsWithinTwoSecondsAndTheSecondObserves() {
    Controller first = new Controller("a", false);
    pass(2);
    assertTrue(first.commands());
    Controller second = new Controller("b", false);
    pass(60);
    assertTrue(first.commands());
    assertEquals(Role.OBSERVING, second.duty.role());
    assertFalse(spoke.contains(COMMANDER + "-b"), "an observer says nothing");
    noHazard();
  }

  @Test
  void ofTwoThatStartInTheSameInstantOneCommands() {
    new Controller("a", false);
    new Controller("b", false);
    pass(5);
    assertEquals(1, commanding());
    pass(60);
    assertEquals(1, commanding());
    noHazard();
  }

  @Test
  void atABrokerThatDoesNotSayWhoTookItsNameTheTwoDoNotThrowEachOtherOutForEver() {
    broker.silentOnTakeOver();
    Controller a = new Controller("a", false);
    Controller b = new Controller("b", false);
    pass(10);
    assertEquals(1, commanding());
    Controller first = a.commands() ? a : b;
    for (int i = 0; i < 120; i++) {
      pass(0.5);
      assertTrue(first.commands(), "command changed hands again");
    }
    noHazard();
  }

  @Test
  void theSecondTakesOverWhenTheFirstHasBeenSilentForTheLinkTimeout() {
    Controller first = new Controller("a", false);
    pass(20);
    Controller second = new Controller("b", false);
    pass(20);
    first.kill();
    pass(7.9);
    assertFalse(second.commands(), "a heartbeat of 2 s may have been just over");
    pass(4);
    assertTrue(second.commands());
    pass(60);
    noHazard();
  }

  @Test
  void whoIsStartedAgainCommandsAtOnceWhenTheBrokerSaysThatNobodyIsThere() {
    Controller first = new Controller("a", false);
    pass(20);
    first.kill();
    pass(1);
    Controller again = new Controller("a2", false);
    pass(1);
    assertTrue(again.commands());
    noHazard();
  }

  @Test
  void whoOnlyObservesNeverCommandsAndSaysNothing() {
    Controller observer = new Controller("o", true);
    pass(100);
    assertFalse(observer.commands());
    assertEquals(new TreeSet<>(), spoke);
  }

  @Test
  void aShortLossOfTheLinkChangesNothing() {
    Controller first = new Controller("a", false);
    pass(5);
    Controller second = new Controller("b", false);
    pass(20);
    broker.drop(COMMANDER);
    pass(30);
    assertTrue(first.commands());
    assertEquals(Role.OBSERVING, second.duty.role());
    noHazard();
  }

  /**
   * A broker that keeps its retained messages says on its return that the supervisor is there, and
   * so it is listened to for two heartbeats and a half: longer than a report of a device is
   * believed. Judged by the regulator's own stage, which nothing has changed, and by the plant's
   * contact.
   */
  @Test
  void whoGoesOnAfterADoubtHasNotTakenItsEyesOffTheDevices() {
    Controller first = new Controller("a", false);
    pass(20);
    List<String> orders = new ArrayList<>();
    List<String> told = new ArrayList<>();
    broker.tap(
        new WireTap() {
          @Override
          public void published(long micros, String from, Message message) {
            String topic = message.topic();
            String text = new String(message.payload(), StandardCharsets.UTF_8);
            if (topic.endsWith("/regulator/command")) {
              orders.add(text);
            } else if (topic.endsWith("/supervisor/telemetry")) {
              told.add(text);
            }
          }

          @Override
          public void delivered(long micros, String to, Message message) {}
        });
    broker.restart(SECOND / 2, false);
    pass(3);
    assertEquals(Role.DOUBTING, first.duty.role());
    site.simulation().utility(false, 0, 60);
    pass(20);
    assertTrue(first.commands());
    assertFalse(orders.isEmpty(), "orders are sent again after a return");
    for (String order : orders) {
      assertTrue(order.contains("\"enabled\":true"), order);
    }
    assertFalse(told.isEmpty(), "and the picture is told");
    for (String picture : told) {
      assertTrue(picture.contains("\"tieClosed\":false"), picture);
    }
    noHazard();
  }

  @Test
  void aSilentSiteGivesTheSecondNoReasonToTakeOver() {
    for (Device device : List.of(Device.TIE, Device.METER, Device.INVERTER, Device.REGULATOR)) {
      broker.kill(SiteSimulation.clientId(SCENARIO.site(), device));
    }
    Controller first = new Controller("a", false);
    pass(3);
    new Controller("b", false);
    for (int i = 0; i < 60; i++) {
      pass(1);
      assertTrue(first.commands());
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10})
  void whateverHappensToBrokerLinksAndProcessesNeverTwoCommandAndInTheEndOneDoes(int seed) {
    Random random = new Random(seed);
    int born = 0;
    for (int i = 0; i < 120; i++) {
      pass(random.nextDouble() * 8);
      controllers.removeIf(c -> c.dead);
      switch (random.nextInt(8)) {
        case 0 -> broker.restart(random.nextInt(15) * SECOND, random.nextBoolean());
        case 1 -> broker.drop(COMMANDER);
        case 2 -> broker.link(COMMANDER).cut();
        case 3 -> broker.link(COMMANDER).restore();
        case 4 -> {
          if (!controllers.isEmpty()) {
            controllers.get(random.nextInt(controllers.size())).kill();
          }
        }
        default -> {
          if (controllers.size() < 3) {
            new Controller("c" + born++, false);
          }
        }
      }
    }
    broker.link(COMMANDER).restore();
    controllers.removeIf(c -> c.dead);
    if (controllers.isEmpty()) {
      new Controller("last", false);
    }
    pass(60);
    assertEquals(1, commanding());
  }
}
