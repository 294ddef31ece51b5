package islet.contract;

import java.util.Locale;

/** The parties on a site's topics. A topic writes the name in lower case. */
public enum Device {
  REGULATOR,
  INVERTER,
  CHARGER,
  TIE,
  METER,
  SUPERVISOR,
  BENCH;

  private final String segment = name().toLowerCase(Locale.ROOT);

  /** The topic segment. */
  public String segment() {
    return segment;
  }
}
