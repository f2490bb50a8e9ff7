"""Lengths of items: measured once, remembered, forgotten when what they depend on changes."""

import json
from pathlib import Path

import numpy as np
import pytest

from broadcaster.air.items import Failure
from broadcaster.rehearsal import lengths as room
from broadcaster.rehearsal.lengths import Lengths
from broadcaster.script.programme import Clip, Tone
from broadcaster.story.cue import Cue
from broadcaster.units import RATE
from tests.rehearsal.make import night_watch
from tests.story.make import pause

BELL = Cue("dark", Tone(tone="440 Hz", for_="1250 ms"), "440 Hz")


def test_an_item_is_as_long_as_it_is_made(tmp_path):
    """A tone of 1.25 s is 60,000 frames of nothing, which take no memory."""
    made = Lengths(night_watch(), tmp_path).fetch(BELL)
    assert made.samples.shape == (60_000,)
    assert made.samples.dtype == np.float32
    assert made.samples.strides == (0,)


def test_what_was_measured_is_remembered(tmp_path):
    """A second rehearsal makes nothing."""
    told: list[str] = []
    for _ in range(2):
        lengths = Lengths(night_watch(), tmp_path, making=told.append)
        lengths.fetch(BELL)
        lengths.keep()
    assert told == ["440 Hz"]


def test_a_level_or_a_condition_changes_no_length(tmp_path):
    """Only what is heard counts: the same tone, softer, and only sometimes, is not made again."""
    told: list[str] = []
    lengths = Lengths(night_watch(), tmp_path, making=told.append)
    lengths.fetch(BELL)
    softer = BELL.item.model_copy(update={"level": -6.0, "once": True, "clue": "the bell"})
    lengths.fetch(Cue("dark", softer, "440 Hz"))
    lengths.fetch(Cue("dark", Tone(tone="440 Hz", for_="2 s"), "440 Hz"))
    assert told == ["440 Hz", "440 Hz"]


def test_a_clip_that_was_saved_again_is_measured_again(tmp_path):
    """Its size and time are part of what is remembered."""
    import wave

    show = night_watch().model_copy(update={"folder": tmp_path})
    cue = Cue("dark", Clip(clip="bell.wav"), "bell.wav")
    found = []
    for frames in (RATE, 2 * RATE):
        with wave.open(str(tmp_path / "bell.wav"), "wb") as file:
            file.setparams((1, 2, RATE, 0, "NONE", ""))
            file.writeframes(b"\1\0" * frames)
        lengths = Lengths(show, tmp_path)
        found.append(len(lengths.fetch(cue).samples))
        lengths.keep()
    assert found == [RATE, 2 * RATE]


def test_code_that_changed_makes_all_be_forgotten(tmp_path, monkeypatch):
    """What was measured by another version of what makes sound is not believed."""
    lengths = Lengths(night_watch(), tmp_path)
    lengths.fetch(BELL)
    lengths.keep()
    assert Lengths(night_watch(), tmp_path).known
    monkeypatch.setattr(room, "_made_by", lambda: "another version")
    assert not Lengths(night_watch(), tmp_path).known


@pytest.mark.parametrize("text", ["", "[]", "{", '{"made by": 1}', '{"frames": {"a": "b"}}'])
def test_a_damaged_file_counts_as_none(tmp_path, text):
    """Nothing is believed of it, and it is written anew."""
    (tmp_path / room.FILE).write_text(text)
    lengths = Lengths(night_watch(), tmp_path)
    assert not lengths.known
    lengths.fetch(BELL)
    lengths.keep()
    assert json.loads((tmp_path / room.FILE).read_text())["frames"]


def test_a_length_that_cannot_be_is_not_believed(tmp_path):
    """Nought and yes are no lengths."""
    for frames in (0, True, -3, 1.5):
        told = {"made by": room._made_by(), "frames": {"a": frames}}
        (tmp_path / room.FILE).write_text(json.dumps(told))
        assert not Lengths(night_watch(), tmp_path).known


def test_a_folder_that_cannot_be_written_costs_only_time():
    """keep() is silent where it cannot."""
    lengths = Lengths(night_watch(), Path("/dev/null/nowhere"))
    lengths.fetch(BELL)
    lengths.keep()


def test_what_cannot_be_made_says_why(tmp_path):
    """A clip that is missing is a failure, as it is on air."""
    made = Lengths(night_watch(), tmp_path).fetch(Cue("dark", Clip(clip="gone.wav"), "gone.wav"))
    assert isinstance(made, Failure)


def test_all_that_never_changes_is_measured_ahead(tmp_path):
    """Running orders and hints; the same pause twice is one."""
    lengths = Lengths(night_watch(), tmp_path)
    lengths.measure_all()
    count = len(lengths.known)
    lengths.fetch(Cue("dark", pause("1500 ms"), "pause"))
    assert len(lengths.known) == count == 8
