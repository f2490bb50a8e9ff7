"""One loudness for every period sound, by a gain that does not move."""

import numpy as np
import pytest

from broadcaster.period.reception import Reception
from broadcaster.script.shelves import shipped_sounds, shipped_voices
from broadcaster.transmitter.loudness import loudness_lufs, true_peak_dbtp
from broadcaster.transmitter.making_up import TARGET_LUFS, make_up_db
from broadcaster.transmitter.transmitter import CEILING_DBTP, Transmitter
from broadcaster.units import Samples
from broadcaster.voice.speaker import Speaker
from broadcaster.voice.utterance import utterance_of
from tests.period.streams import in_blocks

SOUNDS = shipped_sounds()
TEXT = "The gate stands open, and the sea is rising. Six of the seven stones are seen."


@pytest.fixture(scope="module")
def speech() -> Samples:
    """Half a minute of the keeper, with the pauses between his sentences."""
    with Speaker(None) as speaker:
        spoken = speaker.speak(utterance_of(TEXT, shipped_voices()["keeper"]))
    return np.concatenate([spoken] * 5)


@pytest.mark.parametrize("name", SOUNDS)
def test_speech_leaves_every_sound_at_one_loudness(name: str, speech: Samples) -> None:
    """Within 2.5 LU of the target (BS.1770), its true peak under -1 dBTP."""
    transmitter = Transmitter(make_up_db=make_up_db(SOUNDS[name]))
    out = in_blocks(transmitter, in_blocks(Reception(SOUNDS[name], 5), speech))
    assert loudness_lufs(out) == pytest.approx(TARGET_LUFS, abs=2.5)
    assert true_peak_dbtp(out) < CEILING_DBTP


def test_the_gain_belongs_to_the_sound() -> None:
    """The same gain each time, so that live and rehearsed are the same bits."""
    sound = SOUNDS["shortwave 1960"]
    assert make_up_db(sound) == make_up_db(sound)
