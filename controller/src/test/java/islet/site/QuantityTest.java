package islet.site;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Judged by the prefixes of the International System of Units and by 0 °C = 273.15 K. */
class QuantityTest {

  @ParameterizedTest
  @CsvSource({
    "400 Ah, CHARGE, 400",
    "0.4 kAh, CHARGE, 400",
    "58.4 V, VOLTAGE, 58.4",
    "58400 mV, VOLTAGE, 58.4",
    "0.4 kV, VOLTAGE, 400",
    "8 ms, TIME, 0.008",
    "160 ms, TIME, 0.16",
    "250 us, TIME, 0.00025",
    "3 min, TIME, 180",
    "1.5 h, TIME, 5400",
    "-4 mV/K, VOLTAGE_PER_KELVIN, -0.004",
    "3.2 mA/K, CURRENT_PER_KELVIN, 0.0032",
    "0.02 ohm, RESISTANCE, 0.02",
    "20 mΩ, RESISTANCE, 0.02",
    "10 %, RATIO, 0.1",
    "0.1, RATIO, 0.1",
    "88 %, PER_UNIT, 0.88",
    "0.88 pu, PER_UNIT, 0.88",
    "3 kW, POWER, 3000",
    "0.1 MW, POWER, 100000",
    "60 Hz, FREQUENCY, 60",
    "25 degC, TEMPERATURE, 25",
    "298.15 K, TEMPERATURE, 25",
    "-10°C, TEMPERATURE, -10",
    "30 deg, ANGLE, 30",
    "201 m, LENGTH, 201",
    "1 kW/m2, IRRADIANCE, 1000",
    "1e3 W, POWER, 1000"
  })
  void convertsToTheDimensionsOwnUnitRoundedOnce(String text, Dimension dimension, double value) {
    assertEquals(Optional.of(new Quantity(value, dimension)), Quantity.parse(text, dimension));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "400",
        "400 W",
        "400 AH",
        "4,000 Ah",
        "four Ah",
        "Ah",
        "",
        "1e999 Ah",
        "NaN Ah",
        "400 Ah 3",
        "0x10 Ah",
        "400  Ah"
      })
  void refusesWhatIsNoChargeWithItsUnit(String text) {
    assertEquals(Optional.empty(), Quantity.parse(text, Dimension.CHARGE));
  }

  @Test
  void doesNotTakeMillivoltsForMegavoltsOrMilliwattsForMegawatts() {
    assertEquals(0.001, Quantity.parse("1 mW", Dimension.POWER).orElseThrow().value());
    assertEquals(1e6, Quantity.parse("1 MW", Dimension.POWER).orElseThrow().value());
    assertEquals(Optional.empty(), Quantity.parse("1 MV", Dimension.VOLTAGE));
  }

  /** A decimal written out must read back as the same number: the definition of lossless. */
  @ParameterizedTest
  @CsvSource({
    "0.1, 0.1",
    "400, 400",
    "-0.096, -0.096",
    "0, 0",
    "-0.0, 0",
    "20000, 20000",
    "0.30000000000000004, 0.30000000000000004",
    "1e-7, 0.0000001"
  })
  void writesTheShortestDecimalThatReadsBack(double value, String text) {
    assertEquals(text, Decimals.text(value));
    assertEquals(value, Double.parseDouble(Decimals.text(value)), 0.0);
  }
}
