package islet.bench.campaign;

import islet.bench.plug.Supervisors;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.concurrent.atomic.AtomicLong;

/**
 * How fast a campaign's cases are run, and what memory it holds as they add up: {@code main CASES
 * JOBS}. The cases are those of {@code double.yaml}, ten minutes each with two mishaps.
 */
final class CampaignPace {

  private CampaignPace() {}

  public static void main(String[] args) throws Exception {
    int cases = Integer.parseInt(args[0]);
    int jobs = Integer.parseInt(args[1]);
    Path root = Path.of(System.getProperty("islet.root", "."));
    Campaign read = CampaignReader.read(root.resolve("config/campaigns/double.yaml"));
    Campaign campaign =
        new Campaign(
            read.title(),
            read.shown(),
            read.seed(),
            read.courses(),
            read.mishaps(),
            new Campaign.Drawn(cases, 2, 10_000_000),
            read.waivers());
    CampaignRun run =
        new CampaignRun(campaign, Supervisors.OWN, name -> Supervisors.OWN, "pace", 0);
    Path folder = Files.createTempDirectory("islet-pace");
    AtomicLong next = new AtomicLong(1000);
    long began = System.nanoTime();
    long cpu = cpu();
    try (ResultStore store = ResultStore.open(folder.resolve("results.sqlite"), run.about())) {
      run.run(
          store,
          jobs,
          (done, here, of, failed) -> {
            long at = next.get();
            if (done >= at && next.compareAndSet(at, at * 10)) {
              System.out.printf(
                  Locale.ROOT, "%7d cases: %.1f MiB held, %d failed%n", done, held(), failed);
            }
          },
          () -> false);
      double wall = (System.nanoTime() - began) * 1e-9;
      double used = (cpu() - cpu) * 1e-9;
      System.out.printf(
          Locale.ROOT,
          "%7d cases, %d jobs: %.1f s, %.1f cases a second, %.1f cases a second of one core (all"
              + " threads, compiler included), %.1f MiB held, file %.1f MiB%n",
          cases,
          jobs,
          wall,
          cases / wall,
          cases / used,
          held(),
          Files.size(folder.resolve("results.sqlite")) / 1048576.0);
    } finally {
      try (var files = Files.list(folder)) {
        for (Path file : files.toList()) {
          Files.delete(file);
        }
      }
      Files.delete(folder);
    }
  }

  private static long cpu() {
    var machine =
        (com.sun.management.OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean();
    return machine.getProcessCpuTime();
  }

  /** After a full collection. */
  private static double held() {
    System.gc();
    Runtime runtime = Runtime.getRuntime();
    return (runtime.totalMemory() - runtime.freeMemory()) / 1048576.0;
  }
}
