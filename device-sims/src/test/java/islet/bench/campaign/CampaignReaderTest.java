package islet.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.Event;
import islet.bench.Mishap;
import islet.contract.Mode;
import islet.fault.FaultKind;
import islet.site.InputException;
import islet.site.Section;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Judged by what a person wrote, and by the promise that every mistake is told in one go. */
class CampaignReaderTest {

  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");

  private final Path disk;

  CampaignReaderTest(@TempDir Path disk) {
    this.disk = disk;
  }

  private Campaign read(String rest) throws IOException {
    Path file = disk.resolve("campaign.yaml");
    Files.writeString(
        file,
        "title: A test\ncourses:\n  - { scenario: "
            + CONFIG.resolve("campaigns/courses/out-and-home.yaml")
            + " }\n"
            + rest);
    return CampaignReader.read(file);
  }

  private void refused(String sentence, String rest) {
    String said = String.valueOf(assertThrows(InputException.class, () -> read(rest)).getMessage());
    assertTrue(said.contains(sentence), said);
  }

  @Test
  void aListOfValuesIsOneCombinationEach() throws IOException {
    Campaign campaign =
        read(
            """
            mishaps:
              - { utility: { sag: [0.2, 0.6], for: [PT0.1S, PT1S, PT5S] } }
            product: { instants: 4 }
            """);
    Mishap sag = campaign.mishaps().get(0);
    assertEquals(6, sag.combinations());
    assertEquals(new Event.Sag(7, 0.2, 100_000), sag.at(7, sag.combination(0)));
    assertEquals(new Event.Sag(7, 0.2, 5_000_000), sag.at(7, sag.combination(2)));
    assertEquals(new Event.Sag(7, 0.6, 1_000_000), sag.at(7, sag.combination(4)));
    assertEquals(new Campaign.Product(4), campaign.method());
  }

  @Test
  void aFaultWithoutDeviceBefallsEveryDeviceThatTheSitesHave() throws IOException {
    List<String> labels =
        read("mishaps: [{ fault: { kind: device-link-lost } }]\nproduct: { instants: 1 }\n")
            .mishaps()
            .stream()
            .map(Mishap::label)
            .toList();
    // The two-panel site has no charger of its own.
    assertEquals(
        List.of(
            "device-link-lost regulator",
            "device-link-lost inverter",
            "device-link-lost tie",
            "device-link-lost meter"),
        labels);
  }

  @Test
  void aFaultOfASensorBefallsEverySignalThatIsNotNamed() throws IOException {
    int all =
        read("mishaps: [{ fault: { kind: sensor-stuck } }]\nproduct: { instants: 1 }\n")
            .mishaps()
            .size();
    int expected =
        FaultKind.SENSOR_STUCK.targets().stream()
            .filter(target -> !target.device().equals("charger"))
            .mapToInt(target -> target.signals().size())
            .sum();
    assertEquals(expected, all);
    List<Mishap> one =
        read("""
                mishaps:
                  - { fault: { kind: sensor-bias, signal: bus.voltage_V, by: [-1, 1] }, for: PT1M }
                product: { instants: 1 }
                """)
            .mishaps();
    assertEquals(
        List.of("sensor-bias regulator bus.voltage_V", "sensor-bias inverter bus.voltage_V"),
        one.stream().map(Mishap::label).toList());
    Event.Fault fault = (Event.Fault) one.get(0).at(5, one.get(0).combination(1));
    assertEquals(1.0, fault.numbers().get("by"));
    assertEquals(60_000_000, fault.forMicros());
  }

  @Test
  void everyMistakeIsToldWithItsLine() {
    refused(
        "campaign.yaml:5: mishaps.1.utility.sag: found \"1.4\"; allowed is 0 to 1",
        """
        mishaps:
          - { utility: { sag: 1.4, for: PT1S } }
        product: { instants: 1 }
        """);
    refused(
        "with a range in a product; allowed is single values and lists",
        """
        mishaps:
          - { utility: { sag: { from: 0, to: 0.5 }, for: PT1S } }
        product: { instants: 1 }
        """);
    refused(
        "befalls a part that no course's site has",
        """
        mishaps:
          - { fault: { kind: charger-stuck-on, device: charger } }
        product: { instants: 1 }
        """);
    refused(
        "found product and random together",
        """
        mishaps:
          - { utility: { outage: PT1S } }
        product: { instants: 1 }
        random: { cases: 3 }
        """);
    refused(
        "a waiver for tie-welded, which does not happen here",
        """
        mishaps:
          - { utility: { outage: PT1S } }
        product: { instants: 1 }
        waive:
          - { kind: tie-welded, hazard: backfeed, because: no }
        """);
    refused(
        "to: found \"0.2\"; allowed is more than from",
        """
        mishaps:
          - { utility: { sag: { from: 0.5, to: 0.2 }, for: PT1S } }
        search: { evaluations: 20 }
        """);
    refused(
        "Did you mean \"instants\"?",
        """
        mishaps:
          - { utility: { outage: PT1S } }
        product: { instant: 1 }
        """);
  }

  /** The catalogue is the outside fact; what exists on the bench only is no fault of a site. */
  @Test
  void theFullCampaignLeavesNoFaultOut() {
    Campaign full = CampaignReader.read(CONFIG.resolve("campaigns/full.yaml"));
    List<String> asked = full.mishaps().stream().map(Mishap::kind).toList();
    List<String> left =
        Arrays.stream(FaultKind.values())
            .map(Section::word)
            .filter(kind -> !asked.contains(kind))
            .toList();
    assertEquals(List.of("supervisor-lies"), left);
    assertTrue(full.method() instanceof Campaign.Product product && product.instants() >= 12);
    List<String> modes = full.courses().stream().flatMap(c -> c.modes().stream()).sorted().toList();
    assertEquals(Arrays.stream(Mode.values()).map(Mode::name).sorted().toList(), modes);
  }
}
