package islet.bench;

import com.sun.management.ThreadMXBean;
import islet.control.Inputs;
import islet.control.Outputs;
import islet.control.SiteSupervisor;
import islet.control.Supervisor;
import java.lang.management.ManagementFactory;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Locale;
import java.util.OptionalLong;

/**
 * How long a scan takes and what it allocates, in whole rehearsals: every scan of the scenario is
 * timed and its bytes counted by the JVM, whatever happens in it. The first run warms the code and
 * is not counted. {@code .ci/benchmark scan} runs it.
 */
final class ScanPace implements Supervisor {
  private static final ThreadMXBean THREADS = (ThreadMXBean) ManagementFactory.getThreadMXBean();

  private final Supervisor timed;
  private long[] nanos = new long[1 << 20];
  private int scans;
  private int allocating;
  private long bytes;
  private long most;

  private ScanPace(Supervisor timed) {
    this.timed = timed;
  }

  @Override
  public void scan(Inputs in, long nowMicros, Outputs out) {
    long before = THREADS.getCurrentThreadAllocatedBytes();
    long begun = System.nanoTime();
    timed.scan(in, nowMicros, out);
    long took = System.nanoTime() - begun;
    long allocated = THREADS.getCurrentThreadAllocatedBytes() - before;
    if (scans == nanos.length) {
      nanos = Arrays.copyOf(nanos, 2 * scans);
    }
    nanos[scans++] = took;
    if (allocated > 0) {
      allocating++;
      bytes += allocated;
      most = Math.max(most, allocated);
    }
  }

  /** Files of scenarios, each run twice. */
  public static void main(String[] args) {
    StringBuilder table =
        new StringBuilder(
            "scenario                    scans     p50      p99    p99.9   p99.99      max   (µs)"
                + "   allocating scans, bytes in all, most in one%n".formatted());
    for (String file : args) {
      run(file);
      ScanPace pace = run(file);
      long[] sorted = Arrays.copyOf(pace.nanos, pace.scans);
      Arrays.sort(sorted);
      table.append(
          String.format(
              Locale.ROOT,
              "%-22s %10d %7.2f %8.2f %8.2f %8.2f %8.2f          %d, %d, %d%n",
              Path.of(file).getFileName(),
              pace.scans,
              at(sorted, 0.5),
              at(sorted, 0.99),
              at(sorted, 0.999),
              at(sorted, 0.9999),
              at(sorted, 1),
              pace.allocating,
              pace.bytes,
              pace.most));
    }
    System.out.print(table);
  }

  private static ScanPace run(String file) {
    ScanPace[] made = new ScanPace[1];
    new Rehearsal(
            ScenarioReader.read(Path.of(file), OptionalLong.empty()),
            site -> made[0] = new ScanPace(new SiteSupervisor(site)))
        .run(seconds -> {});
    return made[0];
  }

  /** The least time that this share of the scans stayed within, µs. */
  private static double at(long[] sorted, double share) {
    int index = (int) Math.ceil(share * sorted.length) - 1;
    return sorted[Math.max(0, index)] * 1e-3;
  }
}
