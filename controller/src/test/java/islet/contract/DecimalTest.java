package islet.contract;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.nio.charset.StandardCharsets;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Judged by {@link BigDecimal}, which knows a double's exact value, with HALF_UP rounding. */
class DecimalTest {

  private static final BigDecimal HALF = new BigDecimal("0.5");

  private static String expected(double value, int decimals) {
    BigDecimal rounded =
        new BigDecimal(value).setScale(decimals, RoundingMode.HALF_UP).stripTrailingZeros();
    return rounded.signum() == 0 ? "0" : rounded.toPlainString();
  }

  /**
   * Scaling a double rounds once. Where the exact value lies within that rounding of a tie, either
   * neighbour is right; everywhere else only the nearest is.
   */
  private static boolean nearTie(double value, int decimals) {
    BigDecimal scaled = new BigDecimal(value).abs().scaleByPowerOfTen(decimals);
    BigDecimal fraction = scaled.subtract(scaled.setScale(0, RoundingMode.FLOOR));
    BigDecimal rounding = new BigDecimal(Math.ulp(scaled.doubleValue()));
    return fraction.subtract(HALF).abs().compareTo(rounding) <= 0;
  }

  @Test
  void aHundredThousandNumbersOfEveryWireFormatRoundHalfAwayFromZero() {
    Random random = new Random(20260114);
    int ties = 0;
    for (int i = 0; i < 100_000; i++) {
      int decimals = random.nextInt(Decimal.MOST_DECIMALS + 1);
      // Up to 2^52 units of the last place, beyond which a double has no halves of a unit.
      double most = Math.min(1e7, 0x1p51 * Math.pow(10, -decimals));
      double value = (random.nextDouble() * 2 - 1) * Math.pow(10, -8 * random.nextDouble()) * most;
      if (nearTie(value, decimals)) {
        ties++;
      } else {
        assertEquals(expected(value, decimals), Decimal.text(value, decimals));
      }
    }
    assertTrue(ties < 5_000, ties + " of the numbers prove nothing");
  }

  @Test
  void numbersThatAreTiesExactlyGoAwayFromZero() {
    for (int eighths = -4001; eighths <= 4001; eighths++) {
      double value = eighths / 8.0;
      for (int decimals = 0; decimals <= 3; decimals++) {
        assertEquals(expected(value, decimals), Decimal.text(value, decimals));
      }
    }
  }

  @ParameterizedTest
  @CsvSource({
    "0, 3, 0",
    "-0.0, 3, 0",
    "-0.0004, 3, 0",
    "-0.0005, 3, -0.001",
    "0.5, 0, 1",
    "-0.5, 0, -1",
    "1.5, 1, 1.5",
    "100, 4, 100",
    "0.000000001, 9, 0.000000001",
    "9.9995, 3, 10",
    "1000000, 1, 1000000",
    "-10000000, 1, -10000000",
    "4.9E-324, 9, 0",
  })
  void theOnesThatAPersonWouldTry(double value, int decimals, String text) {
    assertEquals(text, Decimal.text(value, decimals));
  }

  @Test
  void whatCannotBeWrittenIsRefused() {
    assertThrows(IllegalArgumentException.class, () -> Decimal.text(Double.NaN, 2));
    assertThrows(IllegalArgumentException.class, () -> Decimal.text(Double.POSITIVE_INFINITY, 2));
    assertThrows(IllegalArgumentException.class, () -> Decimal.text(Double.NEGATIVE_INFINITY, 2));
    assertThrows(IllegalArgumentException.class, () -> Decimal.text(1e19, 0));
    assertThrows(IllegalArgumentException.class, () -> Decimal.text(1e10, 9));
  }

  @Test
  void theLongestNumberFitsTheRoomThatIsKeptForIt() {
    assertTrue(Decimal.text(-9.1e9, 9).length() <= Decimal.LONGEST);
    assertTrue(Decimal.text(-9.1e18, 0).length() <= Decimal.LONGEST);
    assertTrue(whole(Long.MIN_VALUE + 1).length() <= Decimal.LONGEST);
  }

  @Test
  void wholeNumbersAreWrittenAsTheJdkWritesThem() {
    Random random = new Random(7);
    for (int i = 0; i < 100_000; i++) {
      long value = random.nextLong() >> random.nextInt(64);
      assertEquals(Long.toString(value), whole(value));
    }
    assertEquals(Long.toString(Long.MAX_VALUE), whole(Long.MAX_VALUE));
  }

  private static String whole(long value) {
    byte[] out = new byte[Decimal.LONGEST];
    return new String(out, 0, Decimal.write(value, out, 0), StandardCharsets.US_ASCII);
  }
}
