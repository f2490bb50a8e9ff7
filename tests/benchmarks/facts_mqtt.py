"""How soon the station knows what comes by MQTT, and what a flood does to it:
`python -m tests.benchmarks facts_mqtt`. Left out where there is no mosquitto.

The flood comes from another process, by a real broker, without waiting for any answer.
"""

import json
import shutil
import socket
import sys
import tempfile
import time
from pathlib import Path

import paho.mqtt.client as paho
from paho.mqtt.enums import CallbackAPIVersion

from broadcaster.script.venue_settings import MqttSettings, VenueSettings
from tests.benchmarks.facts import (
    FACT,
    FLOOD_A_SECOND,
    FLOOD_S,
    MESSAGES_A_SECOND,
    VALUES,
    flood_from_elsewhere,
    measure,
    on_air,
)
from tests.benchmarks.figures import heading
from tests.room.broker import Broker

TOPIC = f"venue/heron/fact/{FACT}"


def main() -> None:
    """Print the figures."""
    if not shutil.which("mosquitto"):
        print("\nFacts by MQTT: left out, for mosquitto is not installed.")
        return
    with tempfile.TemporaryDirectory() as folder:
        broker = Broker(Path(folder))
        broker.start()
        try:
            _measure_at(broker)
        finally:
            broker.stop()


def _measure_at(broker: Broker) -> None:
    section = MqttSettings(broker=broker.address, port=broker.port)
    with on_air(VenueSettings(mqtt=section)) as station:
        line = _line_to(broker.port)
        for qos in (0, 1):
            heading(f"Facts at {MESSAGES_A_SECOND} a second, by MQTT, QoS {qos}")
            measure(station, lambda value, qos=qos: line.publish(TOPIC, str(value), qos))
        line.disconnect()
        line.loop_stop()
        heading(f"A flood of facts for {FLOOD_S:.0f} s, by MQTT")
        flood_from_elsewhere(station, "tests.benchmarks.facts_mqtt", broker.port)


def _line_to(port: int) -> paho.Client:
    line = paho.Client(CallbackAPIVersion.VERSION2, protocol=paho.MQTTv5)
    line.on_socket_open = lambda _, __, at: at.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    line.connect("127.0.0.1", port)
    line.loop_start()
    return line


def flood_from_here(port: int) -> None:
    """Send so many a second for so long, then a last one; print what was sent."""
    line = _line_to(port)
    began_s, sent = time.monotonic(), 0
    while (passed_s := time.monotonic() - began_s) < FLOOD_S:
        while sent < passed_s * FLOOD_A_SECOND:
            sent += 1
            line.publish(TOPIC, str(sent % VALUES))
        time.sleep(0.005)
    seconds = time.monotonic() - began_s
    last = (sent + 1) % VALUES
    line.publish(TOPIC, str(last), 1).wait_for_publish(30.0)
    line.disconnect()
    line.loop_stop()
    print(json.dumps({"sent": sent + 1, "seconds": seconds, "last": last}))


if __name__ == "__main__":
    if sys.argv[1:]:
        flood_from_here(int(sys.argv[1]))
    else:
        main()
