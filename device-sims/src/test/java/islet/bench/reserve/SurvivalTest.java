package islet.bench.reserve;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.reserve.Outage.End;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Judged by shares worked out by hand with the product-limit formula. */
class SurvivalTest {

  private final List<Outage> outages = new ArrayList<>();

  private SurvivalTest dark(long micros) {
    outages.add(new Outage(outages.size(), micros, End.DARK));
    return this;
  }

  private SurvivalTest end(long micros, End end) {
    outages.add(new Outage(outages.size(), micros, end));
    return this;
  }

  @Test
  void withoutCutsItIsThePlainShare() {
    Survival survival = dark(40).dark(10).dark(30).dark(20).surviving();
    assertEquals(1, survival.share(10));
    assertEquals(0.75, survival.share(11), 1e-12);
    assertEquals(0.25, survival.share(40), 1e-12);
    assertEquals(0, survival.share(41), 1e-12);
    assertEquals(20, survival.quantileMicros(0.5));
    assertEquals(10, survival.quantileMicros(0.05));
    assertEquals(40, survival.quantileMicros(1));
  }

  @Test
  void anOutageThatIsCutCountsForAsLongAsItWasWatched() {
    // Dark at 10 of five, cut at 20, dark at 30 of three: 4/5, then 4/5 · 2/3.
    Survival survival = dark(10).end(20, End.CUT).dark(30).dark(40).dark(50).surviving();
    assertEquals(0.8, survival.share(30), 1e-12);
    assertEquals(0.8 * 2 / 3, survival.share(31), 1e-12);
    assertEquals(0.8 / 3, survival.share(41), 1e-12);
    assertEquals(40, survival.quantileMicros(0.5));
  }

  @Test
  void aCutAtTheInstantOfADarkPanelWasStillWatched() {
    Survival survival = dark(10).end(10, End.CUT).dark(20).dark(30).surviving();
    assertEquals(0.75, survival.share(11), 1e-12);
  }

  @Test
  void whatNobodyWatchedForSoLongIsNotKnown() {
    Survival survival = dark(10).end(20, End.CUT).surviving();
    assertEquals(0.5, survival.share(20), 1e-12);
    assertTrue(Double.isNaN(survival.share(21)));
    assertEquals(Long.MAX_VALUE, survival.quantileMicros(0.6));
    assertEquals(20, survival.watchedMicros());
  }

  @Test
  void panelsThatNeverGoDarkAreSurvivedForAll() {
    Survival survival = end(100, End.SURVIVED).end(100, End.SURVIVED).surviving();
    assertEquals(1, survival.share(100));
    assertEquals(Long.MAX_VALUE, survival.quantileMicros(1e-9));
  }

  private Survival surviving() {
    return Survival.of(outages);
  }
}
