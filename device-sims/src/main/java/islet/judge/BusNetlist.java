package islet.judge;

import islet.plant.BatterySpec;
import islet.plant.ChargerSpec;
import islet.plant.Efficiency;
import islet.plant.InverterSpec;
import islet.plant.LeadAcidSpec;
import islet.plant.LfpSpec;
import islet.plant.ModuleModel;
import islet.plant.ModuleSpec;
import islet.plant.Plant;
import islet.plant.PvSpec;
import islet.plant.RegulatorSpec;

/**
 * The same DC bus as a circuit for a general simulator.
 *
 * <p>Everything is stated from the equations of docs/model.md and the parts' specifications, in the
 * simulator's own language and in terms of each part's terminals: the resting voltage as a source,
 * the resistances of Copetti, Lorenzo and Chenlo (1993) behind it, the gassing branch of Schiffer
 * and others (2007) across it, an array of one diode a module (Villalva and others 2009),
 * converters as current sources that hold a voltage with droop within limits of current and power,
 * and their losses through three points of an efficiency curve. The plant solves in another
 * unknown, with cables folded into the characteristics; here each cable is a resistor and each
 * power limit a node of its own.
 *
 * <p>Bus and battery have capacitors, so that the operating point is where the circuit comes to
 * rest.
 */
final class BusNetlist {
  /** Resting voltage per cell at 0, 10 … 100 %, as docs/model.md has it. */
  private static final double[] LITHIUM_V = {
    2.50, 3.00, 3.20, 3.22, 3.25, 3.26, 3.27, 3.30, 3.32, 3.35, 3.40
  };

  private final StringBuilder text = new StringBuilder();
  private final BusCase point;
  private final Plant plant;
  private final double beginV;

  private BusNetlist(BusCase point, Plant plant, double beginV) {
    this.point = point;
    this.plant = plant;
    this.beginV = beginV;
  }

  /**
   * The netlist. It leaves options and what to print to whoever runs it.
   *
   * @param point the operating point
   * @param plant the plant set to it, asked only for what comes in from the sky: the array's power,
   *     or irradiance and cell temperature where the array is a part of the circuit
   * @param begin voltage from which the circuit begins to settle, over the nominal one
   */
  static String of(BusCase point, Plant plant, double begin) {
    return new BusNetlist(point, plant, begin * point.spec().battery().nominalV()).write();
  }

  private String write() {
    line("operating point " + point.seed());
    characteristics();
    battery();
    line("Rcable bus cable " + point.spec().dcCableOhm());
    line("Vbattery cable bat 0");
    regulator();
    charger();
    inverter();
    // From the nominal voltage, which knows nothing of the answer, until the capacitors are at
    // rest: a search without them jumps to and fro between the corners of the limits.
    capacitor("bus", 1);
    capacitor("bat", 1);
    return text.toString();
  }

  /** What converters have in common, each in terms of its terminals' voltage. */
  private void characteristics() {
    line(".func hold(v,set,droop,limit) {max(0,min((set-(v))/droop,limit))}");
    // Never reached in a valid case; keeps the simulator's first guesses finite.
    line(".func give(p,v) {(p)/max(v,%s)}".formatted(0.5 * point.spec().battery().nominalV()));
    // A sink turns resistive where its inverter gives up.
    line(
        ".func take(p,v) {(p)*(v)/pow(max(v,%s),2)}"
            .formatted(point.spec().inverter().dcMinimumV()));
  }

  private void battery() {
    BatterySpec spec = point.spec().battery();
    line(".param cells=" + spec.cells() + " factor=" + point.resistanceFactor());
    line(".param soc=" + point.spec().initialSoc() + " warmer=" + (point.celsius() - 25));
    line("Vmain bat main 0");
    if (spec instanceof LfpSpec lithium) {
      lithium(lithium);
    } else {
      leadAcid((LeadAcidSpec) spec);
    }
  }

  /** A rested bank's first instant: the RC pair is still empty. */
  private void lithium(LfpSpec bank) {
    double restV = LITHIUM_V[(int) Math.round(10 * point.spec().initialSoc())];
    // Arrhenius with 20 kJ/mol.
    line(".param colder={exp(2405*(1/(warmer+298.15)-1/298.15))}");
    line(
        "Bmain main 0 V={cells}*(%s+i(Vmain)*{factor*colder*%s})"
            .formatted(restV, bank.seriesOhm()));
  }

  private void leadAcid(LeadAcidSpec bank) {
    line(".param c10=" + bank.capacityC10Ah());
    // Charge of both wells that makes the ten-hour capacity exact (Manwell, McGowan 1993).
    line(".param c=" + bank.availableShare() + " kt=" + 10 * bank.ratePerH());
    line(".param full={c10*(1-exp(-kt)+c*(kt-1+exp(-kt)))/(kt*c)}");
    line(".func knee(h) {0.3*pow(max(0,(0.15-(h))/0.15),3)}");
    line(".param rest={1.890139+0.274583*soc-0.043056*soc*soc-knee(soc)}");
    line(".param s={1-(1-soc)*full/(1.67*c10)}");
    line(".param taken={0.27/(s*sqrt(s))+0.02}");
    line(".param given={0.23/pow(1-soc,1.2)+0.036}");
    line(".param kd={factor*(1-0.007*warmer)/c10} kc={factor*(1-0.025*warmer)/c10}");
    // In the cold the well runs dry earlier.
    line(".param held={0.005*max(0,-warmer)*c10/full}");
    line(".param cold={min(1.5,knee(soc-held)-knee(soc))}");
    line(".func power(i,n) {exp(n*ln(max(abs(i),1e-12)))}");
    line(".func charge(i) {{kc}*(6/(1+power(i,0.86))+{given})}");
    line(".func discharge(i) {{kd}*(4/(1+power(i,1.3))+{taken})}");
    line(
        "Bmain main 0 V={cells}*({rest}+i(Vmain)"
            + "*(i(Vmain)>0 ? charge(i(Vmain)) : discharge(i(Vmain)))"
            + "+{cold}*min(0,i(Vmain))/({c10/100}+abs(i(Vmain))))");
    // Held far beyond any voltage of a bank, so that the simulator's first guesses stay finite.
    line("Bgas bat 0 I={0.02*c10/100}" + "*exp(min(20,11*(v(bat)/{cells}-2.23)+0.06*{warmer}))");
  }

  private void regulator() {
    RegulatorSpec spec = point.spec().regulator();
    if (!point.regulator().on()) {
      line("Vregulator bus regulator 0");
      return;
    }
    switch (spec.kind()) {
      case MPPT -> tracking(spec);
      case PWM -> switching(spec);
    }
  }

  private void tracking(RegulatorSpec spec) {
    double availableW = plant.pvAvailableW();
    // By day it lives on the array, by night on the bus.
    if (availableW <= spec.idleW()) {
      idle("Bnight", spec.idleW());
      line("Vregulator bus regulator 0");
      return;
    }
    double ratedW = spec.ratedCurrentA() * point.spec().battery().nominalV();
    loss("regulatorloss", ratedW, spec.efficiency().orElseThrow(), spec.idleW());
    // The output that uses up the array's power.
    line("Bpower 0 power I=" + availableW + "-v(power)-regulatorloss(v(power))");
    regulator(spec, "give(v(power),v(regulator))");
  }

  /** The array itself, one diode a module, at the terminals' voltage plus the switch's drop. */
  private void switching(RegulatorSpec spec) {
    PvSpec pv = point.spec().pv();
    ModuleSpec module = pv.module();
    // The two resistances fitted to the datasheet are an input here; check R7 judges the fit.
    ModuleModel fit = new ModuleModel(module);
    double seriesOhm = fit.seriesOhm();
    double shuntOhm = fit.shuntOhm();
    idle("Bown", spec.idleW());
    double shade = point.shade();
    if (shade == 0) {
      line("Vregulator bus regulator 0");
      return;
    }
    // Shade of the whole array counts as an array of less area in the same light.
    line(".param light={%s/1000}".formatted(plant.pvIrradiance() / shade));
    line(".param cooler=" + (25 - plant.cellTemperatureC()));
    line(".param strings=" + pv.parallel() * shade + " modules=" + pv.series());
    // Boltzmann's constant over the elementary charge, V/K; ideality 1.3 as the paper sets it.
    line(".param vt={1.3*" + module.cells() + "*8.617333262e-5*(298.15-cooler)}");
    line(".param isc={%s-%s*cooler}".formatted(module.iscA(), module.kiAPerK()));
    line(".param voc={%s-(%s)*cooler}".formatted(module.vocV(), module.kvVPerK()));
    line(
        ".param photo={light*(%s*(%s+%s)/%s-%s*cooler)}"
            .formatted(module.iscA(), seriesOhm, shuntOhm, shuntOhm, module.kiAPerK()));
    line(".param saturation={isc/(exp(voc/vt)-1)}");
    line("Iphoto 0 junction {strings*photo}");
    // The simulator drops braces without grouping what stood in them.
    line("Bdiode junction 0 I={strings*saturation}*(exp(min(60,v(junction)/({modules*vt})))-1)");
    line("Rshunt junction 0 {%s*modules/strings}".formatted(shuntOhm));
    line("Rseries junction inner {%s*modules/strings}".formatted(seriesOhm));
    line("Varray inner array 0");
    line("Barray array 0 V=max(0,v(regulator)+" + spec.dropV() + ")");
    regulator(spec, "max(0,i(Varray))");
  }

  private void regulator(RegulatorSpec spec, String given) {
    source(
        "regulator",
        point.regulator(),
        spec.ratedCurrentA(),
        spec.droopOhm(),
        spec.cableOhm(),
        given);
  }

  private void charger() {
    if (point.spec().charger().isEmpty() || !point.charger().on()) {
      line("Vcharger bus charger 0");
      return;
    }
    ChargerSpec spec = point.spec().charger().get();
    // Its input is limited to what its rated output at nominal voltage takes.
    double watts = spec.ratedCurrentA() * point.spec().battery().nominalV();
    source(
        "charger",
        point.charger(),
        spec.ratedCurrentA(),
        spec.droopOhm(),
        spec.cableOhm(),
        "give(" + watts + ",v(charger))");
  }

  /** A voltage with droop at its terminals, within a limit and what is given, and its cable. */
  private void source(
      String name,
      BusCase.Setting setting,
      double ratedA,
      double droopOhm,
      double cableOhm,
      String given) {
    double limitA = Math.min(setting.limitA(), ratedA);
    line(
        "B%s 0 %s I=min(hold(v(%s),%s,%s,%s),%s)"
            .formatted(name, name, name, setting.setV(), droopOhm, limitA, given));
    cable(name, cableOhm);
  }

  private void cable(String name, double cableOhm) {
    line("V" + name + " " + name + " " + name + "end 0");
    line("R" + name + " " + name + "end bus " + cableOhm);
    capacitor(name, 1e-3);
  }

  private void inverter() {
    InverterSpec spec = point.spec().inverter();
    if (point.inverter() instanceof BusCase.Off) {
      line("Vinverter inverter bus 0");
      return;
    }
    idle("Bidle", spec.idleW());
    loss("inverterloss", spec.ratedW(), spec.efficiency(), spec.idleW());
    if (point.inverter() instanceof BusCase.Following f) {
      // What gives the AC power it may feed, and what comes of the AC power it may draw.
      double feedAcW = Math.min(f.feedLimitW(), spec.ratedW());
      line(".param feeding={%s+inverterloss(%s)-%s}".formatted(feedAcW, feedAcW, spec.idleW()));
      line(
          "Bcharging 0 charging I=%s-v(charging)-inverterloss(v(charging))"
              .formatted(spec.ratedW() + spec.idleW()));
      double limitA = Math.min(f.chargeLimitA(), spec.ratedChargeA());
      double feedV = Math.max(f.feedV(), f.chargeV());
      line(
          ("Binverter 0 inverter"
                  + " I=min(hold(v(inverter),%s,%s,%s),give(v(charging),v(inverter)))"
                  + "-min(hold(-v(inverter),%s,%s,1e9),take({feeding},v(inverter)))")
              .formatted(f.chargeV(), spec.droopOhm(), limitA, -feedV, spec.droopOhm()));
    } else {
      double acW = Math.min(point.spec().circuits().get(0).profile().powerW(0), spec.surgeW());
      line(".param carrying={%s+inverterloss(%s)-%s}".formatted(acW, acW, spec.idleW()));
      line("Binverter inverter 0 I=take({carrying},v(inverter))");
    }
    cable("inverter", spec.cableOhm());
  }

  private void capacitor(String node, double size) {
    BatterySpec bank = point.spec().battery();
    line("C" + node + ' ' + node + " 0 " + size * bank.fullAh() / bank.cells());
    line(".ic v(" + node + ")=" + beginV);
  }

  private void idle(String name, double watts) {
    line(name + " bus 0 I=take(" + watts + ",v(bus))");
  }

  /** Loss over output: Lagrange's parabola through the losses at 10, 50 and 100 %. */
  private void loss(String name, double ratedW, Efficiency curve, double idleW) {
    double a = 0.1 * ratedW * (1 / curve.at10() - 1);
    double b = 0.5 * ratedW * (1 / curve.at50() - 1);
    double c = ratedW * (1 / curve.at100() - 1);
    line(
        ".func "
            + name
            + "q(x) {"
            + a
            + "*(x-0.5)*(x-1)/0.36-"
            + b
            + "*(x-0.1)*(x-1)/0.2+"
            + c
            + "*(x-0.1)*(x-0.5)/0.45}");
    // What the parabola holds at zero beyond the idle draw sets in over the first watts.
    line(".param " + name + "soft={max(0," + name + "q(0)-" + idleW + ")}");
    line(
        ".func "
            + name
            + "(p) {max("
            + idleW
            + ","
            + name
            + "q((p)/"
            + ratedW
            + ")-{"
            + name
            + "soft}+min({"
            + name
            + "soft},p))}");
  }

  private void line(String s) {
    text.append(s).append('\n');
  }
}
