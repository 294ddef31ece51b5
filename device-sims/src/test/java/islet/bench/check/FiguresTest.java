package islet.bench.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.bench.Rehearsal;
import islet.bench.RunRecord;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.Signal;
import islet.site.Setting;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.OptionalLong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Figures judged by arithmetic on paper, by another count of the load file, and by runs. */
class FiguresTest {

  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");

  private static SiteCheck check(String site, String... settings) {
    List<Setting> given =
        List.of(settings).stream()
            .map(
                s ->
                    new Setting(
                        s.substring(0, s.indexOf('=')), s.substring(s.indexOf('=') + 1), "test", 0))
            .toList();
    return SiteCheck.of(CONFIG.resolve("sites/" + site + ".yaml"), given, Assumptions.USUAL);
  }

  private static double value(SiteCheck check, String name) {
    return check.figures().stream()
        .filter(figure -> figure.name().equals(name))
        .findFirst()
        .orElseThrow(() -> new AssertionError(name + " is not in " + check.figures()))
        .value();
  }

  @Test
  void currentsAreThoseOfTheRatings() {
    SiteCheck check = check("ferry-landing");
    assertEquals(150, value(check, "worst sum of charge currents"), 1e-9);
    assertEquals(80.0 / 400, value(check, "charge rate, all sources"), 1e-9);
    // 4 kW at 91 % from 48 V, over 400 Ah.
    assertEquals(4000 / 0.91 / 48 / 400, value(check, "discharge rate, rated inverter"), 1e-6);
    assertEquals(
        100 * 4000 / 0.91 / 48 * 0.003 / 48, value(check, "drop over the battery's cable"), 1e-6);
  }

  @Test
  void stringsFollowTheModulesCoefficient() {
    SiteCheck check = check("ferry-landing");
    assertEquals(4 * (32.9 + 50 * 0.123), value(check, "string, open, coldest morning"), 1e-9);
    // NOCT 47 °C: 27 K at 800 W/m², 33.75 K at 1000 W/m², above 40 °C.
    assertEquals(
        4 * (26.3 - 48.75 * 0.123), value(check, "string, maximum power, hottest noon"), 1e-9);
  }

  @Test
  void theUtilityFillsTheBankByItsCurrentAndTheLosses() {
    // Half of 400 Ah, a tenth lost, at 60 A.
    assertEquals(0.5 * 400 * 1.1 / 60, value(check("ferry-landing"), "by the utility alone"), 1e-9);
  }

  /** The load file counted by hand: no code of ours in between. */
  @Test
  void theMeanLoadAndTheWorstDayAreThoseOfTheFile() throws IOException {
    List<String> lines =
        Files.readAllLines(CONFIG.resolve("loads/st-louis-residential-base-load.csv"));
    String[] header = lines.get(0).split(",", -1);
    int lights = index(header, "General:ExteriorLights:Electricity [kW](Hourly)");
    int office = index(header, "Misc:InteriorEquipment:Electricity [kW](Hourly)");
    double sum = 0;
    double day = 0;
    double worst = 0;
    for (int hour = 0; hour < 8760; hour++) {
      String[] row = lines.get(hour + 1).split(",", -1);
      double w = 2000 * Double.parseDouble(row[lights]) + 300 * Double.parseDouble(row[office]);
      sum += w;
      day += w;
      if (hour % 24 == 23) {
        worst = Math.max(worst, day);
        day = 0;
      }
    }
    // Radio 60 W, dock lights 120 W for 14 h, refrigerator 150 W a third, pump 400 W a tenth.
    double rest = 60 + 120 * 14 / 24.0 + 150 / 3.0 + 400 / 10.0;
    Subject subject = new Subject(check("ferry-landing").site(), Assumptions.USUAL);
    assertEquals(sum / 8760 + rest, subject.critical().meanW(), 1e-6);
    assertEquals(worst / 24 + rest, subject.critical().worstDayW(), 1e-6);
  }

  private static int index(String[] header, String name) {
    for (int i = 0; i < header.length; i++) {
      if (header[i].strip().equals(name)) {
        return i;
      }
    }
    throw new AssertionError(name);
  }

  /** The plant's own run of the beacon in the dark says how long the bank lasts. */
  @Test
  @LongTest
  void hoursOfAutonomyAreMetByARunInTheDark(@TempDir Path disk) throws IOException {
    Path file = disk.resolve("dark.yaml");
    String settings = "circuits.channel-light.load: { constant: 17.5 W }";
    Files.writeString(
        file,
        "title: Dark\nsite: "
            + CONFIG.resolve("sites/breakwater-beacon.yaml")
            + "\nstart: 2026-01-14T00:00\nduration: PT20H\nsettings: { "
            + settings
            + " }\nweather: { constant: { ghi: 0 W/m2, temperature: 25 degC } }\n"
            + "battery: { soc: 0.95 }\n");
    Scenario scenario = ScenarioReader.read(file, OptionalLong.empty());
    RunRecord run = new Rehearsal(scenario).run(done -> {}).record("test");
    assertTrue(run.result().passed(), run.result().hazards().toString());
    double endSoc = run.trace().value(run.trace().rows() - 1, Signal.BATTERY_SOC);
    Subject subject =
        new Subject(
            check("breakwater-beacon", "circuits.channel-light.load={ constant: 17.5 W }").site(),
            Assumptions.USUAL);
    double hours = subject.autonomyH(0.95, endSoc, subject.critical().meanW());
    assertEquals(20, hours, 20 * 0.05);
  }
}
