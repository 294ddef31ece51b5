package islet.bench;

import islet.plant.ChargerSpec;
import islet.plant.CircuitSpec;
import islet.plant.ConstantLoad;
import islet.plant.DailyLoad;
import islet.plant.DataFiles;
import islet.plant.InrushSpec;
import islet.plant.InverterSpec;
import islet.plant.LoadProfile;
import islet.plant.Panel;
import islet.plant.Plant;
import islet.plant.PlantSpec;
import islet.plant.RefrigeratorLoad;
import islet.plant.RegulatorSpec;
import islet.plant.ThermalSpec;
import islet.plant.Transfer;
import islet.plant.UtilitySpec;
import islet.plant.Weather;
import islet.site.Site;
import java.util.ArrayList;
import java.util.List;

/**
 * Makes the plant that a site describes. Values that a site file doesn't state are here, with their
 * source.
 */
final class PlantBuilder {

  /**
   * Slope of the regulator's and the charger's characteristic: 0.2 % of nominal voltage at 100 A,
   * common practice.
   */
  private static final double DROOP_PER_VOLT = 0.002 / 100;

  /** Loop from each converter to the bus: short, 1 mΩ at 48 V, invented. */
  private static final double CONVERTER_CABLE_OHM = 0.001;

  /**
   * Reactance behind the inverter's terminals, per unit of its rating, common practice for a small
   * LC filter.
   */
  private static final double OUTPUT_REACTANCE_PU = 0.1;

  /**
   * Active anti-islanding: growth and push of the frequency deviation, chosen so that 2 s are kept
   * with ease.
   */
  private static final double ISLAND_FEEDBACK_PER_S = 3;

  private static final double ISLAND_KICK_HZ_PER_S = 1;

  private PlantBuilder() {}

  static Plant build(
      Site site,
      Weather weather,
      double initialSoc,
      double initialHealth,
      long startMicros,
      DataFiles files) {
    return new Plant(
        spec(site, initialSoc, initialHealth, startMicros, files), weather, startMicros);
  }

  /** The parts of the plant that a site describes. */
  static PlantSpec spec(
      Site site, double initialSoc, double initialHealth, long startMicros, DataFiles files) {
    double nominal = site.battery().nominalV();
    Site.Inverter inverter = site.inverter();
    Site.Utility utility = site.utility();
    return new PlantSpec(
        SiteParts.place(site),
        SiteParts.pv(site, startMicros),
        regulator(site.regulator(), nominal),
        SiteParts.battery(site.battery()),
        initialSoc,
        initialHealth,
        site.battery().cableOhm(),
        new InverterSpec(
            inverter.ratedW(),
            inverter.surgeW(),
            inverter.surgeS(),
            SiteParts.efficiency(inverter.efficiency()),
            inverter.idleW(),
            inverter.ratedChargeA(),
            inverter.dcMinimumV(),
            inverter.dcMaximumV(),
            DROOP_PER_VOLT * nominal,
            CONVERTER_CABLE_OHM,
            OUTPUT_REACTANCE_PU,
            ISLAND_FEEDBACK_PER_S,
            ISLAND_KICK_HZ_PER_S,
            inverter.thermal().map(PlantBuilder::thermal)),
        new UtilitySpec(
            utility.nominalV(),
            utility.nominalHz(),
            utility.serviceOhm(),
            utility.serviceReactanceOhm(),
            utility.lineLoadW()),
        transfer(site.arrangement()),
        site.charger()
            .map(
                c ->
                    new ChargerSpec(
                        c.ratedA(),
                        SiteParts.efficiency(c.efficiency()),
                        c.idleW(),
                        DROOP_PER_VOLT * nominal,
                        CONVERTER_CABLE_OHM)),
        circuits(site, startMicros, files));
  }

  private static RegulatorSpec regulator(Site.Regulator regulator, double nominalV) {
    double droopOhm = DROOP_PER_VOLT * nominalV;
    return switch (regulator.kind()) {
      case MPPT ->
          new RegulatorSpec(
              regulator.ratedA(),
              SiteParts.efficiency(regulator.efficiency().orElseThrow()),
              regulator.idleW(),
              droopOhm,
              CONVERTER_CABLE_OHM);
      case PWM ->
          RegulatorSpec.pwm(
              regulator.ratedA(),
              regulator.dropV(),
              regulator.idleW(),
              droopOhm,
              CONVERTER_CABLE_OHM);
    };
  }

  private static Transfer transfer(Site.Arrangement arrangement) {
    if (arrangement.hasChangeover()) {
      return Transfer.CHANGEOVER;
    }
    return arrangement.hasTie() ? Transfer.TIE : Transfer.NONE;
  }

  private static ThermalSpec thermal(Site.Thermal t) {
    return new ThermalSpec(t.riseK(), t.timeConstantS(), t.derateFromC(), t.derateToC());
  }

  private static List<CircuitSpec> circuits(Site site, long startMicros, DataFiles files) {
    double standardOffsetH = SiteParts.standardOffsetH(site, startMicros);
    List<CircuitSpec> out = new ArrayList<>();
    for (Site.Circuit circuit : site.circuits()) {
      out.add(
          new CircuitSpec(
              circuit.name(),
              switch (circuit.panel()) {
                case CRITICAL -> Panel.CRITICAL;
                case NONCRITICAL -> Panel.NONCRITICAL;
              },
              profile(circuit, site, standardOffsetH, out.size(), files),
              circuit.zShare(),
              circuit.iShare(),
              circuit.pShare(),
              circuit.powerFactor(),
              circuit
                  .inrush()
                  .map(i -> new InrushSpec(i.factor(), i.forS()))
                  .orElse(InrushSpec.NONE)));
    }
    return out;
  }

  private static LoadProfile profile(
      Site.Circuit circuit, Site site, double standardOffsetH, int index, DataFiles files) {
    Site.Load load = circuit.load();
    if (load instanceof Site.ConstantLoad constant) {
      return new ConstantLoad(constant.powerW());
    }
    if (load instanceof Site.DailyLoad daily) {
      return new DailyLoad(daily.powerW(), site.place().zone(), spans(daily));
    }
    if (load instanceof Site.CyclingLoad cycling) {
      // Each cycling circuit starts elsewhere in its cycle, so that they don't run in step.
      double cycle = (cycling.onS() + cycling.offS()) / 60;
      return new RefrigeratorLoad(
          cycling.powerW(), cycling.onS() / 60, cycling.offS() / 60, (0.37 * index % 1) * cycle);
    }
    Site.ProfileLoad profile = (Site.ProfileLoad) load;
    return SiteParts.hourly(profile, standardOffsetH, files);
  }

  private static List<DailyLoad.Span> spans(Site.DailyLoad daily) {
    List<DailyLoad.Span> out = new ArrayList<>();
    for (Site.MinuteSpan span : daily.on()) {
      double from = span.from() / 60.0;
      double to = span.to() / 60.0;
      if (span.from() < span.to()) {
        out.add(new DailyLoad.Span(from, to));
      } else {
        out.add(new DailyLoad.Span(from, 24));
        if (span.to() > 0) {
          out.add(new DailyLoad.Span(0, to));
        }
      }
    }
    return out;
  }
}
