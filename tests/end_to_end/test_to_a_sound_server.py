"""Played into a real sound server: what is recorded from its monitor is what was sent."""

import os
import signal
import subprocess
import sys
import threading
import time
import wave
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest

from broadcaster.units import RATE
from tests.end_to_end.processes import stations_of
from tests.end_to_end.run import DEMO, Home, Outcome, demo_as_written
from tests.end_to_end.sound_server import SINK_TITLE, SoundServer, frames_in_one_piece
from tests.services import needs

pytestmark = needs("pulseaudio", "pactl", "parec")

SECONDS = 63
SHORTER_SECONDS = 33
"""For where the load does not last: a desk that hangs, a desk that dies."""
LOST_SECONDS = 3
"""At the ends of a recording, which starts before the broadcast and stops within its last words."""


def air(home: Home, seconds: int) -> tuple[object, ...]:
    """The command that airs the demo for so long."""
    return ("air", demo_as_written(home.folder), "--start", "--for", f"{seconds}s", "--seed", 7)


def wanted_frames(seconds: int) -> int:
    """How many frames of such a broadcast must arrive in one piece."""
    return (seconds - LOST_SECONDS) * RATE


@pytest.fixture(scope="module")
def rehearsed(tmp_path_factory: pytest.TempPathFactory) -> Home:
    """A home in which the broadcast was rehearsed, to sent.wav."""
    home = Home(tmp_path_factory.mktemp("sent"))
    wav = home.folder / "sent.wav"
    outcome = home.run(
        "rehearse",
        demo_as_written(home.folder),
        "--for",
        f"{SECONDS}s",
        "--seed",
        7,
        "--audio",
        wav,
    )
    assert outcome.code == 0, outcome.errors
    return home


@pytest.fixture(scope="module")
def sent(rehearsed: Home) -> bytes:
    """What goes out, frame by frame: the same broadcast, rehearsed."""
    with wave.open(str(rehearsed.folder / "sent.wav")) as file:
        return file.readframes(file.getnframes())


@pytest.fixture
def home(home: Home, rehearsed: Home) -> Home:
    """A home that knows how rough the sound is to be: on air nobody waits for that."""
    home.learn_from(rehearsed)
    return home


@pytest.fixture
def busy_cores() -> Iterator[None]:
    """Three processes that never rest, on however few cores there are."""
    hogs = [subprocess.Popen([sys.executable, "-c", "while True: pass"]) for _ in range(3)]
    yield
    for hog in hogs:
        hog.kill()
        hog.wait()


def read_away(terminal: int) -> None:
    """Be the terminal: take what the console draws."""
    try:
        while os.read(terminal, 65_536):
            pass
    except OSError:
        return


def start_with_console(home: Home, server: SoundServer, seconds: int) -> subprocess.Popen[str]:
    """Start the broadcast with its console on a terminal of its own."""
    import pty

    ours, theirs = pty.openpty()
    home.extra = {**server.environment, "TERM": "xterm-256color", "COLUMNS": "120", "LINES": "40"}
    process = home.start(
        *air(home, seconds), "--output", SINK_TITLE, stdin=theirs, stdout=theirs, stderr=theirs
    )
    os.close(theirs)
    threading.Thread(target=read_away, args=(ours,), daemon=True).start()
    return process


def test_sixty_seconds_arrive_whole_on_a_busy_machine(
    home: Home, sound_server: SoundServer, sent: bytes, busy_cores: None
) -> None:
    """Three busy processes and the redrawing console cost not one frame."""
    with sound_server.recording() as recording:
        process = start_with_console(home, sound_server, SECONDS)
        process.wait(timeout=SECONDS + 30)
    assert frames_in_one_piece(recording.pcm, sent) >= wanted_frames(SECONDS)


def test_a_desk_that_holds_its_interpreter_costs_no_frame(
    home: Home, sound_server: SoundServer, sent: bytes
) -> None:
    """A regular expression that backtracks for ever in the desk does not reach the air.

    It begins once the broadcast is heard: a desk so busy takes a minute to start, and to end.
    """
    home.extra = sound_server.environment
    with sound_server.recording() as recording:
        process = subprocess.Popen(
            [
                *(sys.executable, "-m", "tests.end_to_end.hogged_desk"),
                *(str(part) for part in air(home, SHORTER_SECONDS)),
                *("--output", SINK_TITLE, "--no-console", "--json"),
            ],
            env=home.environment,
            cwd=Path(__file__).parents[2],
            stdout=subprocess.PIPE,
            text=True,
        )
        assert process.stdout
        assert any('"output started"' in line for line in process.stdout)
        process.send_signal(signal.SIGUSR1)
        wait_until(lambda: not stations_of(home))
        assert process.poll() is None, "the desk was not held"
        process.kill()
        process.communicate()
    assert frames_in_one_piece(recording.pcm, sent) >= wanted_frames(SHORTER_SECONDS)


def test_the_broadcast_outlives_its_desk(
    home: Home, sound_server: SoundServer, sent: bytes
) -> None:
    """The desk is killed in the middle; the audio goes on, frame for frame, to its end."""
    with sound_server.recording() as recording:
        process = start_with_console(home, sound_server, SHORTER_SECONDS)
        time.sleep(12)
        process.kill()
        process.wait()
        assert stations_of(home), "the station died with its desk"
        wait_until(lambda: not stations_of(home))  # it closes by itself when its time is over
    assert frames_in_one_piece(recording.pcm, sent) >= wanted_frames(SHORTER_SECONDS)


def test_auto_takes_the_systems_own_choice_of_devices(home: Home) -> None:
    """Not the first sink in the list, but the one that the sound server calls its default."""
    with SoundServer() as server:
        other = ("sink_name=other", "sink_properties=device.description=Other")
        server.control("load-module", "module-null-sink", *other)
        server.control("set-default-sink", "other")
        home.extra = server.environment
        outcome = home.run("air", DEMO, "--for", "1s", "--no-console", "--json")
    assert [record["output"] for record in outcome.of("station opened")] == ["Other"]


def test_a_device_that_is_pulled_out_and_put_back(home: Home) -> None:
    """The broadcast goes on unheard, says so, and is heard again when the device is back."""
    with SoundServer() as server:  # its own: this test takes the sink away
        home.extra = server.environment
        process = home.start(
            *("air", DEMO, "--start", "--for", "20s", "--no-console", "--json"),
            *("--output", SINK_TITLE),
        )
        time.sleep(5.0)
        server.remove_sink()
        time.sleep(4.0)
        server.add_sink()
        time.sleep(3.0)
        with server.recording() as recording:
            time.sleep(2.0)
            heard = np.frombuffer(recording.pcm, "<i2")
        output, errors = process.communicate(timeout=60)
    outcome = Outcome(process.returncode, output, errors)
    assert outcome.code == 0, outcome.errors
    assert [record["sentence"] for record in outcome.of("trouble")] == [
        f"The output '{SINK_TITLE}' is lost; the broadcast goes on.",
        f"The output '{SINK_TITLE}' is back.",
    ]
    assert outcome.of("item aired")[-1]["end_frame"] == 20 * RATE
    assert np.count_nonzero(heard) > RATE  # a second or more of two channels


def wait_until(reached: Callable[[], bool], limit_s: float = SECONDS + 30) -> None:
    """Wait for something, but not for ever."""
    deadline = time.monotonic() + limit_s
    while not reached() and time.monotonic() < deadline:
        time.sleep(0.2)
