package islet.site;

import java.math.BigDecimal;
import java.util.List;
import java.util.regex.Pattern;

/** Reads prices. */
final class TariffReader {

  private TariffReader() {}

  private static final Pattern CURRENCY = Pattern.compile("[A-Z]{3}");
  private static final Site.MinuteSpan ALL_DAY = new Site.MinuteSpan(0, Spans.MINUTES_PER_DAY);

  /** Where no utility is, nothing is bought or sold. */
  static Site.Tariff none() {
    return new Site.Tariff("USD", List.of(new Site.PriceBand("none", ALL_DAY, 0)), 0, 0);
  }

  static Site.Tariff tariff(Section s) {
    String currency = s.text("currency", CURRENCY, "three capitals such as USD", "");
    List<Site.PriceBand> bands = s.sections("bands", "", b -> band(b, currency));
    return new Site.Tariff(
        currency,
        bands,
        price(s, "exportCredit", currency, "kWh", 0, 10),
        price(s, "standing", currency, "day", 0, 1000));
  }

  /** The last band has no span; whether it is the last is checked with the whole. */
  private static Site.PriceBand band(Section s, String currency) {
    Site.MinuteSpan span = s.has("between") ? s.span("between", "") : ALL_DAY;
    return new Site.PriceBand(
        s.text("name", "the band's name", ""), span, price(s, "import", currency, "kWh", -1, 10));
  }

  /** A price with its unit, such as {@code 0.19 USD/kWh}. */
  private static double price(
      Section s, String name, String currency, String per, double minimum, double maximum) {
    String unit = " " + currency + "/" + per;
    String allowed = Decimals.text(minimum) + unit + " to " + Decimals.text(maximum) + unit;
    String text = s.text(name, allowed, "");
    if (text.isEmpty() || currency.isEmpty()) {
      return Double.NaN;
    }
    String number = text.endsWith(unit) ? text.substring(0, text.length() - unit.length()) : "";
    double value =
        number.matches(Quantity.NUMBER) ? new BigDecimal(number).doubleValue() : Double.NaN;
    if (!(value >= minimum && value <= maximum)) {
      s.wrong(name, allowed, "");
      return Double.NaN;
    }
    return value;
  }
}
