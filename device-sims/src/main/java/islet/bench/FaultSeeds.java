package islet.bench;

import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.Map;

/**
 * A seed for the chance of each fault of a run, so that no two share theirs. It depends on the
 * run's seed, on where the fault bites, and on how many of its like stand before it in the file: so
 * what else happens can be taken out of a case without changing what is left.
 */
final class FaultSeeds {

  private final long runSeed;
  private final Map<String, Integer> before = new HashMap<>();

  FaultSeeds(long runSeed) {
    this.runSeed = runSeed;
  }

  long next(Event.Fault fault) {
    String like = fault.kind().word() + ' ' + fault.device() + ' ' + fault.signal();
    int number = before.merge(like, 1, Integer::sum);
    long seed = new SplitMix(runSeed).next();
    for (byte letter : like.getBytes(StandardCharsets.UTF_8)) {
      seed = new SplitMix(seed ^ letter).next();
    }
    return new SplitMix(seed ^ number).next();
  }
}
