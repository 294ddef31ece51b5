#!/usr/bin/env python3
"""A device of somebody else's at the site: a meter that takes the place of the simulated one and keeps to docs/mqtt.md
only. It has no shunt of its own; it works out what a meter tells from what tie, inverter and regulator tell.

An example of the contract's device side: presence and last will, telemetry each second and on change, answers to
commands, lifetimes, and what to do when the supervisor falls silent. By the wall clock, beside

    ./islet devices --site config/sites/ferry-landing.yaml --broker tcp://127.0.0.1:1883 --without meter

Debian's python3-paho-mqtt (1.6) is all it needs.
"""

import argparse
import json
import socket
import time
from datetime import datetime, timezone

import paho.mqtt.client as mqtt
from paho.mqtt.packettypes import PacketTypes
from paho.mqtt.properties import Properties

CIRCUITS = (  # of config/sites/ferry-landing.yaml
    "radio,dock-lights,path-lights,ticket-office,ticket-office-refrigerator,pump,heating,kiosk".split(",")
)
CABLE_OHM = 0.003


def instant(seconds):
    whole, millis = divmod(round(seconds * 1000), 1000)
    return datetime.fromtimestamp(whole, timezone.utc).strftime("%Y-%m-%dT%H:%M:%S.") + f"{millis:03d}Z"


def seconds(text):
    return datetime.fromisoformat(text.replace("Z", "+00:00")).timestamp()


class Meter:
    def __init__(self, site, link_timeout_s):
        self.root = f"islet/v1/{site}/"
        self.link_timeout_s = link_timeout_s
        self.heartbeat_at = time.time()  # one time-out for the supervisor to speak
        self.heard = {}
        self.shed = ""
        self.seq = {}
        self.client = mqtt.Client(f"islet-v1-{site}-meter-state", protocol=mqtt.MQTTv5)
        self.client.on_connect = self.connected
        self.client.on_message = self.message
        self.client.on_socket_open = lambda client, data, sock: sock.setsockopt(
            socket.IPPROTO_TCP, socket.TCP_NODELAY, 1
        )
        gone = {"seq": 0, "at": instant(0), "online": False}
        self.client.will_set(self.root + "meter/online", json.dumps(gone), qos=1, retain=True)

    def run(self, host, port):
        self.client.connect(host, port, keepalive=5)
        due = int(time.time()) + 1
        while True:
            self.client.loop(timeout=max(0.0, due - time.time()))
            if time.time() >= due:
                self.measure()
                due = int(time.time()) + 1

    def connected(self, client, data, flags, reason, properties=None):
        client.subscribe([(self.root + "meter/command", 1), (self.root + "supervisor/telemetry", 0)])
        client.subscribe([(self.root + device + "/telemetry", 0) for device in ("tie", "inverter", "regulator")])
        self.publish("online", {"online": True}, 1, retain=True)
        self.publish("state", {"state": "ON", "detail": ""}, 1, retain=True)

    def message(self, client, data, message):
        device, kind = message.topic[len(self.root) :].split("/")
        try:
            body = json.loads(message.payload)
            if device == "supervisor":
                self.heartbeat_at = time.time()
            elif kind == "command":
                self.obey(message, body)
            else:
                before = self.heard.get(device)
                self.heard[device] = body
                if device == "tie" and before and before["closed"] != body["closed"]:
                    self.measure()  # a change is told at once
        except (ValueError, KeyError) as error:
            print("dropped a message on", message.topic, error)  # and nobody stops for it

    def obey(self, message, command):
        now = time.time()
        unknown = [name for name in command["shedCircuits"].split(",") if name and name not in CIRCUITS]
        if now > seconds(command["at"]) + command["lifetimeS"]:
            result, reason = "EXPIRED", "it came after its lifetime"
        elif seconds(command["at"]) > now + 2:
            result, reason = "REFUSED", "it is dated ahead of this clock"
        elif unknown:
            result, reason = "REFUSED", "there is no circuit " + unknown[0][:64]
        else:
            self.shed = command["shedCircuits"]  # here the contactors would move
            result, reason = "DONE", ""
        properties = Properties(PacketTypes.PUBLISH)
        asked = message.properties
        if asked is not None and hasattr(asked, "CorrelationData"):
            properties.CorrelationData = asked.CorrelationData
        answer = {"command": command["seq"], "result": result, "reason": reason}
        topic = getattr(asked, "ResponseTopic", self.root + "meter/ack")
        self.publish("ack", answer, 1, topic=topic, properties=properties)

    def measure(self):
        if any(device not in self.heard for device in ("tie", "inverter", "regulator")):
            return  # a meter that has measured nothing says nothing
        tie, inverter, regulator = (self.heard[device] for device in ("tie", "inverter", "regulator"))
        amperes = regulator["outputCurrentA"] + inverter["dcCurrentA"]
        carried = 0 if tie["closed"] else max(0, inverter["acPowerW"])
        self.publish(
            "telemetry",
            {
                "utilityVoltagePu": tie["utilityVoltagePu"],
                "utilityFrequencyHz": tie["utilityFrequencyHz"],
                "pccPowerW": 0,
                "criticalPowerW": carried,
                "noncriticalPowerW": 0,
                "criticalVoltagePu": tie["islandVoltagePu"],
                "batteryVoltageV": round(inverter["busVoltageV"] - amperes * CABLE_OHM, 3),
                "batteryCurrentA": round(amperes, 2),
                "batteryTemperatureC": regulator["batteryTemperatureC"],
                "shedCircuits": self.shed,
                "local": time.time() - self.heartbeat_at > self.link_timeout_s,
                "batteryPath": "CLOSED",
            },
            0,
        )

    def publish(self, kind, fields, qos, retain=False, topic="", properties=None):
        self.seq[kind] = self.seq.get(kind, -1) + 1
        body = {"seq": self.seq[kind], "at": instant(time.time()), **fields}
        topic = topic or self.root + "meter/" + kind
        self.client.publish(topic, json.dumps(body), qos=qos, retain=retain, properties=properties)


if __name__ == "__main__":
    options = argparse.ArgumentParser(description="A meter of somebody else's at the ferry landing.")
    options.add_argument("--host", default="127.0.0.1", help="the broker's address")
    options.add_argument("--port", type=int, default=1883, help="the broker's port")
    options.add_argument("--link-timeout", type=float, default=10, help="silence of the supervisor borne, s")
    chosen = options.parse_args()
    Meter("ferry-landing", chosen.link_timeout).run(chosen.host, chosen.port)
