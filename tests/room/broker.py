"""A real broker on a port of its own, and somebody in the room who talks with it."""

import shutil
import signal
import socket
import subprocess
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import paho.mqtt.client as paho
from paho.mqtt.enums import CallbackAPIVersion

from tests.ports import free_port

USER, PASSWORD = "keeper", "seventeen herons"
LIMIT_S = 20.0


def wait_until(reached: Callable[[], Any], limit_s: float = LIMIT_S) -> None:
    """Wait until something holds."""
    deadline = time.monotonic() + limit_s
    while not reached():
        assert time.monotonic() < deadline
        time.sleep(0.01)


@dataclass
class Broker:
    """mosquitto, as a venue would run it."""

    folder: Path
    address: str = "127.0.0.1"
    secured: bool = False
    """TLS with an authority of its own, and a password."""
    rights: str = ""
    """What everybody may do (its `acl_file`); all, if left out."""
    before: tuple[str, ...] = ()
    """What its command begins with: `ip netns exec NAME`."""
    port: int = field(default_factory=free_port)
    process: "subprocess.Popen[bytes] | None" = None

    @property
    def authority(self) -> Path:
        return self.folder / "authority.pem"

    def start(self) -> None:
        """Start it, with what it kept before."""
        lines = [f"listener {self.port} {self.address}", "log_dest none", "set_tcp_nodelay true"]
        lines += ["persistence true", f"persistence_location {self.folder}/", "user root"]
        if self.secured:
            if not self.authority.exists():
                make_certificates(self.folder)
                words = self.folder / "passwords"
                subprocess.run(["mosquitto_passwd", "-c", "-b", words, USER, PASSWORD], check=True)
            lines += [f"certfile {self.folder}/broker.pem", f"keyfile {self.folder}/broker.key"]
            lines += ["allow_anonymous false", f"password_file {self.folder}/passwords"]
        else:
            lines += ["allow_anonymous true"]
        if self.rights:
            (self.folder / "rights").write_text(self.rights)
            lines += [f"acl_file {self.folder}/rights"]
        settings = self.folder / "mosquitto.conf"
        settings.write_text("\n".join(lines) + "\n")
        program = shutil.which("mosquitto") or "mosquitto"
        self.process = subprocess.Popen([*self.before, program, "-c", str(settings)])
        if not self.before:
            wait_until(self._listens)

    def _listens(self) -> bool:
        with socket.socket() as probe:
            return probe.connect_ex((self.address, self.port)) == 0

    def stop(self) -> None:
        """End it; it writes down what it keeps."""
        if self.process:
            self.process.send_signal(signal.SIGCONT)
            self.process.terminate()
            self.process.wait(10.0)
            self.process = None

    def stall(self) -> None:
        """It is there, and does nothing: as if the network between were cut."""
        assert self.process
        self.process.send_signal(signal.SIGSTOP)

    def go_on(self) -> None:
        assert self.process
        self.process.send_signal(signal.SIGCONT)


def make_certificates(folder: Path) -> None:
    """An authority, and a broker's certificate that it vouches for."""
    new = "openssl req -x509 -nodes -days 2 -newkey ec -pkeyopt ec_paramgen_curve:prime256v1"
    authority = "-subj /CN=Fen -keyout authority.key -out authority.pem"
    its = "-subj /CN=localhost -addext subjectAltName=DNS:localhost,IP:127.0.0.1"
    by = "-CA authority.pem -CAkey authority.key -keyout broker.key -out broker.pem"
    for words in (f"{new} {authority}", f"{new} {its} {by}"):
        subprocess.run(words.split(), cwd=folder, stderr=subprocess.DEVNULL, check=True)


class Somebody:
    """A client in the room: a puzzle, a light, a program."""

    def __init__(self, broker: Broker) -> None:
        self.heard: list[tuple[str, bytes, bool]] = []
        """Topic, payload, and whether the broker had kept it."""
        self._client = paho.Client(CallbackAPIVersion.VERSION2, protocol=paho.MQTTv5)
        if broker.secured:
            self._client.username_pw_set(USER, PASSWORD)
            self._client.tls_set(str(broker.authority))
        self._client.on_connect = lambda client, *_: client.subscribe("#", 1)
        self._client.on_subscribe = lambda *_: setattr(self, "there", True)
        self._client.on_message = self._hear
        self._client.reconnect_delay_set(0.2, 0.2)
        self.there = False
        self._client.connect("localhost" if broker.secured else broker.address, broker.port)
        self._client.loop_start()
        wait_until(lambda: self.there)

    def _hear(self, client: Any, data: Any, message: paho.MQTTMessage) -> None:
        self.heard.append((message.topic, message.payload, message.retain))

    def say(self, topic: str, payload: str | bytes, *, retain: bool = False, qos: int = 1) -> None:
        """Publish, and wait until the broker has it."""
        self._client.publish(topic, payload, qos, retain).wait_for_publish(LIMIT_S)

    def on(self, topic: str) -> list[bytes]:
        """What came on a topic."""
        return [payload for name, payload, _ in list(self.heard) if name == topic]

    def leave(self) -> None:
        self._client.disconnect()
        self._client.loop_stop()
