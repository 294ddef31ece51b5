#!/usr/bin/env python3
"""A small controller for the ferry landing of the demo: it leaves the utility when it must, carries the emergency panel,
comes back when the utility has been good for long enough, and charges within the battery's limits.

It is an example to begin from, for the bench and not for a site: no vote among sensors, no charging from the utility,
no schedule, no journal. Certified device protection protects; this does not.

    ./islet devices --site config/scenarios/evening-outage.yaml --lockstep
    /usr/bin/python3 docs/examples/own-controller/landing.py
"""

import argparse
import sys

from lockstep import Lockstep, milliseconds

# The site's settings, as config/sites/ferry-landing.yaml and its grid profile have them.
BAND_PU = (0.917, 1.05)  # the utility may be joined within these (IEEE Std 1547-2018, Table 4, from memory)
BAND_HZ = (59.5, 60.1)
ENTER_SERVICE_S = 300  # and only after it has kept within them for so long
DEAD_PU = 0.5  # below this the utility is gone
SYNC_PU, SYNC_HZ, SYNC_DEG = 0.05, 0.2, 10  # half of the profile's limits or less: the tie checks the rest itself
CELLS = 24
ABSORPTION_V, FLOAT_V, REBULK_V = 57.6, 54.0, 50.4  # at 25 °C
COMPENSATION_V_PER_K = -0.004 * CELLS
HIGHEST_V = 61.2
TAIL_A = 8
ABSORPTION_S = 3 * 3600
MAXIMUM_CHARGE_A = 80
CHARGE_C = (-10, 50)  # no charging colder or hotter
CAPACITY_AH = 400
SHED_V, RESTORE_V = 46.8, 50.4  # under load; 1.95 and 2.10 V per cell, common practice
SHEDDING = "path-lights,ticket-office-refrigerator,ticket-office,pump"

LIFETIME_S = 3
HEARTBEAT_MS = 2000
REFRESH_MS = 4000  # orders are said again well before the devices' link time-out of 10 s
FRESH_MS = 3000  # older reports prove nothing
AGAIN_MS = 500  # an order to the tie that is not obeyed yet is given again
OPEN_MS, FORM_MS, SYNC_MS = 1000, 5000, 120_000  # how long each step may take

ALARMS = {  # priority, what is wrong, what follows, what to do
    "TIE_NOT_OPEN": (
        "HIGH",
        "The tie was told to open and says that it is closed.",
        "No island is formed; the emergency panel stays dark.",
        "Treat both sides as live. Lock out before anybody works on the tie.",
    ),
    "INVERTER_NOT_FORMING": (
        "HIGH",
        "The inverter does not carry the emergency panel.",
        "The panel is dead.",
        "Read the inverter's trip; reduce load.",
    ),
    "SYNC_TIMEOUT": (
        "MEDIUM",
        "The island did not come into step with the utility in time.",
        "The site stays on its battery and tries again.",
        "Look at the utility's frequency.",
    ),
}


class Landing:
    """The logic. It knows what it has heard and what the bench's clock says, and nothing else."""

    def __init__(self):
        self.mode = "STARTING"
        self.since = None  # when the mode began
        self.reports = {}  # the newest telemetry of each device
        self.good_since = None  # since when the utility has been within the bands without a break
        self.away = False  # somebody asked to leave the utility
        self.holds = set()  # somebody's padlocks
        self.alarms = set()
        self.stage = "BULK"
        self.stage_since = None
        self.low_since = None
        self.shed = ""
        self.soc = None
        self.counted_at = None
        self.told = {}  # what each device was told last, and when
        self.tie_told = (None, 0)
        self.beat = None
        self.reason = ""

    # Hearing.

    def hear(self, device, kind, fields, now):
        if kind == "telemetry":
            self.reports[device] = fields
            if device == "tie":
                self.judge_utility(fields)
        elif kind == "online" and not fields["online"]:
            self.reports.pop(device, None)  # what it said last proves nothing any more

    def judge_utility(self, tie):
        """Each report counts, not only the newest: a break of a third of a second is a break."""
        good = (
            BAND_PU[0] <= tie["utilityVoltagePu"] <= BAND_PU[1]
            and BAND_HZ[0] <= tie["utilityFrequencyHz"] <= BAND_HZ[1]
        )
        if not good:
            self.good_since = None
        elif self.good_since is None:
            self.good_since = milliseconds(tie["at"])

    def fresh(self, device, now):
        report = self.reports.get(device)
        return report if report and now - milliseconds(report["at"]) <= FRESH_MS else None

    def qualified_in(self, now):
        """Seconds until the utility may be joined; 0 when it may."""
        if self.good_since is None:
            return ENTER_SERVICE_S
        return max(0, ENTER_SERVICE_S - (now - self.good_since) / 1000)

    # Operators.

    def ask(self, order, key, wire):
        """Takes an operator's order, or says why not."""
        if order == "ISLAND":
            self.away = True
        elif order == "RECONNECT":
            self.away = False
        elif order in ("HOLD", "RELEASE") and key:
            (self.holds.add if order == "HOLD" else self.holds.discard)(key)
            wire.order("tie", LIFETIME_S, {"order": order, "key": key})
        elif order == "RESET" and self.mode == "HELD":
            self.mode, self.since = "STARTING", None
        else:
            return "this controller does not know that order, or not now"
        return ""

    # The scan.

    def scan(self, now, wire):
        tie, inverter = self.fresh("tie", now), self.fresh("inverter", now)
        regulator, meter = self.fresh("regulator", now), self.fresh("meter", now)
        if tie is None:
            self.good_since = None  # nobody watches the utility
        if self.since is None:
            self.since = now
        for _ in range(3):  # a step that is over at once needs no scan of its own
            before = self.mode
            self.decide(now, tie, inverter, regulator, meter, wire)
            if self.mode == before:
                break
            wire.tell("event", {"kind": "mode", "from": before, "to": self.mode, "reason": self.reason})
            wire.tell("state", {"state": self.mode, "detail": self.reason}, retain=True)
            self.since = now
            self.beat = None
        self.order_tie(now, tie, wire)
        self.order_inverter(now, tie, inverter, meter, wire)
        self.order_regulator(now, meter, wire)
        self.order_circuits(now, meter, wire)
        self.picture(now, tie, meter, wire)

    def go(self, mode, reason):
        self.mode, self.reason = mode, reason

    def decide(self, now, tie, inverter, regulator, meter, wire):
        lasted = now - self.since
        forming = inverter is not None and inverter["state"] in ("FORMING", "SYNCHRONISING")
        may_return = tie is not None and self.qualified_in(now) == 0 and not self.away and not self.holds
        if self.mode == "STARTING":
            if tie and inverter and regulator and meter:
                if tie["closed"]:
                    self.go("GRID_PRESENT", "every device reports, tie closed")
                else:
                    self.go("ISLANDING", "every device reports, tie open")
        elif tie is None or inverter is None:
            return  # who sees nothing changes nothing; the devices look after themselves
        elif self.mode == "GRID_PRESENT":
            if not tie["closed"]:
                self.go("ISLANDING", f"tie opened by itself: {tie['trip']}")
            elif tie["utilityVoltagePu"] < DEAD_PU:
                self.go("ISLANDING", "utility lost")
            elif self.away:
                self.go("ISLANDING", "asked to leave the utility")
        elif self.mode == "ISLANDING":
            if not tie["closed"] and forming:
                self.clear("TIE_NOT_OPEN", wire)
                self.clear("INVERTER_NOT_FORMING", wire)
                self.go("ISLANDED", "tie proven open, inverter carries the panel")
            elif tie["closed"] and lasted > OPEN_MS:
                self.ring("TIE_NOT_OPEN", wire)
                self.go("HELD", "the tie does not open")
            elif not tie["closed"] and lasted > FORM_MS:
                self.ring("INVERTER_NOT_FORMING", wire)
                self.go("DARK", "the inverter does not form")
        elif self.mode == "ISLANDED":
            if tie["closed"]:
                self.go("GRID_PRESENT", "tie closed")
            elif not forming:
                self.ring("INVERTER_NOT_FORMING", wire)
                self.go("DARK", f"the inverter has stopped: {inverter['trip']}")
            elif may_return and (self.reason != "not in step in time" or lasted > SYNC_MS):
                self.go("RECONNECTING", "the utility has been good for long enough")
        elif self.mode == "RECONNECTING":
            if tie["closed"] and inverter["state"] == "FOLLOWING":
                self.clear("SYNC_TIMEOUT", wire)
                self.go("GRID_PRESENT", "tie closed, inverter follows")
            elif not tie["closed"] and not may_return:
                self.go("ISLANDED", "the utility is not good any more, or a hold hangs")
            elif not tie["closed"] and lasted > SYNC_MS:
                self.ring("SYNC_TIMEOUT", wire)
                self.go("ISLANDED", "not in step in time")
        elif self.mode == "DARK":
            if forming and not tie["closed"]:
                self.clear("INVERTER_NOT_FORMING", wire)
                self.go("ISLANDED", "the inverter carries the panel again")
            elif tie["closed"]:
                self.clear("INVERTER_NOT_FORMING", wire)
                self.go("GRID_PRESENT", "the utility carries the panel")

    # Orders.

    def order_tie(self, now, tie, wire):
        wanted = None
        if tie is None:
            pass
        elif self.mode in ("ISLANDING", "HELD") and tie["closed"]:
            wanted = "OPEN"
        elif self.mode == "RECONNECTING" and not tie["closed"] and self.in_step(tie):
            wanted = "CLOSE"
        elif self.mode == "DARK" and self.qualified_in(now) == 0 and not self.away and not self.holds:
            wanted = "CLOSE"  # onto a dead panel; the inverter is told to be off meanwhile
        if wanted and (wanted != self.tie_told[0] or now - self.tie_told[1] >= AGAIN_MS):
            wire.order("tie", LIFETIME_S, {"order": wanted, "key": ""})
            self.tie_told = (wanted, now)
        elif not wanted:
            self.tie_told = (None, 0)

    @staticmethod
    def in_step(tie):
        return (
            abs(tie["utilityVoltagePu"] - tie["islandVoltagePu"]) <= SYNC_PU
            and abs(tie["utilityFrequencyHz"] - tie["islandFrequencyHz"]) <= SYNC_HZ
            and abs(tie["angleDeg"]) <= SYNC_DEG
        )

    def order_inverter(self, now, tie, inverter, meter, wire):
        if tie is None or inverter is None or self.mode == "STARTING":
            return
        order = "FOLLOW"
        if self.mode in ("ISLANDING", "ISLANDED") and not tie["closed"]:
            order = "FORM"  # only behind a tie that is proven open
        elif self.mode == "RECONNECTING" and not tie["closed"]:
            order = "SYNCHRONISE"
        elif self.mode == "DARK":
            off = inverter["state"] == "FAULT" or self.qualified_in(now) == 0
            order = "OFF" if off else "FORM"
        volts = self.set_volts(meter)
        self.order(
            "inverter",
            now,
            wire,
            {
                "order": order,
                "islandPermit": self.mode != "HELD",
                "chargeVoltageV": volts,
                "chargeLimitA": 0,  # the sun alone charges
                "feedVoltageV": round(volts + 0.4, 1),  # what the battery does not take serves the loads
                "feedLimitW": 4000,
                "exportLimitW": 0,
            },
        )

    def order_regulator(self, now, meter, wire):
        """One charge stage: bulk, absorption until the current has tailed off or its time is up, float."""
        if meter is None:
            return
        volts, amperes, celsius = (
            meter["batteryVoltageV"],
            meter["batteryCurrentA"],
            meter["batteryTemperatureC"],
        )
        before = self.stage
        if self.stage_since is None:
            self.stage_since = now
        lasted = (now - self.stage_since) / 1000
        if self.stage == "BULK" and volts >= self.set_volts(meter) - 0.1:
            self.stage = "ABSORPTION"
        elif self.stage == "ABSORPTION" and (lasted > ABSORPTION_S or lasted > 60 and 0 <= amperes < TAIL_A):
            self.stage = "FLOAT"
        elif self.stage == "FLOAT" and volts < REBULK_V and lasted > 60:
            self.stage = "BULK"
        if self.stage != before:
            self.stage_since = now
        self.order(
            "regulator",
            now,
            wire,
            {
                "enabled": CHARGE_C[0] <= celsius <= CHARGE_C[1],
                "stage": self.stage,
                "voltageSetV": self.set_volts(meter),
                "currentLimitA": MAXIMUM_CHARGE_A,
            },
        )

    def set_volts(self, meter):
        base = FLOAT_V if self.stage == "FLOAT" else ABSORPTION_V
        celsius = meter["batteryTemperatureC"] if meter else 25
        return round(min(HIGHEST_V - 0.5, base + COMPENSATION_V_PER_K * (celsius - 25)), 1)

    def order_circuits(self, now, meter, wire):
        """In an island with a low battery the lesser loads go, so that the others live longer."""
        if meter is None or self.mode == "STARTING":
            return
        volts = meter["batteryVoltageV"]
        if self.mode != "ISLANDED" or volts > RESTORE_V:
            self.shed, self.low_since = "", None
        elif volts < SHED_V:
            self.low_since = self.low_since or now
            if now - self.low_since > 60_000:
                self.shed = SHEDDING
        else:
            self.low_since = None
        self.order("meter", now, wire, {"shedCircuits": self.shed})

    def order(self, device, now, wire, fields):
        """At once when something has changed, otherwise now and then, so that the device knows that it still holds."""
        last, at = self.told.get(device, (None, 0))
        if fields != last or now - at >= REFRESH_MS:
            wire.order(device, LIFETIME_S, fields)
            self.told[device] = (fields, now)

    # What it tells.

    def picture(self, now, tie, meter, wire):
        """The heartbeat. Without it the devices go on by their own settings after the link time-out."""
        if tie is None:
            return  # there is no picture to tell, and the devices bear that silence
        self.count_charge(now, meter)
        if self.beat is not None and now < self.beat:
            return
        self.beat = now + HEARTBEAT_MS
        if tie["utilityVoltagePu"] < DEAD_PU:
            grid = "GONE"
        elif self.good_since is None:
            grid = "OUT"
        else:
            grid = "QUALIFIED" if self.qualified_in(now) == 0 else "RETURNING"
        wire.tell(
            "telemetry",
            {
                "mode": self.mode,
                "stage": self.stage,
                "grid": grid,
                "tieClosed": tie["closed"],
                "batteryVoltageV": meter["batteryVoltageV"] if meter else 0,
                "soc": round(self.soc or 0, 4),
                "reserveSoc": 0.5,
                "qualifiedInS": round(self.qualified_in(now), 1),
                "authority": "AUTO",
                "overrides": "",
                "voltageSoc": round(by_voltage(meter), 4),
                "doubts": "",
                "warned": False,
                "confidence": 1,
            },
        )

    def count_charge(self, now, meter):
        """Ampere-hours from a first guess by the voltage; good enough to show, and nothing is decided by it."""
        if meter is None:
            return
        if self.soc is None:
            self.soc = by_voltage(meter)
        else:
            hours = (now - self.counted_at) / 3_600_000
            self.soc = min(1, max(0, self.soc + meter["batteryCurrentA"] * hours / CAPACITY_AH))
        self.counted_at = now

    def ring(self, name, wire):
        if name not in self.alarms:
            self.alarms.add(name)
            self.alarm(name, "UNACKNOWLEDGED", wire)

    def clear(self, name, wire):
        if name in self.alarms:
            self.alarms.remove(name)
            self.alarm(name, "NORMAL", wire)

    @staticmethod
    def alarm(name, state, wire):
        priority, text, consequence, action = ALARMS[name]
        wire.tell(
            "alarm",
            {
                "id": name,
                "state": state,
                "priority": priority,
                "text": text,
                "consequence": consequence,
                "action": action,
            },
        )


def by_voltage(meter):
    """From 1.94 V per cell (empty) to 2.12 V (full) at rest, 25 °C (handbook table, common practice)."""
    volts = meter["batteryVoltageV"] / CELLS if meter else 0
    return min(1, max(0, (volts - 1.94) / (2.12 - 1.94)))


if __name__ == "__main__":
    options = argparse.ArgumentParser(description="The example controller, in lockstep with a bench.")
    options.add_argument("--host", default="127.0.0.1", help="the broker's address")
    options.add_argument("--port", type=int, default=1883, help="the broker's port")
    options.add_argument("--period", type=int, default=100, help="simulated time between two scans, ms")
    chosen = options.parse_args()
    ended = Lockstep("ferry-landing", "landing.py", chosen.period, Landing).run(chosen.host, chosen.port)
    sys.exit(0 if ended else "The broker is gone, or was never there.")
