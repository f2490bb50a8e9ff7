"""Morse against Rec. ITU-R M.1677-1, the word PARIS, and ARRL's Farnsworth timing."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.signal import hilbert, welch

from broadcaster.errors import UnreadableError
from broadcaster.script.alphabets import MORSE, PROSIGNS
from broadcaster.sound.keying import Keying, keying, pace
from broadcaster.sound.level import SINE_PEAK
from broadcaster.sound.morse import EDGE_S, tone_of
from broadcaster.units import RATE

HALF_EDGE = round(EDGE_S * RATE / 2)

DOT_MS = {5: 240, 6: 200, 8: 150, 10: 120, 12: 100, 13: 92.308, 15: 80, 18: 66.667}
DOT_MS |= {20: 60, 25: 48, 30: 40, 40: 30}  # 1200 / wpm

WORD_UNITS = {"PARIS": 50, "CODEX": 60}  # the two words that speeds are defined by
WORD_UNITS |= {"E": 8, "T": 10, "THE": 24, "MORSE": 50, "12345": 84, "00000": 114, "KEY": 36}

# Characters' speed, overall speed (wpm); letter gap and word gap (s): the formulae of J. Bloom,
# "A Standard for Morse Timing Using the Farnsworth Technique", ARRL 1990.
FARNSWORTH = [
    (13, 5, 1.4429, 3.3668),
    (15, 5, 1.5032, 3.5074),
    (18, 5, 1.5684, 3.6596),
    (18, 10, 0.6211, 1.4491),
    (18, 13, 0.4024, 0.9390),
    (20, 8, 0.8905, 2.0779),
    (20, 15, 0.3379, 0.7884),
    (20, 20, 0.1800, 0.4200),
    (25, 8, 0.9493, 2.2149),
]

sendable = st.text(st.sampled_from([*MORSE, " "]), max_size=20).map(lambda text: f"E{text}")
speeds = st.floats(2, 60)


def gaps(keyed: Keying) -> list[int]:
    """Frames between the marks, and after the last."""
    starts = [mark.start_frame for mark in keyed.marks[1:]] + [keyed.frames]
    return [after - mark.end_frame for mark, after in zip(keyed.marks, starts, strict=True)]


def received(keyed: Keying, unit: float, gap_unit: float) -> str:
    """A decoder of our own: marks and gaps back into dots, dashes, spaces and word borders."""
    symbols = []
    for mark, gap in zip(keyed.marks, gaps(keyed), strict=True):
        symbols.append("." if mark.frames < 2 * unit else "-")
        if gap > (unit + 3 * gap_unit) / 2:
            symbols.append("/" if gap > 5 * gap_unit else " ")
    return "".join(symbols)


@pytest.mark.parametrize(("wpm", "dot_ms"), DOT_MS.items())
def test_a_dot_lasts_1200_ms_over_the_speed_and_a_dash_three_dots(wpm, dot_ms):
    """M.1677-1, 2.1: a dash is three dots; a dot is a fiftieth of the word PARIS."""
    dot, dash = keying("A", wpm).marks
    assert dot.frames == pytest.approx(dot_ms * RATE / 1000, abs=1)
    assert dash.frames == pytest.approx(3 * dot_ms * RATE / 1000, abs=1)


def test_gaps_are_one_three_and_seven_dots():
    """M.1677-1, 2.2 to 2.4; one word gap ends the item."""
    dot = RATE // 10  # 12 wpm
    assert gaps(keying("AN I", 12)) == [dot, 3 * dot, dot, 7 * dot, dot, 7 * dot]


@pytest.mark.parametrize(("word", "units"), WORD_UNITS.items())
def test_words_have_their_published_lengths(word, units):
    """PARIS is 50 units and CODEX 60, with the gap after the word."""
    assert keying(word, 12).frames == units * RATE // 10


@pytest.mark.parametrize("wpm", [*DOT_MS, 7.3, 23.7, 59.9])
def test_ten_words_last_ten_minutes_over_the_speed(wpm):
    """PARIS ten times lasts 600 / wpm seconds within a frame: no rounding adds up."""
    assert keying("PARIS " * 10, wpm).frames == pytest.approx(600 / wpm * RATE, abs=1)


@pytest.mark.parametrize(("speed", "spacing", "letter_s", "word_s"), FARNSWORTH)
def test_farnsworth_gaps_are_the_published_ones(speed, spacing, letter_s, word_s):
    """The added delay replaces the usual gaps: letter 3 ta / 19, word 7 ta / 19, to 0.1 ms."""
    keyed = keying("EE E", speed, spacing)
    found = [gap / RATE for gap in gaps(keyed)]
    assert found == pytest.approx([letter_s, word_s, word_s], abs=1e-4)


def test_farnsworth_worked_example():
    """Kent Engineers' example, 13 wpm at 5 overall: 92.3 ms, 276.9 ms, 1.443 s, 3.367 s."""
    found = pace(13, 5)
    figures = (found.unit_s, 3 * found.unit_s, 3 * found.gap_unit_s, 7 * found.gap_unit_s)
    assert figures == pytest.approx((0.0923, 0.2769, 1.443, 3.367), abs=5e-4)


@pytest.mark.parametrize(("speed", "spacing"), [row[:2] for row in FARNSWORTH])
def test_farnsworth_keeps_the_overall_speed(speed, spacing):
    """PARIS ten times lasts 600 / spacing seconds within a frame."""
    assert keying("PARIS " * 10, speed, spacing).frames == pytest.approx(
        600 / spacing * RATE, abs=1
    )


@pytest.mark.parametrize("spacing", [None, 12, 20])
def test_spacing_at_or_above_the_speed_changes_nothing(spacing):
    """At one speed the gaps are three and seven units, not more."""
    assert keying("PARIS", 12, spacing) == keying("PARIS", 12)


@given(text=sendable, speed=speeds, spacing=st.none() | st.floats(1, 60))
def test_marks_come_one_after_another(text, speed, spacing):
    """Every mark is there, none touches the next, and the last ends before the item does."""
    keyed = keying(text, speed, spacing)
    assert all(mark.frames > 0 for mark in keyed.marks)
    assert all(before.end_frame < after.start_frame for before, after in pairwise(keyed.marks))
    assert keyed.marks[0].start_frame == 0
    assert keyed.marks[-1].end_frame < keyed.frames


@given(text=sendable, speed=speeds)
def test_a_decoder_of_our_own_reads_it_back(text, speed):
    """Marks and gaps alone give back the code of every character, and the words."""
    unit = pace(speed).unit_s * RATE
    sent = "/".join(" ".join(MORSE[letter] for letter in word) for word in text.split()) + "/"
    assert received(keying(text, speed), unit, unit) == sent


@pytest.mark.parametrize(("name", "sign"), PROSIGNS.items())
def test_a_prosign_is_one_character(name, sign):
    """M.1677-1, 1.1.3: no letter gap inside a procedure signal."""
    assert received(keying(f"<{name}>", 12), RATE / 10, RATE / 10) == sign.code + "/"


@pytest.mark.parametrize("text", ["", "  ", "A_B", "<XYZ>"])
def test_what_morse_has_not_is_an_error(text):
    """Nothing to send, an unknown character and an unknown signal are refused."""
    with pytest.raises(UnreadableError):
        keying(text, 12)


@pytest.mark.parametrize("tone_hz", [400, 650, 997.3, 2000])
@pytest.mark.parametrize(("speed", "spacing"), [(5, None), (13, 5), (25, None), (60, None)])
def test_the_sound_follows_the_key(speed, spacing, tone_hz):
    """The envelope crosses half amplitude half an edge after each key edge, to 0.5 ms."""
    keyed = keying("REED 5 <AR>", speed, spacing)
    envelope = np.abs(hilbert(tone_of(keyed, tone_hz)[: keyed.frames // 2 * 2]))
    crossings = np.flatnonzero(np.diff((envelope > SINE_PEAK / 2).astype(int)))
    expected = [edge for mark in keyed.marks for edge in (mark.start_frame, mark.end_frame)]
    assert len(crossings) == len(expected)
    assert np.abs(crossings - HALF_EDGE - expected).max() <= 0.0005 * RATE


def test_the_sound_is_the_key_times_one_unbroken_sine():
    """Inside a mark the samples are those of a sine from the item's first frame; in gaps 0.0."""
    keyed = keying("PARIS", 20)
    samples = tone_of(keyed, 650)
    sine = SINE_PEAK * np.sin(2 * np.pi * 650 / RATE * np.arange(keyed.frames))
    inside = np.zeros(keyed.frames, dtype=bool)
    outside = np.ones(keyed.frames, dtype=bool)
    for mark in keyed.marks:
        inside[mark.start_frame + 2 * HALF_EDGE : mark.end_frame] = True
        outside[mark.start_frame : mark.end_frame + 2 * HALF_EDGE] = False
    assert samples.dtype == np.float32
    assert np.allclose(samples[inside], sine[inside], rtol=0, atol=1e-6)
    assert not samples[outside].any()


def test_keyed_bandwidth():
    """25 wpm at 600 Hz: 99 % of the power within 130 Hz, under -80 dB at 300 Hz from the tone.

    Rec. ITU-R SM.1138: the necessary bandwidth of A1A at 25 wpm is 100 Hz (20 baud times 5).
    """
    samples = tone_of(keying("PARIS " * 20, 25), 600).astype(float)
    hertz, power = welch(samples, RATE, window="blackmanharris", nperseg=65536)
    share = np.cumsum(power) / power.sum()
    low, high = hertz[np.searchsorted(share, [0.005, 0.995])]
    assert high - low < 130
    for offset_hz in (-300, 300):
        near = np.abs(hertz - 600 - offset_hz) <= 2
        assert 10 * math.log10(power[near].max() / power.max()) < -80


def test_a_symbol_lasts_from_its_first_mark_to_its_last():
    """R at 12 wpm is dot, dash, dot: 7 dots with the gaps in it, begun 3 dots after E."""
    dot = RATE // 10
    symbols = [(mark.start_frame, mark.frames) for mark in keying("ER <AR>", 12).symbols]
    assert symbols == [(0, dot), (4 * dot, 7 * dot), (18 * dot, 13 * dot)]
