package islet.plant;

/**
 * The array under its sky: how much it could give now, and where it sits when it gives less.
 *
 * <p>Sun, plane-of-array irradiance (isotropic sky after Liu and Jordan 1963, plus ground
 * reflection), cell temperature and maximum power are computed at whole minutes and interpolated
 * between them: clouds in hourly weather know nothing faster.
 */
final class PvArray {
  private static final long GRID = StandardTime.MINUTE;
  private static final double RAD = StrictMath.PI / 180;

  /** Below this the plane is dark, W/m²; an array gives nothing a regulator could start on. */
  private static final double DARK = 0.1;

  private final ModuleModel module;
  private final int modules;
  private final int series;
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

  private double share;
  private double shade = 1;

  PvArray(PvSpec spec, Place place, Weather weather) {
    this.module = new ModuleModel(spec.module());
    this.modules = spec.series() * spec.parallel();
    this.series = spec.series();
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
    double g = planeOfArray(sky, sun);
    double c = module.cellC(g, sky.ambientC());
    irradiance[side] = g;
    cellC[side] = c;
    ambientC[side] = sky.ambientC();
    maximumW[side] = g < DARK ? 0 : modules * module.at(g, c).maximumPowerW();
  }

  private double planeOfArray(Sky s, SunPosition p) {
    double beam = p.cosZenith() > 0 ? s.dni() * Math.max(0, p.cosIncidence(east, north, up)) : 0;
    return beam + s.dhi() * 0.5 * (1 + up) + s.ghi() * albedo * 0.5 * (1 - up);
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
    SingleDiode curve = module.at(g, cellC());
    return series * curve.terminalV(curve.junctionForPowerV(watts / modules));
  }
}
