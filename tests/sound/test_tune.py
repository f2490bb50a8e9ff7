"""Interval signals: pitches after ISO 16 and equal temperament, beats to the frame."""

from typing import get_args

import numpy as np
import pytest

from broadcaster.script.alphabets import note_hertz
from broadcaster.script.programme import IntervalSignal
from broadcaster.sound.tune import INSTRUMENTS, tune
from broadcaster.units import RATE
from broadcaster.voice.finish import CEILING_DBFS, SPEECH_DBFS, sounding_rms

every_instrument = pytest.mark.parametrize("name", INSTRUMENTS)


def line_near_hz(samples, hertz):
    """The spectral line nearest to a pitch, by parabolic interpolation of log magnitude."""
    size = 1 << 19
    spectrum = np.log(np.abs(np.fft.rfft(samples * np.blackman(len(samples)), size)) + 1e-12)
    low, high = (round(hertz * factor * size / RATE) for factor in (0.97, 1.03))
    peak = low + int(np.argmax(spectrum[low:high]))
    before, top, after = spectrum[peak - 1 : peak + 2]
    return (peak + (before - after) / 2 / (before - 2 * top + after)) * RATE / size


def test_the_writers_instruments_are_those_that_can_play():
    """The names that a script may use are those of the table, in its order."""
    assert tuple(INSTRUMENTS) == get_args(IntervalSignal.model_fields["instrument"].annotation)


@every_instrument
@pytest.mark.parametrize("note", ["C3", "A4", "G4", "C#5", "Bb5", "B6"])
def test_notes_are_in_tune(name, note):
    """The note's own line is within 1 cent of its pitch: A4 is 440 Hz (ISO 16:1975)."""
    samples = tune([note_hertz(note)], 40, INSTRUMENTS[name]).astype(float)
    cents = 1200 * np.log2(line_near_hz(samples, note_hertz(note)) / note_hertz(note))
    assert abs(cents) < 1


@every_instrument
def test_notes_start_on_their_beats(name):
    """Each note is heard from its beat on, to the frame: what was before it is what would be."""
    notes = [note_hertz(note) for note in ("G4", "C5", "E5")]
    beat = RATE * 60 // 96
    whole = tune(notes, 96, INSTRUMENTS[name]).astype(float)
    for place in (1, 2):
        shorter = tune([*notes[:place], None], 96, INSTRUMENTS[name]).astype(float)
        start = place * beat
        scale = np.dot(whole[:start], shorter[:start]) / np.dot(shorter[:start], shorter[:start])
        assert np.allclose(whole[:start], scale * shorter[:start], rtol=0, atol=1e-5)
        differing = np.abs(whole[start : start + 50] - scale * shorter[start : start + 50])
        assert differing.max() > 1e-5


@every_instrument
@pytest.mark.parametrize("tempo", [20, 96, 133, 400])
@pytest.mark.parametrize("notes", [["C4"], ["G4", "C5", "E5", None], [None, "A2"]])
def test_a_tune_lasts_whole_beats_and_dies_away_in_them(name, tempo, notes):
    """Whole beats, no fewer than notes; it ends in silence, after the last note has rung out."""
    samples = tune([note and note_hertz(note) for note in notes], tempo, INSTRUMENTS[name])
    beats = len(samples) / RATE * tempo / 60
    assert beats == pytest.approx(round(beats), abs=tempo / 60 / RATE)
    assert round(beats) >= len(notes)
    assert np.abs(samples[-5:]).max() < 1e-3


@every_instrument
def test_a_tune_has_no_click(name):
    """Where a note begins or ends, the highest octave (over 16 kHz) holds next to nothing."""
    samples = tune([note_hertz("C5"), note_hertz("C5"), None], 240, INSTRUMENTS[name])
    padded = np.concatenate((np.zeros(RATE // 10), samples, np.zeros(RATE // 10)))
    spectrum = np.fft.rfft(padded)
    spectrum[: len(spectrum) * 16 // 24] = 0
    hiss = np.fft.irfft(spectrum, len(padded))
    assert np.abs(hiss).max() < 1e-3 * np.abs(samples).max()


@every_instrument
def test_a_tune_is_as_loud_as_speech(name):
    """SPEECH_DBFS while it sounds, or softer where its peaks would pass the ceiling."""
    samples = tune([note_hertz("G4"), note_hertz("E5")], 96, INSTRUMENTS[name])
    assert 20 * np.log10(sounding_rms(samples)) == pytest.approx(SPEECH_DBFS, abs=0.1)
    assert 20 * np.log10(np.abs(samples).max()) < CEILING_DBFS


def test_a_tune_of_rests_is_silence():
    """Rests only: as many beats of silence."""
    samples = tune([None, None], 60, INSTRUMENTS["celesta"])
    assert len(samples) == 2 * RATE
    assert not samples.any()


def test_a_tune_needs_a_note():
    """No notes and no rests are no tune."""
    with pytest.raises(ValueError, match="at least one"):
        tune([], 60, INSTRUMENTS["celesta"])
