"""What is heard of an item: its sounding parts, at several moments, programme and noise apart."""

import numpy as np
import pytest

from broadcaster.listening.hearing import STRETCH_FRAMES, Listener, Way, shared_out
from broadcaster.listening.link import through_link
from broadcaster.period.reception import Reception
from broadcaster.script.sounds import Band, Fading, Hiss, Saturation, Sound
from broadcaster.transmitter.transmitter import Transmitter
from broadcaster.units import RATE, Samples, db_from_gain, silence
from tests.listening.speech import speech

NOTHING = Sound(about="nothing at all")
HISSING = Sound(about="hiss", processors=(Band(band=(300.0, 3400.0)), Hiss(hiss=-40.0)))
ROUGH = Sound(
    about="rough",
    processors=(Saturation(saturation=12.0), Fading(fading=12.0, rate=0.3), Hiss(hiss=-30.0)),
)


def rms(samples: Samples) -> float:
    return float(np.sqrt(np.square(samples).mean()))


def heard(item: Samples, sound: Sound, moments: int = 2, **dials: float):
    stretches = shared_out(item, moments)
    return Listener(stretches, Way(sound, 3, 0.0)).hear(
        dials.get("roughness", 1.0), dials.get("strength", 5.0)
    )


def test_pauses_are_left_out():
    """Of tones among silence, all that sounds is shared out, and it is no softer."""
    tone = np.sin(np.arange(RATE // 2, dtype=np.float32)) * np.float32(0.1)
    item = np.concatenate([silence(RATE), tone, silence(RATE), tone, silence(RATE)])
    stretches = np.concatenate(shared_out(item, 2))
    ratio = len(stretches) / (2 * len(tone))
    assert np.square(stretches).sum() == pytest.approx(ratio * np.square(item).sum(), rel=0.05)


def test_of_a_long_item_parts_are_heard():
    """A stretch for each moment, from its beginning to its end."""
    ramp = np.linspace(0.5, 1.0, 60 * RATE, dtype=np.float32)
    stretches = shared_out(ramp, 6)
    assert [len(stretch) for stretch in stretches] == [STRETCH_FRAMES] * 6
    assert np.median(stretches[0]) < 0.55
    assert stretches[-1].max() > 0.99


def test_a_short_item_is_repeated():
    """Until there is enough for every moment."""
    item = speech("two")
    parts = shared_out(item, 4)
    assert [len(part) for part in parts] == [STRETCH_FRAMES] * 4
    whole = np.concatenate(parts)
    sounding = np.flatnonzero(np.abs(item) > 1e-3)
    length = sounding[-1] - sounding[0]
    assert (
        1.2 < np.square(whole).sum() / np.square(item).sum() < 4 * STRETCH_FRAMES / (0.7 * length)
    )


def test_what_is_silent():
    """It cannot be heard, and says so."""
    with pytest.raises(ValueError, match="silent"):
        shared_out(silence(RATE), 4)


def test_programme_and_noise():
    """Together they are what is received; the noise is what is heard while nothing is sent.

    Without saturation or automatic gain: noise alone can then be had by sending silence.
    """
    stretch = heard(speech("If you see a light on the sand."), HISSING)[0]
    assert np.allclose(stretch.programme + stretch.noise, stretch.received, atol=1e-6)
    reception, transmitter = Reception(HISSING, 3), Transmitter()
    nothing = silence(2 * RATE)
    empty = through_link(transmitter.process(reception.process(nothing, 0), 0), 3)
    assert db_from_gain(rms(stretch.noise) / rms(empty[RATE // 2 :])) == pytest.approx(0, abs=0.3)


@pytest.mark.parametrize(
    ("sound", "late_ms"),
    [(NOTHING, 0.1), (HISSING, 2.0)],  # a causal band-pass is late by some of its own
)
def test_in_step(sound, late_ms):
    """What is received of the item is the item, on the same frames: latencies are taken off."""
    for stretch in heard(speech("Four crates stand on your landing."), sound):
        alike = np.fft.irfft(np.fft.rfft(stretch.programme) * np.fft.rfft(stretch.dry).conj())
        lag = int(alike.argmax())
        assert min(lag, len(alike) - lag) <= late_ms * 1e-3 * RATE


def test_moments_differ():
    """In a sound that fades, a steady tone is stronger at one moment than at another."""
    item = np.sin(np.arange(RATE, dtype=np.float32) * np.float32(0.1)) * np.float32(0.1)
    levels = [db_from_gain(rms(each.programme)) for each in heard(item, ROUGH, 6)]
    assert max(levels) - min(levels) > 2.0


def test_the_same_every_time():
    """Bit for bit."""
    item = speech("If you see a light.")
    first, second = heard(item, ROUGH), heard(item, ROUGH)
    assert all(np.array_equal(a.received, b.received) for a, b in zip(first, second, strict=True))


@pytest.mark.parametrize(
    ("dials", "softer"), [({"roughness": 1.5}, 15.0), ({"strength": 2.0}, 8.0)]
)
def test_dials(dials, softer):
    """Rougher or weaker, the programme sinks against the noise."""
    item = speech("If you see a light.")
    usual, turned = heard(item, HISSING)[0], heard(item, HISSING, **dials)[0]
    ratios = [db_from_gain(rms(each.programme) / rms(each.noise)) for each in (usual, turned)]
    assert ratios[0] - ratios[1] > softer
