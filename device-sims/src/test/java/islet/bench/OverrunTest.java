package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import islet.contract.Event;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.control.SiteSupervisor;
import islet.executive.Duty;
import islet.executive.Notices;
import islet.executive.journal.Journal;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import org.junit.jupiter.api.Test;

/**
 * Judged by the count that the test makes up: every overrun is told once, at most once a minute.
 */
class OverrunTest {

  private static final long SECOND = 1_000_000;

  @Test
  void overrunsAreToldOnTheWireAndToThePersonAtMostOnceAMinute() {
    Scenario scenario =
        ScenarioReader.read(
            Path.of(System.getProperty("islet.root"), "config/scenarios/evening-outage.yaml"),
            OptionalLong.of(7));
    VirtualTime time = new VirtualTime(scenario.startMicros());
    VirtualBroker broker = new VirtualBroker(time);
    List<String> wire = new ArrayList<>();
    List<String> person = new ArrayList<>();
    broker.tap(
        new WireTap() {
          @Override
          public void published(long micros, String from, Message message) {
            if (message.topic().endsWith("/supervisor/event")) {
              wire.add(event(message));
            }
          }

          @Override
          public void delivered(long micros, String to, Message message) {}
        });
    Duty duty =
        new Duty(
            scenario.site(),
            SiteSupervisor::new,
            broker,
            time::now,
            "a",
            Journal.NONE,
            Map.of(),
            false);
    long[] overruns = {0};
    Notices notices = new Notices(duty, () -> overruns[0], person::add);
    for (int scan = 0; scan < 1_500; scan++) {
      time.runUntil(time.now() + SECOND / 10);
      duty.scan();
      overruns[0] = scan < 300 ? 0 : scan < 700 ? 3 + scan / 100 : 10;
      notices.look(time.now());
    }
    assertEquals(
        List.of("duty COMMANDING", "overrun 6", "overrun 10"),
        wire.stream().filter(e -> !e.startsWith("mode")).toList());
    assertEquals(
        List.of("observing", "link up", "commanding", "link down", "link up"),
        person.subList(0, 5));
    assertEquals(7, person.size());
  }

  private static String event(Message message) {
    try {
      Event event = Event.LAYOUT.decode(message.payload());
      return event.kind() + " " + event.to();
    } catch (MalformedException e) {
      throw new IllegalStateException(e);
    }
  }
}
