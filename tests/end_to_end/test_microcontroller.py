"""A microcontroller at a real broadcast: it reports a puzzle, and keys a lamp with the Morse."""

import os
import subprocess
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import numpy as np
import pytest

pytest.importorskip("termios", reason="a pseudo-terminal stands in for the device")

from broadcaster.air.ring import CHANNELS, FRAME_BYTES
from broadcaster.units import RATE
from tests.end_to_end.run import Home, Outcome
from tests.end_to_end.sound_server import SINK, SINK_TITLE, SoundServer
from tests.room.microcontroller import Microcontroller
from tests.services import needs

TONE_HZ, WPM, TEXT = 650, 12, "REED"
SCRIPT = f"""\
programme: The Lamp
station: {{callsign: Heron, frequency: 91.3 MHz, voice: keeper, sound: clean}}
opening: watch
facts: {{lamp_lit: no}}
segments:
  watch:
    repeat: yes
    play:
      - morse: {TEXT}
        speed: {WPM} wpm
        tone: {TONE_HZ} Hz
    exits: [{{when: lamp_lit, to: dark, at once: yes}}]
  dark:
    repeat: yes
    play: [pause: 1 s]
"""
WITHIN_S = 0.010
"""Of each other at the output device: lamp and sound."""
SETTLED_S = 2.0
"""After which the station has asked the sound server how long it keeps a frame, and been told."""


@contextmanager
def on_air(
    home: Home, *arguments: str
) -> Iterator[tuple[Microcontroller, "subprocess.Popen[str]"]]:
    """The script on air for eight seconds, with a device on its serial line."""
    device = Microcontroller(home.folder / "ttyACM0")
    (home.folder / "lamp.yaml").write_text(SCRIPT)
    (home.folder / "station.yaml").write_text(
        f"serial: {{port: {device.port}}}\nlamp: {{over: [serial]}}\n"
    )
    process = home.start(
        *("air", home.folder / "lamp.yaml", "--start", "--for", "8s", "--json", *arguments)
    )
    try:
        yield device, process
    finally:
        process.kill()
        process.wait()


def test_a_device_reports_its_puzzle_and_its_lamp_goes_dark(home: Home) -> None:
    """Facts in, the key and events out; the fact cuts the Morse, and the lamp with it, at once."""
    with on_air(home, "--output", "silent") as (device, process):
        device.listen_until(lambda lines: lines.count("key 1") > 3, 15.0)
        device.say("lamp_lit 1")
        device.listen_until(lambda lines: "event segment_entered dark" in lines)
        lines = device.listen(2.0)
        process.terminate()
        output, errors = process.communicate(timeout=30)
    outcome = Outcome(process.returncode, output, errors)
    assert outcome.code == 0, errors
    assert lines[0] == "hello Heron"
    assert {"ok", "event fact_changed lamp_lit 1"} <= set(lines)
    assert outcome.of("fact changed")[-1]["source"] == "serial"
    keys = [line for line in lines if line.startswith("key ")]
    assert keys[-1] == "key 0"
    cut_s = device.heard[lines.index("event segment_entered dark")][0]
    lit_after = [moment_s for moment_s, line in device.heard if line == "key 1"][-1] - cut_s
    assert lit_after < 0.9  # what the station had made already was heard to its end
    assert outcome.of("trouble") == []


# --- in step with the sound --------------------------------------------------------------------


def in_a_sound_server(test: Callable[..., None]) -> Callable[..., None]:
    """Marks a test that needs one."""
    for mark in needs("pulseaudio", "pactl", "parec"):
        test = mark(test)
    return test


class Listener:
    """Records what the sink takes, with the moments by the machine's clock."""

    def __init__(self, server: SoundServer) -> None:
        self._recorder = subprocess.Popen(
            [
                *("parec", f"--device={SINK}.monitor", "--raw", "--latency-msec=10"),
                *("--format=s16le", f"--rate={RATE}", f"--channels={CHANNELS}"),
            ],
            env={**os.environ, **server.environment},
            stdout=subprocess.PIPE,
        )
        self._pcm = b""
        self._origins_s: list[float] = []
        self._thread = threading.Thread(target=self._listen, daemon=True)
        self._thread.start()

    def stop(self) -> tuple[float, np.ndarray]:
        """The moment at which the first sample was at the loudspeaker, and the samples.

        The sink takes 10 ms at a time, for which it then is at work: the moment at which it took
        them is that of the first of them. It may have been late, but it was never early.
        """
        self._recorder.kill()
        self._recorder.wait()
        self._thread.join()
        whole = len(self._pcm) // FRAME_BYTES * FRAME_BYTES
        pcm = np.frombuffer(self._pcm[:whole], "<i2")[::CHANNELS]
        return min(self._origins_s), pcm / 32768.0

    def _listen(self) -> None:
        assert self._recorder.stdout
        descriptor = self._recorder.stdout.fileno()
        while data := os.read(descriptor, 65_536):
            self._origins_s.append(time.monotonic() - len(self._pcm) / FRAME_BYTES / RATE)
            self._pcm += data


def sounding(samples: np.ndarray) -> list[tuple[float, float]]:
    """When the tone begins and ends, in seconds: where it passes half of its full strength."""
    seconds = np.arange(len(samples)) / RATE
    turned = samples * np.exp(-2j * np.pi * TONE_HZ * seconds)
    window = np.ones(RATE // 200) / (RATE // 200)  # 5 ms, about its middle
    strength = np.abs(np.convolve(turned, window, mode="same"))
    loud = strength > np.percentile(strength, 95) / 2
    edges = np.flatnonzero(np.diff(loud.astype(int))) / RATE
    return list(zip(edges[::2], edges[1::2], strict=False))


@in_a_sound_server
def test_the_lamp_is_in_step_with_the_sound_at_the_device(
    home: Home, sound_server: SoundServer
) -> None:
    """Dots and dashes begin and end within 10 ms of their sound: the middle one of them all.

    On a machine at rest each of them does. Where every core is taken single lines come later: the
    desk, which drives the lamp, has no right of way as playout has.
    """
    home.extra = sound_server.environment
    with on_air(home, "--output", SINK_TITLE) as (device, process):
        listener = Listener(sound_server)
        while process.poll() is None:
            device.listen(0.05)
        began_s, samples = listener.stop()
    lamp = [(at_s - began_s, line == "key 1") for at_s, line in device.heard if line[:3] == "key"]
    late_s, sounds = [], sounding(samples)
    sounding_from_s = sounds[0][0]
    for start_s, end_s in sounds:
        for edge_s, lit in ((start_s, True), (end_s, False)):
            near_s = min((at_s - edge_s for at_s, is_lit in lamp if is_lit == lit), key=abs)
            if edge_s > sounding_from_s + SETTLED_S:
                late_s.append(near_s)
    assert len(late_s) > 12
    assert abs(float(np.median(late_s))) < WITHIN_S, np.round(np.array(late_s) * 1000, 1)
