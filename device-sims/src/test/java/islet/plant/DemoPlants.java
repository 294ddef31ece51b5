package islet.plant;

import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;

/** Plants for tests: the invented ferry landing, 48 V and 400 Ah. */
final class DemoPlants {
  /** 2026-07-01T18:00Z: noon by local standard time at UTC−6. */
  static final long SUMMER_NOON = 1_782_928_800L * 1_000_000L;

  static final Place PLACE = new Place(41.98, -87.92, 201, 0.2);

  /** The datasheet of Villalva et al. 2009. */
  static final ModuleSpec MODULE = new ModuleSpec(8.21, 32.9, 7.61, 26.3, 54, 0.0032, -0.123, 47);

  static final InverterSpec INVERTER =
      new InverterSpec(
          5000,
          10_000,
          5,
          new Efficiency(0.90, 0.95, 0.93),
          25,
          70,
          42,
          64,
          0.005,
          0.001,
          0.1,
          3,
          0.5);

  private DemoPlants() {}

  /** The same inverter with a heat sink. */
  static InverterSpec warm(ThermalSpec thermal) {
    InverterSpec i = INVERTER;
    return new InverterSpec(
        i.ratedW(),
        i.surgeW(),
        i.surgeS(),
        i.efficiency(),
        i.idleW(),
        i.ratedChargeA(),
        i.dcMinimumV(),
        i.dcMaximumV(),
        i.droopOhm(),
        i.cableOhm(),
        i.outputReactancePu(),
        i.islandFeedbackPerS(),
        i.islandKickHzPerS(),
        Optional.of(thermal));
  }

  static PlantSpec spec(double soc) {
    return spec(soc, circuits());
  }

  static PlantSpec spec(double soc, List<CircuitSpec> circuits) {
    return new PlantSpec(
        PLACE,
        new PvSpec(MODULE, 5, 4, 35, 180),
        new RegulatorSpec(80, new Efficiency(0.95, 0.975, 0.97), 4, 0.005, 0.002),
        LeadAcidSpec.flooded(24, 400),
        soc,
        0.002,
        INVERTER,
        new UtilitySpec(240, 60, 0.03, 0.02, 800),
        circuits);
  }

  /** The same parts around another bank. */
  static PlantSpec with(BatterySpec bank, double soc) {
    PlantSpec s = spec(soc);
    return new PlantSpec(
        s.place(),
        s.pv(),
        s.regulator(),
        bank,
        soc,
        s.dcCableOhm(),
        s.inverter(),
        s.utility(),
        s.circuits());
  }

  /** The same parts with a changeover switch in place of the tie and a 40 A charger. */
  static PlantSpec withChangeover(double soc) {
    PlantSpec s = spec(soc);
    return new PlantSpec(
        s.place(),
        s.pv(),
        s.regulator(),
        s.battery(),
        soc,
        s.dcCableOhm(),
        s.inverter(),
        s.utility(),
        Transfer.CHANGEOVER,
        Optional.of(new ChargerSpec(40, new Efficiency(0.86, 0.92, 0.9), 8, 0.005, 0.002)),
        s.circuits());
  }

  static List<CircuitSpec> circuits() {
    return List.of(
        new CircuitSpec("lights", Panel.CRITICAL, new ConstantLoad(300), 0.4, 0.3, 0.3, 1.0),
        new CircuitSpec(
            "refrigerator",
            Panel.CRITICAL,
            new RefrigeratorLoad(180, 12, 24, 5),
            0.5,
            0,
            0.5,
            0.85),
        new CircuitSpec(
            "workshop",
            Panel.NONCRITICAL,
            new DailyLoad(
                1200,
                ZoneOffset.ofHours(-6),
                List.of(new DailyLoad.Span(8, 12), new DailyLoad.Span(13, 17))),
            0.5,
            0.2,
            0.3,
            0.9));
  }

  static Plant sunny(double soc) {
    return new Plant(spec(soc), new ConstantWeather(800, 700, 200, 25, 3), SUMMER_NOON);
  }

  static Plant dark(double soc) {
    return new Plant(spec(soc), new ConstantWeather(0, 0, 0, 20, 3), SUMMER_NOON);
  }

  static Path root() {
    String root = System.getProperty("islet.root");
    if (root == null) {
      throw new IllegalStateException("The build didn't say where the project stands.");
    }
    return Path.of(root);
  }

  static Path epw() {
    return root().resolve("config/weather/chicago-ohare-tmy3.epw");
  }

  static Path houseLoad() {
    return root().resolve("config/loads/st-louis-residential-base-load.csv");
  }
}
