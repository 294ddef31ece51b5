package islet.bench.reserve;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.bench.Rehearsal;
import islet.bench.RunResult;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.reserve.Outage.End;
import islet.site.Setting;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Judged by rehearsals of the same outages with every device, message and scan, and by what must
 * follow from more energy at the start.
 */
class ReserveStudyTest {

  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");
  private static final long HOUR = 3_600_000_000L;

  private static final ReserveStudy.Progress QUIET =
      new ReserveStudy.Progress() {
        @Override
        public void rehearsed(long micros, long ofMicros) {}

        @Override
        public void outages(long done, long of) {}

        @Override
        public void proofs(long done, long of) {}
      };

  private final Path disk;

  ReserveStudyTest(@TempDir Path disk) {
    this.disk = disk;
  }

  private Scenario scenario(String site, double soc, int hours, String reserve) throws IOException {
    Path file = disk.resolve(site + ".yaml");
    Files.writeString(
        file,
        "title: A dull winter day\nsite: "
            + CONFIG.resolve("sites/" + site + ".yaml")
            + "\nstart: 2026-01-20T15:00\nseed: 7\nduration: PT"
            + hours
            + "H\nweather: { epw: "
            + CONFIG.resolve("weather/chicago-ohare-tmy3.epw")
            + " }\nbattery: { soc: "
            + soc
            + " }\n");
    return ScenarioReader.read(
        file,
        OptionalLong.empty(),
        List.of(new Setting("supervision.reserve", reserve, "--reserves", 0)));
  }

  private static ReserveCurve curve(List<Scenario> scenarios, int proofs, int jobs)
      throws InterruptedException {
    List<String> labels = new ArrayList<>();
    for (int i = 0; i < scenarios.size(); i++) {
      labels.add("reserve " + i);
    }
    return ReserveStudy.of(labels, scenarios, "test", 8 * HOUR, proofs, jobs, QUIET);
  }

  private static void agree(ReserveCurve curve, int proofs) {
    assertEquals(proofs, curve.proofs().size());
    for (ReserveCurve.Proof proof : curve.proofs()) {
      double off = Math.abs(proof.account().micros() - proof.rehearsed().micros());
      // Closer than the 5 % or 15 minutes that are promised, so that a drift shows early.
      assertTrue(off <= Math.max(300e6, 0.02 * proof.rehearsed().micros()), proof.toString());
    }
  }

  @Test
  @LongTest
  void theAccountOfEnergyAgreesWithWholeRehearsalsOfTheSameOutages()
      throws IOException, InterruptedException {
    ReserveCurve curve = curve(List.of(scenario("ferry-landing", 0.4, 16, "20%")), 2, 2);
    agree(curve, 2);
    // Hours 1 to 15 of sixteen, the last of which is watched for an hour.
    List<Outage> outages = curve.points().get(0).outages();
    assertEquals(15, outages.size());
    assertEquals(new Outage(outages.get(14).startMicros(), HOUR, End.CUT), outages.get(14));
  }

  @Test
  @LongTest
  void itAgreesForLithiumCellsAsWell() throws IOException, InterruptedException {
    agree(curve(List.of(scenario("ferry-landing-lfp", 0.35, 16, "20%")), 1, 2), 1);
  }

  /** The bill of the curve is the bill of the same site rehearsed, the hourly plan included. */
  @Test
  @LongTest
  void aSiteThatPlansDoesSoInTheCurveToo() throws IOException, InterruptedException {
    Scenario windows = scenario("ferry-landing", 0.8, 8, "30%");
    Scenario plans =
        ScenarioReader.read(
            windows.file(),
            OptionalLong.empty(),
            List.of(
                new Setting("supervision.reserve", "30%", "--reserves", 0),
                new Setting("supervision.dispatch.plan", "optimal", "--set", 0)));
    RunResult whole = new Rehearsal(plans).run(micros -> {}).record("test").result();
    double planned =
        whole.cost().stream()
            .filter(entry -> entry.name().startsWith("total"))
            .findFirst()
            .orElseThrow()
            .value();
    ReserveCurve curve = curve(List.of(windows, plans), 0, 1);
    assertEquals(planned, curve.points().get(1).bill(), 1e-9);
    assertTrue(curve.points().get(0).bill() > planned + 0.1, "the plan saves nothing");
  }

  @Test
  @LongTest
  void howManyThreadsWorkDoesNotShow() throws IOException, InterruptedException {
    List<Scenario> both =
        List.of(scenario("ferry-landing", 0.4, 6, "30%"), scenario("ferry-landing", 0.4, 6, "60%"));
    ReserveCurve one = curve(both, 0, 1);
    ReserveCurve three = curve(both, 0, 3);
    assertEquals(CurveJson.of(one), CurveJson.of(three));
    assertEquals(CurveText.of(one), CurveText.of(three));
  }
}
