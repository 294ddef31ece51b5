package islet.plant;

/**
 * The array under its sky: how much it could give now, and where it sits when it gives less.
 *
 * <p>Sun, plane-of-array irradiance (direct, ground reflection, and diffuse by a {@link SkyModel}),
 * cell temperature and maximum power are computed at whole minutes and interpolated between them:
 * clouds in hourly weather know nothing faster. Cells in shade get a share of all light and are as
 * warm as that makes them.
 */
final class PvArray {
  private static final long GRID = StandardTime.MINUTE;
  private static final double RAD = StrictMath.PI / 180;

  /** Below this the plane is dark, W/m²; an array gives nothing a regulator could start on. */
  private static final double DARK = 0.1;

  private final ModuleModel module;
  private final int modules;
  private final int series;
  private final int parallel;
  private final SkyModel skyModel;
  private final ShadeDay shadeDay;
  private final StandardTime local;
  private final StandardTime universal = new StandardTime(0);
  private final Weather weather;
  private final SunPosition sun;
  private final Sky sky = new Sky();
  private final double east;
  private final double north;
  private final double up;
  private final double albedo;

  private long knot = Long.MIN_VALUE;
  private final double[] irradiance = new double[2];
  private final double[] cellC = new double[2];
  private final double[] ambientC = new double[2];
  private final double[] maximumW = new double[2];
  private final SingleDiode[] curves = new SingleDiode[2];
  private final ShadedArray[] partly = new ShadedArray[2];
  private final boolean[] isPartly = new boolean[2];

  private double share;
  private double shade = 1;
  private double slope;

  PvArray(PvSpec spec, Place place, Weather weather) {
    this.module = new ModuleModel(spec.module());
    this.modules = spec.series() * spec.parallel();
    this.series = spec.series();
    this.parallel = spec.parallel();
    this.skyModel = spec.sky();
    this.shadeDay = spec.shade();
    this.local = new StandardTime(shadeDay.utcOffsetH());
    for (int side = 0; side < 2; side++) {
      curves[side] = module.at(0, 25);
      partly[side] = new ShadedArray(series, spec.bypassDiodes());
    }
    this.weather = weather;
    this.sun = new SunPosition(place);
    double tilt = spec.tiltDeg() * RAD;
    double azimuth = spec.azimuthDeg() * RAD;
    this.east = StrictMath.sin(tilt) * StrictMath.sin(azimuth);
    this.north = StrictMath.sin(tilt) * StrictMath.cos(azimuth);
    this.up = StrictMath.cos(tilt);
    this.albedo = place.albedo();
  }

  /** Turns to an instant; the getters then speak of it. */
  void turnTo(long epochMicros) {
    long k = Math.floorDiv(epochMicros, GRID);
    if (k != knot) {
      if (k == knot + 1) {
        irradiance[0] = irradiance[1];
        cellC[0] = cellC[1];
        ambientC[0] = ambientC[1];
        maximumW[0] = maximumW[1];
        curves[0] = curves[1];
        isPartly[0] = isPartly[1];
        ShadedArray spare = partly[0];
        partly[0] = partly[1];
        partly[1] = spare;
      } else {
        fill(0, k * GRID);
      }
      fill(1, (k + 1) * GRID);
      knot = k;
    }
    share = Math.floorMod(epochMicros, GRID) / (double) GRID;
  }

  private void fill(int side, long epochMicros) {
    weather.sample(epochMicros, sky);
    sun.turnTo(epochMicros);
    double g = planeOfArray(sky, sun, epochMicros);
    double c = module.cellC(g, sky.ambientC());
    irradiance[side] = g;
    cellC[side] = c;
    ambientC[side] = sky.ambientC();
    curves[side] = module.at(g, c);
    int entry = g < DARK ? -1 : shadeAt(epochMicros);
    isPartly[side] = entry >= 0;
    if (entry >= 0) {
      ShadeSpec inShade = shadeDay.entries().get(entry);
      double dim = g * inShade.light();
      SingleDiode dimCurve = module.at(dim, module.cellC(dim, sky.ambientC()));
      partly[side].set(curves[side], dimCurve, inShade, parallel);
      maximumW[side] = partly[side].maximumPowerW();
    } else {
      maximumW[side] = g < DARK ? 0 : modules * curves[side].maximumPowerW();
    }
  }

  /** Which entry of the day's shade holds at an instant; −1 for none. */
  private int shadeAt(long epochMicros) {
    int minute = (int) (local.microsOfDay(epochMicros) / StandardTime.MINUTE);
    for (int i = 0; i < shadeDay.entries().size(); i++) {
      if (shadeDay.entries().get(i).holds(minute)) {
        return i;
      }
    }
    return -1;
  }

  private double planeOfArray(Sky s, SunPosition p, long epochMicros) {
    double incidence = p.cosIncidence(east, north, up);
    double beam = p.cosZenith() > 0 ? s.dni() * Math.max(0, incidence) : 0;
    double outside = ClearSky.extraterrestrial(universal.hourOfYear(epochMicros) / 24);
    double diffuse = s.dhi() * skyModel.share(s.dni(), outside, p.cosZenith(), incidence, up);
    return beam + diffuse + s.ghi() * albedo * 0.5 * (1 - up);
  }

  private double between(double[] knots) {
    return knots[0] + share * (knots[1] - knots[0]);
  }

  /** Power at the maximum power point, W. */
  double availableW() {
    return between(maximumW) * shade;
  }

  /** Irradiance in the array's plane, W/m². */
  double irradiance() {
    return between(irradiance) * shade;
  }

  /** Cell temperature, °C. */
  double cellC() {
    return between(cellC);
  }

  /** Air temperature, °C. */
  double ambientC() {
    return between(ambientC);
  }

  /** Scales what reaches the array, for passing shade: 0 dark to 1 as the weather says. */
  void setShade(double shade) {
    this.shade = shade;
  }

  /** Voltage at the array's terminals while this power is taken, V; computed anew each time. */
  double voltageV(double watts) {
    double g = irradiance();
    if (g < DARK) {
      return 0;
    }
    if (isPartly[0] || isPartly[1]) {
      return partlyVoltageV(watts);
    }
    SingleDiode curve = module.at(g, cellC());
    return series * curve.terminalV(curve.junctionForPowerV(watts / modules));
  }

  /** With a part in shade, by the nearer minute's curve and the same share of its largest power. */
  private double partlyVoltageV(double watts) {
    int nearer = share < 0.5 ? 0 : 1;
    int side = isPartly[nearer] ? nearer : 1 - nearer;
    double available = availableW();
    double same = available > 0 ? watts / available * maximumW[side] : 0;
    return partly[side].voltageForPowerV(same);
  }

  /**
   * Current of the whole array at a voltage that something else holds; {@link #slope} then speaks
   * of it. Never below zero: no current flows back into an array.
   *
   * @param volts at its terminals; below zero it gives what it gives at zero
   * @return A
   */
  double currentA(double volts) {
    double v = Math.max(0, volts);
    double first = currentA(0, v);
    double firstSlope = slope;
    double second = currentA(1, v);
    slope = volts > 0 ? shade * (firstSlope + share * (slope - firstSlope)) : 0;
    return shade * (first + share * (second - first));
  }

  private double currentA(int side, double volts) {
    slope = 0;
    if (irradiance[side] < DARK) {
      return 0;
    }
    double amps;
    if (isPartly[side]) {
      amps = partly[side].currentA(volts);
      slope = partly[side].slope();
    } else {
      double each = curves[side].currentA(volts / series);
      amps = parallel * each;
      slope = parallel / (double) series * curves[side].slopeAtVoltage(volts / series, each);
    }
    if (amps <= 0) {
      slope = 0;
      return 0;
    }
    return amps;
  }

  /** Slope of the last current asked for, A/V; zero or negative. */
  double slope() {
    return slope;
  }
}
