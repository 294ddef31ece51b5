"""The wire half of a controller on the bench: it hands messages to the logic, lets it scan when the bench calls, and
says when it has. Debian's python3-paho-mqtt (1.6) is all it needs. docs/own-controller.md explains the lockstep,
docs/mqtt.md every message.
"""

import json
import socket
import time
from datetime import datetime, timezone

import paho.mqtt.client as mqtt
from paho.mqtt.packettypes import PacketTypes
from paho.mqtt.properties import Properties

DEVICES = ("regulator", "inverter", "charger", "tie", "meter")


def milliseconds(text):
    """An instant of the wire, such as 2026-01-14T21:00:20.000Z, in milliseconds since 1970."""
    return round(datetime.fromisoformat(text.replace("Z", "+00:00")).timestamp() * 1000)


def instant(ms):
    """The other way round."""
    seconds, rest = divmod(ms, 1000)
    return datetime.fromtimestamp(seconds, timezone.utc).strftime("%Y-%m-%dT%H:%M:%S.") + f"{rest:03d}Z"


class Lockstep:
    """Everything happens on the client's one thread, in the order in which messages come."""

    def __init__(self, site, name, period_ms, logic):
        """logic() makes a controller that knows nothing yet, with hear(device, kind, fields, now) and scan(now, wire)."""
        self.root = f"islet/v1/{site}/"
        self.name = name
        self.period_ms = period_ms
        self.logic = logic
        self.controller = None
        self.now = 0
        self.seq = {}
        self.over = False
        self.begin()
        # The site's own name for whoever commands: the broker lets nobody else in under it at the same time.
        self.client = mqtt.Client(f"islet-v1-{site}-supervisor-state", protocol=mqtt.MQTTv5)
        self.client.on_connect = self.connected
        self.client.on_message = self.message
        # Small messages must not wait for each other (Nagle's algorithm), or each scan takes 40 ms.
        self.client.on_socket_open = lambda client, data, sock: sock.setsockopt(
            socket.IPPROTO_TCP, socket.TCP_NODELAY, 1
        )
        gone = {"seq": 0, "at": instant(0), "online": False}
        self.client.will_set(self.root + "supervisor/online", json.dumps(gone), qos=1, retain=True)

    def begin(self):
        self.heard = 0  # messages of the bench since BEGIN
        self.sent = 0  # messages of ours since BEGIN
        self.inbox = []
        self.step = None

    def run(self, host, port):
        """Until the bench has ended the run; whether it has. Waits up to ten minutes for a broker."""
        for second in range(600):
            try:
                self.client.connect(host, port)
                break
            except ConnectionRefusedError:
                time.sleep(1)
        while not self.over and self.client.loop(timeout=1.0) == mqtt.MQTT_ERR_SUCCESS:
            pass
        return self.over

    def connected(self, client, data, flags, reason, properties=None):
        # One subscription for all, at QoS 1: nothing may be lost, and two that overlap might bring copies.
        client.subscribe(self.root + "#", qos=1)

    def message(self, client, data, message):
        if message.retain:
            return  # kept by the broker since before this run
        device, kind = message.topic[len(self.root) :].split("/")
        if (device, kind) == ("bench", "step"):
            self.step = json.loads(message.payload)
            if self.step["call"] == "BEGIN":
                self.begin_again()
        elif (device in DEVICES and kind != "command") or (device, kind) == ("supervisor", "command"):
            self.heard += 1
            self.inbox.append((device, kind, message))
        # A message may be behind the call that counts it. The scan waits for the last of them.
        if self.step is not None and self.heard >= self.step["messages"]:
            step, self.step = self.step, None
            self.obey(step)

    def begin_again(self):
        step = self.step
        self.begin()
        self.step = step
        self.controller = self.logic()

    def obey(self, step):
        self.now = milliseconds(step["at"])
        if step["call"] == "END":
            self.tell("online", {"online": False}, retain=True)
            self.over = True
            self.client.disconnect()
            return
        if step["call"] == "BEGIN":
            self.tell("online", {"online": True}, retain=True)
        else:
            for device, kind, message in self.inbox:
                if kind == "command":
                    self.ask(message)
                else:
                    self.controller.hear(device, kind, json.loads(message.payload), self.now)
            self.inbox.clear()
            self.controller.scan(self.now, self)
        self.answer(step)

    def answer(self, step):
        self.tell(
            "scanned",
            {"step": step["seq"], "messages": self.sent, "nextMs": self.period_ms, "name": self.name},
        )

    # What the logic says.

    def order(self, device, lifetime_s, fields):
        """A command to a device."""
        seq = self.number(device + "/command")
        properties = Properties(PacketTypes.PUBLISH)
        properties.MessageExpiryInterval = max(1, round(lifetime_s))
        properties.ResponseTopic = self.root + device + "/ack"
        properties.CorrelationData = str(seq).encode()
        body = {"seq": seq, "at": instant(self.now), "lifetimeS": lifetime_s, **fields}
        self.publish(device + "/command", body, False, properties)

    def tell(self, kind, fields, retain=False):
        """Something about the controller itself: telemetry, state, event, alarm."""
        body = {"seq": self.number("supervisor/" + kind), "at": instant(self.now), **fields}
        self.publish("supervisor/" + kind, body, retain)

    def ask(self, message):
        """An operator's order: the logic says whether it takes it, and why not."""
        order = json.loads(message.payload)
        if self.now > milliseconds(order["at"]) + order["lifetimeS"] * 1000:
            result, reason = "EXPIRED", "it came after its lifetime"
        else:
            refusal = self.controller.ask(order["order"], order["key"], self)
            result, reason = ("REFUSED", refusal) if refusal else ("ACCEPTED", "")
        properties = Properties(PacketTypes.PUBLISH)
        asked = message.properties
        if asked is not None and hasattr(asked, "CorrelationData"):
            properties.CorrelationData = asked.CorrelationData
        seq = self.number("supervisor/ack")
        body = {"seq": seq, "at": instant(self.now), "command": order["seq"], "result": result, "reason": reason}
        self.publish("supervisor/ack", body, False, properties)

    def number(self, topic):
        self.seq[topic] = self.seq.get(topic, -1) + 1
        return self.seq[topic]

    def publish(self, topic, body, retain, properties=None):
        if topic not in ("supervisor/online", "supervisor/scanned"):
            self.sent += 1
        # QoS 1 also for telemetry: the bench counts, and a lost message would end the run.
        self.client.publish(self.root + topic, json.dumps(body), qos=1, retain=retain, properties=properties)
