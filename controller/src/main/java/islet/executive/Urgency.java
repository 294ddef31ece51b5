package islet.executive;

import islet.contract.InverterTelemetry;
import islet.contract.MeterTelemetry;
import islet.contract.TieTelemetry;
import islet.site.Site;

/**
 * Tells the messages that should not wait for the next scan: the utility has gone below the voltage
 * at which the site leaves it, by the tie's word, or the meter's while no tie is heard (the logic
 * believes them in that order, and a scan before the tie's word would be in vain); the tie's
 * contact has moved or its protection has acted; the inverter has changed its state. A utility that
 * returns is not urgent, since its delay begins then.
 */
final class Urgency {

  private final double leaveBelowPu;
  private boolean urgent;

  Urgency(Site site) {
    double separateBelowPu =
        switch (site.supervision().onSag()) {
          case SEPARATE -> site.tie().map(Site.Tie::separateBelowPu).orElse(0.0);
          case RIDE_THROUGH -> 0;
        };
    leaveBelowPu = Math.max(site.goneBelowPu(), separateBelowPu);
  }

  /**
   * The meter has spoken.
   *
   * @param alone whether no tie has been heard lately
   */
  void heard(MeterTelemetry before, MeterTelemetry now, boolean alone) {
    urgent |= alone && fell(before.utilityVoltagePu(), now.utilityVoltagePu());
  }

  void heard(TieTelemetry before, TieTelemetry now) {
    urgent |=
        fell(before.utilityVoltagePu(), now.utilityVoltagePu())
            || before.closed() != now.closed()
            || before.trip() != now.trip();
  }

  void heard(InverterTelemetry before, InverterTelemetry now) {
    urgent |= before.state() != now.state();
  }

  private boolean fell(double beforePu, double nowPu) {
    return beforePu >= leaveBelowPu && nowPu < leaveBelowPu;
  }

  /** Whether there was one since this was asked last. */
  boolean taken() {
    boolean was = urgent;
    urgent = false;
    return was;
  }
}
