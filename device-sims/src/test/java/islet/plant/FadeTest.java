package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Judged by the arithmetic of cycles to 80 % and by conservation of charge and energy. */
class FadeTest {

  /** A bank and its equivalent full cycles to 80 %, of its rated charge. */
  private record Case(BatterySpec spec, double cyclesTo80, double ratedAh) {}

  static List<Case> banks() {
    return List.of(
        new Case(LeadAcidSpec.flooded(24, 400), 600, 400),
        new Case(LfpSpec.prismatic(16, 400), 4000, 400));
  }

  @ParameterizedTest
  @MethodSource("banks")
  void capacityFadesByAFifthInTheStatedCyclesAndTheBooksKnowWhereItWent(Case bank) {
    LoneBank lone = new LoneBank(bank.spec(), 0.9, 1, 25);
    Ledger ledger = lone.ledger();
    double cycles = 0;
    for (int i = 0; i < 6; i++) {
      lone.hold(-40, 5 * 3600);
      lone.hold(40, 4.6 * 3600);
      cycles += 200 / bank.ratedAh();
    }
    double fade = 1 - lone.battery().health();
    double outC = ledger.chargeOutC();
    assertEquals(0.2 * outC / (3600 * bank.ratedAh() * bank.cyclesTo80()), fade, 1e-3 * fade);
    assertEquals(0.2 * cycles / bank.cyclesTo80(), fade, 0.01 * fade);
    // What was lost held between a third and all of its charge.
    double lostC = fade * bank.spec().fullAh() * 3600;
    assertTrue(ledger.chargeFadeC() > 0.3 * lostC && ledger.chargeFadeC() < lostC);
    assertTrue(ledger.joules(Flow.BATTERY_FADE_LOSS) > 0);
  }

  @ParameterizedTest
  @MethodSource("banks")
  void aWornBankHoldsLessAndEmptiesSooner(Case bank) {
    LoneBank freshBank = new LoneBank(bank.spec(), 0.8, 1, 25);
    LoneBank wornBank = new LoneBank(bank.spec(), 0.8, 0.7, 25);
    Battery fresh = freshBank.battery();
    Battery worn = wornBank.battery();
    assertEquals(0.7, worn.wellsC() / fresh.wellsC(), 1e-12);
    assertEquals(0.7, worn.storedJ() / fresh.storedJ(), 1e-12);
    assertEquals(0.7, worn.health());
    freshBank.hold(-40, 7200);
    wornBank.hold(-40, 7200);
    assertEquals((0.8 - fresh.soc()) / 0.7, 0.8 - worn.soc(), 0.01);
  }
}
