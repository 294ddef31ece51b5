package islet.contract;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;

/** Judged by the contract's own words: {@code islet/v1/{site}/{device}/{kind}}. */
class TopicsTest {

  private static final Topics TOPICS = new Topics("ferry-landing");

  @Test
  void everyTopicIsSpelledAsTheContractSpellsIt() {
    Set<String> expected = new TreeSet<>();
    for (String device :
        new String[] {"regulator", "inverter", "charger", "tie", "meter", "supervisor", "bench"}) {
      for (String kind :
          new String[] {
            "telemetry",
            "state",
            "online",
            "command",
            "ack",
            "event",
            "alarm",
            "step",
            "scanned",
            "margin",
            "ledger"
          }) {
        expected.add("islet/v1/ferry-landing/" + device + "/" + kind);
      }
    }
    Set<String> found = new TreeSet<>();
    for (Device device : Device.values()) {
      for (Kind kind : Kind.values()) {
        found.add(TOPICS.of(device, kind));
      }
    }
    assertEquals(expected, found);
    assertEquals("islet/v1/ferry-landing/tie/ack", TOPICS.of(Device.TIE, Kind.ACK));
    assertEquals("islet/v1/ferry-landing/bench/online", TOPICS.of(Device.BENCH, Kind.ONLINE));
  }

  @Test
  void filtersCoverTheSiteOrOneKindOfEveryDevice() {
    assertEquals("islet/v1/ferry-landing/#", TOPICS.everything());
    assertEquals("islet/v1/ferry-landing/+/telemetry", TOPICS.fromAll(Kind.TELEMETRY));
  }

  @Test
  void onlyWhatTheNextReplacesMayBeLostAndOnlyStateAndOnlineAreKept() {
    assertEquals(0, Kind.TELEMETRY.qos());
    assertEquals(0, Kind.MARGIN.qos());
    assertEquals(0, Kind.LEDGER.qos());
    for (Kind kind : Kind.values()) {
      assertEquals(kind == Kind.STATE || kind == Kind.ONLINE, kind.retained(), kind.segment());
      boolean replaced = kind == Kind.TELEMETRY || kind == Kind.MARGIN || kind == Kind.LEDGER;
      assertEquals(replaced ? 0 : 1, kind.qos(), kind.segment());
    }
  }

  @Test
  void theWillSaysThatTheDeviceIsGoneToWhoeverComesLater() throws MalformedException {
    Message will = TOPICS.will(Device.INVERTER);
    assertEquals("islet/v1/ferry-landing/inverter/online", will.topic());
    assertTrue(will.retain());
    assertEquals(1, will.qos());
    assertFalse(Online.LAYOUT.decode(will.payload()).online());
  }
}
