package islet.bench.campaign;

import islet.bench.Mishap;
import java.util.ArrayList;
import java.util.List;

/** Every mishap, with every combination of its values, at instants spread over every mode. */
final class ProductCases implements Cases {

  /** What belongs to one course, mishap and combination: instants where it is possible. */
  private static final class Block {
    private final Course course;
    private final Mishap mishap;
    private final double[] values;
    private final long first;
    private final long[] instants;
    private final String[] modes;

    Block(
        Course course,
        Mishap mishap,
        double[] values,
        long first,
        List<Long> instants,
        List<String> modes) {
      this.course = course;
      this.mishap = mishap;
      this.values = values;
      this.first = first;
      this.instants = instants.stream().mapToLong(Long::longValue).toArray();
      this.modes = modes.toArray(new String[0]);
    }

    CampaignCase at(int i, long id) {
      return new CampaignCase(
          id,
          course,
          modes[i],
          mishap.label(),
          List.of(mishap.kind()),
          List.of(mishap.at(instants[i], values)));
    }
  }

  private final List<Block> blocks = new ArrayList<>();
  private final long count;

  ProductCases(Campaign campaign, int instants, HealthyRuns healthy) {
    long first = 0;
    for (Course course : campaign.courses()) {
      Healthy run = healthy.of(course);
      List<String> modes = run.modes().stream().filter(m -> asked(course, m)).toList();
      for (Mishap mishap : campaign.mishaps()) {
        if (!mishap.fits(course.scenario().site().arrangement())) {
          continue;
        }
        for (int c = 0; c < mishap.combinations(); c++) {
          Block block = block(course, mishap, mishap.combination(c), first, run, modes, instants);
          first += block.instants.length;
          blocks.add(block);
        }
      }
    }
    count = first;
  }

  /** Whether mishaps shall begin in this mode of the course. */
  static boolean asked(Course course, String mode) {
    return course.modes().isEmpty() || course.modes().contains(mode);
  }

  private static Block block(
      Course course,
      Mishap mishap,
      double[] values,
      long first,
      Healthy run,
      List<String> modes,
      int instants) {
    List<Long> at = new ArrayList<>();
    List<String> in = new ArrayList<>();
    for (String mode : modes) {
      for (int i = 0; i < instants; i++) {
        long instant = run.instant(mode, (i + 0.5) / instants);
        if (CampaignCase.possible(course, List.of(mishap.at(instant, values)))) {
          at.add(instant);
          in.add(mode);
        }
      }
    }
    return new Block(course, mishap, values, first, at, in);
  }

  @Override
  public long count() {
    return count;
  }

  @Override
  public CampaignCase of(long number, long id) {
    int low = 0;
    int high = blocks.size() - 1;
    while (low < high) {
      int middle = (low + high + 1) / 2;
      if (blocks.get(middle).first <= number) {
        low = middle;
      } else {
        high = middle - 1;
      }
    }
    Block block = blocks.get(low);
    return block.at((int) (number - block.first), id);
  }
}
