package islet.bench.check;

import islet.contract.Decimal;

/** Numbers with their units for sentences, with fixed decimals. */
final class Say {

  private static final double S_PER_H = 3600;
  private static final double H_PER_DAY = 24;

  private Say() {}

  static String volts(double v) {
    return number(v, 2) + " V";
  }

  static String cellVolts(double v) {
    return number(v, 3) + " V per cell";
  }

  static String amps(double a) {
    return number(a, 1) + " A";
  }

  static String watts(double w) {
    return w >= 1000 ? number(w / 1000, 2) + " kW" : number(w, 0) + " W";
  }

  static String voltAmps(double va) {
    return va >= 1000 ? number(va / 1000, 2) + " kVA" : number(va, 0) + " VA";
  }

  static String share(double ratio) {
    return number(100 * ratio, 1) + " %";
  }

  static String celsius(double c) {
    return number(c, 1) + " °C";
  }

  static String degrees(double deg) {
    return number(deg, 1) + "°";
  }

  /** A current as a multiple of the capacity: 0.2 C fills or empties in five hours. */
  static String rate(double perHour) {
    return number(perHour, 2) + " C";
  }

  static String hours(double h) {
    if (!Double.isFinite(h)) {
      return "without end";
    }
    return h > 3 * H_PER_DAY ? number(h / H_PER_DAY, 1) + " days" : number(h, 1) + " h";
  }

  static String seconds(double s) {
    if (s >= S_PER_H) {
      return number(s / S_PER_H, 1) + " h";
    }
    return s < 1 ? number(1000 * s, 1) + " ms" : number(s, 1) + " s";
  }

  static String number(double value, int decimals) {
    return Double.isFinite(value) ? Decimal.text(value, decimals) : "no number";
  }
}
