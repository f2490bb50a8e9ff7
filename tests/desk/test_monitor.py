"""The operator's headphones: an announcement heard before it is sent."""

import time
import wave
from pathlib import Path

import numpy as np
import pytest

from broadcaster.air.preview import AROUND_S, Preview, previewed
from broadcaster.desk.monitor import Monitor
from broadcaster.errors import StationError
from broadcaster.script.loading import load_programme
from broadcaster.units import RATE
from tests.end_to_end.run import DEMO

LIMIT_S = 30.0


def ended(monitor: Monitor) -> str:
    deadline = time.monotonic() + LIMIT_S
    while monitor.busy and time.monotonic() < deadline:
        time.sleep(0.02)
    assert not monitor.busy
    return monitor.trouble()


def test_a_preview_sounds_as_the_announcement_will(tmp_path: Path) -> None:
    """Played to a file by a process of its own: the same samples as this process makes of it."""
    programme = load_programme(str(DEMO))
    heard = tmp_path / "heard.wav"
    monitor = Monitor(f"file:{heard}", programme, None)
    monitor.play("The tide has turned.")
    assert monitor.busy
    samples = previewed(Preview(programme, "The tide has turned.", "", None))
    assert ended(monitor) == ""
    with wave.open(str(heard)) as reader:
        played = np.frombuffer(reader.readframes(len(samples)), "<i2")[::2]
    expected = np.rint(samples * 32_767).astype(int)
    assert len(expected) > 2 * AROUND_S * RATE + RATE
    assert np.abs(played[: len(expected)] - expected).max() <= 1


def test_what_cannot_be_heard_is_told_once_in_a_sentence() -> None:
    """No such device."""
    programme = load_programme(str(DEMO))
    monitor = Monitor("no such device", programme, None)
    monitor.play("The tide has turned.")
    assert ended(monitor).startswith("There is no output 'no such device'.")
    assert monitor.trouble() == ""


def test_what_cannot_be_spoken_is_no_preview() -> None:
    """As it would be no announcement."""
    preview = Preview(load_programme(str(DEMO)), "...", "silent", None)
    with pytest.raises(StationError, match="The announcement cannot be made"):
        previewed(preview)


def test_a_preview_can_be_broken_off() -> None:
    """At once, and without complaint; another one breaks it off too."""
    monitor = Monitor("silent", load_programme(str(DEMO)), None)
    monitor.play("The tide has turned.")
    monitor.stop()
    assert not monitor.busy
    assert monitor.trouble() == ""
