package islet.bench.defect;

import islet.contract.Device;
import islet.contract.MeterTelemetry;
import islet.contract.TieTelemetry;
import islet.control.Inputs;
import islet.control.Keepsake;
import islet.control.Outputs;
import islet.control.SiteSupervisor;
import islet.control.Supervisor;
import islet.site.Site;
import java.util.function.Function;
import java.util.function.Supplier;
import java.util.function.UnaryOperator;

/** Islet's own supervisor between eyes and hands that are not quite right. */
final class SpoiltSupervisor implements Supervisor {

  private static final Hands HONEST = (in, now, out) -> {};

  private final Supervisor good;
  private final Eyes eyes;
  private final Hands hands;
  private final Inputs seen = new Inputs();

  private SpoiltSupervisor(Supervisor good, Eyes eyes, Hands hands) {
    this.good = good;
    this.eyes = eyes;
    this.hands = hands;
  }

  /** A defect in what it is told. */
  static Function<Site, Supervisor> seeing(Supplier<Eyes> eyes) {
    return site -> new SpoiltSupervisor(new SiteSupervisor(site), eyes.get(), HONEST);
  }

  /** A defect in what it orders, made anew for each supervisor. */
  static Function<Site, Supervisor> ordering(Function<Site, Hands> hands) {
    return site -> new SpoiltSupervisor(new SiteSupervisor(site), new Eyes(), hands.apply(site));
  }

  /** A defect in the site that it takes itself to run. */
  static Function<Site, Supervisor> misreading(UnaryOperator<Site> slip) {
    return site -> new SiteSupervisor(slip.apply(site));
  }

  @Override
  public void scan(Inputs in, long nowMicros, Outputs out) {
    eyes.open(in, nowMicros, out);
    look(in);
    good.scan(seen, nowMicros, out);
    seen.scanned();
    hands.carryOut(in, nowMicros, out);
  }

  private void look(Inputs in) {
    seen.take(eyes.regulator(in.regulator()), eyes.arrived(Device.REGULATOR, in.regulatorAt()));
    seen.take(eyes.inverter(in.inverter()), eyes.arrived(Device.INVERTER, in.inverterAt()));
    seen.take(eyes.charger(in.charger()), eyes.arrived(Device.CHARGER, in.chargerAt()));
    tie(in);
    meter(in);
    if (in.operatorAsks()) {
      seen.ask(eyes.ordered(in.operator()));
    }
    seen.commandTrouble(in.commandTrouble());
    seen.badMessage(in.badMessage());
    seen.journalTrouble(in.journalTrouble());
  }

  /** What was lowest and highest since the last scan passes by before what is so now. */
  private void tie(Inputs in) {
    TieTelemetry t = in.tie();
    long at = eyes.arrived(Device.TIE, in.tieAt());
    seen.take(eyes.tie(Readings.utility(t, in.lowestPu(), in.lowestHz())), at);
    seen.take(eyes.tie(Readings.utility(t, in.highestPu(), in.highestHz())), at);
    seen.take(eyes.tie(t), at);
  }

  private void meter(Inputs in) {
    MeterTelemetry m = in.meter();
    long at = eyes.arrived(Device.METER, in.meterAt());
    seen.take(eyes.meter(Readings.utility(m, in.meterLowestPu(), in.meterLowestHz())), at);
    seen.take(eyes.meter(Readings.utility(m, in.meterHighestPu(), in.meterHighestHz())), at);
    seen.take(eyes.meter(m), at);
  }

  @Override
  public boolean wantsToThink() {
    return good.wantsToThink();
  }

  @Override
  public void think() {
    good.think();
  }

  @Override
  public void keep(Keepsake keepsake) {
    good.keep(keepsake);
  }
}
