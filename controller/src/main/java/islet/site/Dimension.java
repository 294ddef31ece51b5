package islet.site;

import java.math.BigDecimal;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;

/**
 * What a quantity measures. Each has its own unit, the first named, in which values are held, and
 * others that convert to it. Factors are exact decimals, so that a value is rounded only once.
 */
public enum Dimension {
  /** Electric potential in V. */
  VOLTAGE("V=1", "mV=0.001", "kV=1000"),
  /** Current in A. */
  CURRENT("A=1", "mA=0.001", "kA=1000"),
  /** Battery charge in Ah. */
  CHARGE("Ah=1", "mAh=0.001", "kAh=1000"),
  /** Power in W. */
  POWER("W=1", "mW=0.001", "kW=1000", "MW=1000000"),
  /** Resistance and reactance in Ω. */
  RESISTANCE("ohm=1", "mohm=0.001", "kohm=1000", "Ω=1", "mΩ=0.001", "kΩ=1000"),
  /** Time in s. */
  TIME("s=1", "us=0.000001", "ms=0.001", "min=60", "h=3600"),
  /** Frequency in Hz. */
  FREQUENCY("Hz=1", "mHz=0.001", "kHz=1000"),
  /** Rate of change of frequency in Hz/s. */
  FREQUENCY_RATE("Hz/s=1", "mHz/s=0.001"),
  /** Temperature in °C. */
  TEMPERATURE("degC=1", "°C=1", "K=1-273.15"),
  /** Difference of temperatures in K. */
  TEMPERATURE_RISE("K=1", "degC=1", "°C=1"),
  /** Change of voltage with temperature in V/K. */
  VOLTAGE_PER_KELVIN("V/K=1", "mV/K=0.001", "V/degC=1", "mV/degC=0.001"),
  /** Change of current with temperature in A/K. */
  CURRENT_PER_KELVIN("A/K=1", "mA/K=0.001", "A/degC=1", "mA/degC=0.001"),
  /** Angle in degrees. */
  ANGLE("deg=1", "°=1"),
  /** Length in m. */
  LENGTH("m=1", "mm=0.001", "cm=0.01", "km=1000"),
  /** Irradiance in W/m². */
  IRRADIANCE("W/m2=1", "W/m²=1", "kW/m2=1000", "kW/m²=1000"),
  /** A share of the nominal value. */
  PER_UNIT("pu=1", "%=0.01"),
  /** A ratio: a plain number, per unit or in percent. */
  RATIO("=1", "pu=1", "%=0.01");

  @SuppressWarnings("ImmutableEnumChecker") // an unmodifiable list of records
  private final List<Unit> units;

  /** Takes units as {@code symbol=factor}, a temperature's with its offset behind. */
  Dimension(String... units) {
    this.units = Arrays.stream(units).map(this::unitFrom).toList();
  }

  private Unit unitFrom(String text) {
    int equals = text.indexOf('=');
    int minus = text.indexOf('-', equals);
    int end = minus < 0 ? text.length() : minus;
    return new Unit(
        text.substring(0, equals),
        this,
        new BigDecimal(text.substring(equals + 1, end)),
        minus < 0 ? BigDecimal.ZERO : new BigDecimal(text.substring(minus)));
  }

  /** The dimension's own unit. */
  public Unit own() {
    return units.get(0);
  }

  /** The unit of this dimension that is written so, if there is one. */
  public Optional<Unit> unit(String symbol) {
    return units.stream().filter(u -> u.symbol().equals(symbol)).findFirst();
  }

  /** How a quantity of this dimension is written, for a message. */
  String form() {
    String symbols =
        units.stream()
            .map(Unit::symbol)
            .filter(s -> !s.isEmpty())
            .collect(Collectors.joining(", "));
    String plain = own().symbol().isEmpty() ? "a plain number or " : "";
    return plain + "a number with a unit out of " + symbols;
  }

  /** A value of the dimension's own unit as text. */
  String text(double value) {
    String number = Decimals.text(value);
    return own().symbol().isEmpty() ? number : number + " " + own().symbol();
  }
}
