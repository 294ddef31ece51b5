package islet.executive;

import islet.contract.InverterTelemetry;
import islet.contract.MeterTelemetry;
import islet.contract.TieTelemetry;
import islet.site.Site;

/**
 * Tells the messages that should not wait for the next scan: the utility has gone below the voltage
 * at which the site leaves it, by the meter's word or the tie's; the tie's contact has moved or its
 * protection has acted; the inverter has changed its state. A utility that returns is not urgent,
 * since its delay begins then.
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

  void heard(MeterTelemetry before, MeterTelemetry now) {
    urgent |= fell(before.utilityVoltagePu(), now.utilityVoltagePu());
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
