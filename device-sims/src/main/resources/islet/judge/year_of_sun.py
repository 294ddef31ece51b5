"""A year of sun on a fixed array, worked out apart from Islet: irradiation in its plane and energy.

Reads an EPW file and, as JSON on the command line, the place, the array and the module's datasheet.
Prints JSON. Needs nothing beyond the standard library.

Sources, all from memory: position of the sun by Blanco-Muriel, Alarcon-Padilla, Lopez-Moratalla,
Lara-Coira, Solar Energy 70, 2001; isotropic sky by Liu and Jordan, Solar Energy 7, 1963; one diode by
Villalva, Gazoli, Ruppert Filho, IEEE Trans. Power Electronics 24(5), 2009; cell temperature by the
definition of NOCT in IEC 61215.
"""

import bisect
import csv
import json
import math
import sys

IDEALITY = 1.3
BOLTZMANN_OVER_CHARGE = 8.617333262e-5  # V/K
YEAR = 2026


def days_since_2000(year, month, day, hours_utc):
    """Days since 2000-01-01 12:00 UTC, by the civil calendar."""
    a = (14 - month) // 12
    y = year + 4800 - a
    m = month + 12 * a - 3
    noon = day + (153 * m + 2) // 5 + 365 * y + y // 4 - y // 100 + y // 400 - 32045
    return noon - 0.5 + hours_utc / 24 - 2451545.0


def declination_and_hour_angle(days, longitude):
    """Both in radians; the hour angle grows westward."""
    omega = 2.1429 - 0.0010394594 * days
    mean_longitude = 4.8950630 + 0.017202791698 * days
    anomaly = 6.2400600 + 0.0172019699 * days
    ecliptic = (
        mean_longitude
        + 0.03341607 * math.sin(anomaly)
        + 0.00034894 * math.sin(2 * anomaly)
        - 0.0001134
        - 0.0000203 * math.sin(omega)
    )
    obliquity = 0.4090928 - 6.2140e-9 * days + 0.0000396 * math.cos(omega)
    right_ascension = math.atan2(math.cos(obliquity) * math.sin(ecliptic), math.cos(ecliptic))
    declination = math.asin(math.sin(obliquity) * math.sin(ecliptic))
    hours_utc = (days + 0.5) % 1 * 24
    sidereal_hours = 6.6974243242 + 0.0657098283 * days + hours_utc
    return declination, math.radians(sidereal_hours * 15 + longitude) - right_ascension


class Geometry:
    """Heights of the sun and its angle to the array."""

    def __init__(self, place, array):
        self.longitude = place["longitude"]
        self.sin_lat = math.sin(math.radians(place["latitude"]))
        self.cos_lat = math.cos(math.radians(place["latitude"]))
        tilt = math.radians(array["tilt"])
        azimuth = math.radians(array["azimuth"] - 180)  # from south, westward
        self.tilt_up = math.cos(tilt)
        self.tilt_south = math.sin(tilt) * math.cos(azimuth)
        self.tilt_west = math.sin(tilt) * math.sin(azimuth)

    def cosines(self, days):
        """Cosine of the zenith angle and of the angle of incidence."""
        declination, hour_angle = declination_and_hour_angle(days, self.longitude)
        sin_dec = math.sin(declination)
        cos_dec = math.cos(declination)
        cos_hour = math.cos(hour_angle)
        up = self.sin_lat * sin_dec + self.cos_lat * cos_dec * cos_hour
        south = self.sin_lat * cos_dec * cos_hour - self.cos_lat * sin_dec
        west = cos_dec * math.sin(hour_angle)
        return up, up * self.tilt_up + south * self.tilt_south + west * self.tilt_west


class Module:
    """One diode with given resistances, or fitted to have its summit at the datasheet's maximum power point."""

    def __init__(self, sheet, resistances=None):
        self.sheet = sheet
        if resistances:
            self.rs, self.rp = resistances
            return
        low, high = 0.0, (sheet["voc"] - sheet["vmp"]) / sheet["imp"]
        for _ in range(100):
            rs = 0.5 * (low + high)
            rp = self._shunt(rs)
            if rp > 0 and self._slope_of_power(rs, rp) > 0:
                low = rs
            else:
                high = rs
        self.rs = low
        self.rp = self._shunt(low)

    def _thermal(self, celsius):
        return IDEALITY * self.sheet["cells"] * BOLTZMANN_OVER_CHARGE * (celsius + 273.15)

    def _saturation(self, celsius):
        s = self.sheet
        warmer = celsius - 25
        return (s["isc"] + s["ki"] * warmer) / math.expm1((s["voc"] + s["kv"] * warmer) / self._thermal(celsius))

    def _shunt(self, rs):
        """From the current at the datasheet's maximum power point."""
        s = self.sheet
        inner = s["vmp"] + s["imp"] * rs
        diode = self._saturation(25) * math.expm1(inner / self._thermal(25))
        # isc (rs + rp) / rp - diode - inner / rp = imp
        left = s["isc"] - diode - s["imp"]
        return (inner - s["isc"] * rs) / left if left > 0 else -1.0

    def _slope_of_power(self, rs, rp):
        s = self.sheet
        vt = self._thermal(25)
        g = self._saturation(25) / vt * math.exp((s["vmp"] + s["imp"] * rs) / vt) + 1 / rp
        return s["imp"] - s["vmp"] * g / (1 + g * rs)

    def current(self, volts, irradiance, celsius):
        """Root of the implicit equation by bisection."""
        s = self.sheet
        vt = self._thermal(celsius)
        i0 = self._saturation(celsius)
        photo = (s["isc"] * (self.rs + self.rp) / self.rp + s["ki"] * (celsius - 25)) * irradiance / 1000
        low, high = -photo - 1, photo
        for _ in range(40):
            i = 0.5 * (low + high)
            inner = volts + i * self.rs
            if photo - i0 * math.expm1(inner / vt) - inner / self.rp > i:
                low = i
            else:
                high = i
        return 0.5 * (low + high)

    def maximum_power(self, irradiance, celsius):
        """Summit of voltage times current by golden section."""
        golden = 0.5 * (math.sqrt(5) - 1)
        low, high = 0.0, 1.3 * self.sheet["voc"]
        a = high - golden * (high - low)
        b = low + golden * (high - low)
        pa = a * self.current(a, irradiance, celsius)
        pb = b * self.current(b, irradiance, celsius)
        for _ in range(24):
            if pa > pb:
                high, b, pb = b, a, pa
                a = high - golden * (high - low)
                pa = a * self.current(a, irradiance, celsius)
            else:
                low, a, pa = a, b, pb
                b = low + golden * (high - low)
                pb = b * self.current(b, irradiance, celsius)
        return max(pa, pb)


class PowerTable:
    """Maximum power over irradiance and temperature, interpolated: a year has too many minutes to search each."""

    def __init__(self, module):
        self.module = module
        self.irradiances = [0.0] + [1.05**k for k in range(150)]
        self.celsius = [-40 + 8 * k for k in range(18)]
        self.watts = [[module.maximum_power(g, t) if g else 0.0 for t in self.celsius] for g in self.irradiances]

    def power(self, irradiance, celsius):
        i = min(len(self.irradiances) - 1, max(1, bisect.bisect(self.irradiances, irradiance)))
        j = min(len(self.celsius) - 1, max(1, bisect.bisect(self.celsius, celsius)))
        x = (irradiance - self.irradiances[i - 1]) / (self.irradiances[i] - self.irradiances[i - 1])
        y = (celsius - self.celsius[j - 1]) / (self.celsius[j] - self.celsius[j - 1])
        below = self.watts[i - 1][j - 1] * (1 - y) + self.watts[i - 1][j] * y
        above = self.watts[i][j - 1] * (1 - y) + self.watts[i][j] * y
        return below * (1 - x) + above * x


def hours_of(epw):
    with open(epw, newline="", encoding="latin-1") as file:
        rows = list(csv.reader(file))
    offset = float(rows[0][8])
    hours = []
    for row in rows[8:]:
        if len(row) > 15:
            month, day, hour = int(row[1]), int(row[2]), int(row[3])
            hours.append((month, day, hour, float(row[6]), float(row[13]), float(row[14]), float(row[15])))
    if len(hours) != 8760:
        sys.exit(f"{epw}: found {len(hours)} hours; a year has 8760")
    return offset, hours


def year(epw, question):
    place, array, sheet = question["place"], question["array"], question["module"]
    geometry = Geometry(place, array)
    module = Module(sheet, (sheet["rs"], sheet["rp"]))
    table = PowerTable(module)
    fitted = PowerTable(Module(sheet))
    modules = array["series"] * array["parallel"]
    see_sky = 0.5 * (1 + geometry.tilt_up)
    see_ground = 0.5 * (1 - geometry.tilt_up) * place["albedo"]
    offset, hours = hours_of(epw)
    irradiation = energy = energy_fitted = 0.0
    before = hours[-1][3]
    for month, day, hour, ambient, ghi, dni, dhi in hours:
        air = 0.5 * (before + ambient)
        before = ambient
        if ghi <= 0 and dni <= 0 and dhi <= 0:
            continue
        # An hour's energy came while the sun was up; within that time it is spread evenly.
        first = days_since_2000(YEAR, month, day, hour - 1 - offset)
        minutes = [geometry.cosines(first + (k + 0.5) / 1440) for k in range(60)]
        up = sum(1 for height, _ in minutes if height > 0)
        share = 60 / up if up else 0.0
        for height, incidence in minutes:
            if height <= 0:
                continue
            g = share * (dni * max(0.0, incidence) + dhi * see_sky + ghi * see_ground)
            irradiation += g / 60
            cell = air + (sheet["noct"] - 20) / 800 * g
            energy += modules * table.power(g, cell) / 60
            energy_fitted += modules * fitted.power(g, cell) / 60
    worst = 0.0
    for g, t in ((30, 3), (120, 15), (333, 27), (640, 41), (905, 55), (1050, 62)):
        exact = module.maximum_power(g, t)
        worst = max(worst, abs(table.power(g, t) - exact) / exact)
    return {
        "irradiationKWhPerM2": irradiation / 1000,
        "energyKWh": energy / 1000,
        "energyOwnFitKWh": energy_fitted / 1000,
        "ownSeriesOhm": fitted.module.rs,
        "ownShuntOhm": fitted.module.rp,
        "tableShare": worst,
        "zenithDeg": zenith_of_the_published_example(),
    }


def zenith_of_the_published_example():
    """Without refraction: 2003-10-17 19:30:30 UTC at 39.742476 N, 105.1786 W (Reda, Andreas 2004)."""
    place = {"latitude": 39.742476, "longitude": -105.1786}
    geometry = Geometry(place, {"tilt": 0, "azimuth": 180})
    up, _ = geometry.cosines(days_since_2000(2003, 10, 17, 19 + 30.5 / 60))
    return math.degrees(math.acos(up))


if __name__ == "__main__":
    print(json.dumps(year(sys.argv[1], json.loads(sys.argv[2]))))
