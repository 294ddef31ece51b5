package islet.bench.campaign;

import islet.bench.Axis;
import islet.bench.Event;
import islet.bench.Mishap;
import islet.bench.SplitMix;
import java.util.ArrayList;
import java.util.List;

/** Cases drawn by the seed; each by its own number, so that any can be made without the others. */
final class DrawnCases implements Cases {

  /** After so many impossible draws a case goes without that mishap. */
  private static final int MOST_DRAWS = 50;

  private final Campaign campaign;
  private final Campaign.Drawn drawn;
  private final HealthyRuns healthy;

  DrawnCases(Campaign campaign, Campaign.Drawn drawn, HealthyRuns healthy) {
    this.campaign = campaign;
    this.drawn = drawn;
    this.healthy = healthy;
  }

  @Override
  public long count() {
    return drawn.cases();
  }

  @Override
  public CampaignCase of(long number, long id) {
    // Twice through the mixer, so that neighbouring numbers have nothing in common.
    SplitMix chance = new SplitMix(new SplitMix(campaign.seed() + number * 0x9E3779B9L).next());
    Course course = pick(campaign.courses(), chance);
    Healthy run = healthy.of(course);
    List<Mishap> fitting =
        campaign.mishaps().stream()
            .filter(m -> m.fits(course.scenario().site().arrangement()))
            .toList();
    List<Event> events = new ArrayList<>();
    List<String> labels = new ArrayList<>();
    List<String> kinds = new ArrayList<>();
    String mode = "";
    for (int i = 0; i < drawn.together() && !fitting.isEmpty(); i++) {
      for (int draw = 0; draw < MOST_DRAWS; draw++) {
        Mishap mishap = pick(fitting, chance);
        long at = instant(course, run, events, chance);
        List<Event> tried = new ArrayList<>(events);
        tried.add(mishap.at(at, values(mishap, chance)));
        if (CampaignCase.possible(course, tried)) {
          mode = events.isEmpty() ? run.modeAt(at) : mode;
          events = tried;
          labels.add(mishap.label());
          kinds.add(mishap.kind());
          break;
        }
      }
    }
    return new CampaignCase(
        id, course, mode, String.join(CampaignCase.JOINED, labels), kinds, events);
  }

  private long instant(Course course, Healthy run, List<Event> events, SplitMix chance) {
    if (!events.isEmpty() && chance.fraction() < 0.5) {
      Event before = events.get(events.size() - 1);
      return before.atMicros() + chance.below(drawn.withinMicros());
    }
    List<String> modes = run.modes().stream().filter(m -> ProductCases.asked(course, m)).toList();
    return modes.isEmpty()
        ? chance.below(course.scenario().durationMicros())
        : run.instant(pick(modes, chance), chance.fraction());
  }

  static double[] values(Mishap mishap, SplitMix chance) {
    double[] values = new double[mishap.axes().size()];
    int i = 0;
    for (Axis axis : mishap.axes()) {
      values[i++] = axis.at(chance.fraction());
    }
    return values;
  }

  private static <T> T pick(List<T> from, SplitMix chance) {
    return from.get((int) chance.below(from.size()));
  }
}
