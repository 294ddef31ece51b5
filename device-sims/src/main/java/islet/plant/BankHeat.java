package islet.plant;

/** One temperature for a whole bank: heated from inside, cooled by its room. */
final class BankHeat {
  private final double capacityJPerK;
  private final double lossWPerK;
  private double celsius;

  BankHeat(double capacityJPerK, double lossWPerK, double celsius) {
    this.capacityJPerK = capacityJPerK;
    this.lossWPerK = lossWPerK;
    this.celsius = celsius;
  }

  void heat(double watts, double seconds) {
    celsius += watts * seconds / capacityJPerK;
  }

  /** Exponential approach to the room's temperature. */
  void cool(double roomC, double seconds) {
    celsius += (roomC - celsius) * -StrictMath.expm1(-lossWPerK / capacityJPerK * seconds);
  }

  double celsius() {
    return celsius;
  }

  void set(double temperatureC) {
    celsius = temperatureC;
  }
}
