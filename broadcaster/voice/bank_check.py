"""What is wrong with a recorded bank, and what it lacks."""

from dataclasses import dataclass
from pathlib import Path
from statistics import median

import numpy as np

from broadcaster.errors import ClipError
from broadcaster.units import RATE, db_from_gain, seconds_from_frames
from broadcaster.voice.bank import Bank, read_bank
from broadcaster.voice.figures import plain_words
from broadcaster.voice.finish import sounding_rms
from broadcaster.voice.recordings import (
    WINDOW_FRAMES,
    samples_of_segment,
    sounding_windows,
    trimmed,
)
from broadcaster.voice.sound_file import read_sound_file

FARTHEST_DB = 12.0
"""A clip that is farther than this from the bank's usual level is too loud or too soft: levelling
it would lift or sink its background with it. Chosen by ear."""
SOFTEST_DBFS = -45.0
"""A clip softer than this was hardly recorded. Common practice, no source."""
LONGEST_SILENCE_S = 0.5
"""A longer silence within a clip sounds as if it had ended. Chosen by ear."""
_CLIPPED_FRAMES = 3
"""So many frames in a row at the clip's own peak, near full scale, are a peak cut off."""
_CLIPPED_FROM = 0.98


@dataclass(frozen=True, slots=True)
class ClipReport:
    """One clip: what it says, how long and how loud it is, and what is wrong with it."""

    name: str
    file: str
    seconds: float
    level_dbfs: float
    """RMS while it sounds; see sounding_rms()."""
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BankReport:
    """A bank's clips, and what would have to be recorded to read anything singly."""

    about: str
    language: str
    clips: tuple[ClipReport, ...]
    missing_figures: tuple[str, ...]
    """Figures and the point, by the words that say them."""
    missing_letters: tuple[str, ...]
    """Letters, by their code words."""

    @property
    def faults(self) -> tuple[str, ...]:
        """Everything that is wrong with a clip, as sentences."""
        return tuple(f"{clip.file}: {fault}" for clip in self.clips for fault in clip.faults)


def check_bank(folder: Path) -> BankReport:
    """Every clip of a bank, read and measured. Raises as read_bank() does."""
    bank = read_bank(folder)
    measured = [_measured(bank, name) for name in sorted(bank.files)]
    usual_dbfs = median([clip.level_dbfs for clip in measured if not clip.faults] or [0.0])
    lacking = {
        sign: word
        for sign, word in plain_words(bank.sheet.language).items()
        if not bank.says_singly(sign)
    }
    return BankReport(
        bank.sheet.about,
        bank.sheet.language,
        tuple(_compared(clip, usual_dbfs) for clip in measured),
        tuple(word for sign, word in lacking.items() if not sign.isalpha()),
        tuple(word for sign, word in lacking.items() if sign.isalpha()),
    )


def _measured(bank: Bank, name: str) -> ClipReport:
    path, *others = bank.files[name]
    faults = [f"{other.name} says the same, and is not used" for other in others]
    try:
        whole = samples_of_segment(read_sound_file(path))
    except ClipError as error:
        return ClipReport(name, path.name, 0.0, float("-inf"), (*faults, error.reason))
    sound = trimmed(whole)
    if not sound.size:
        nothing = "there is nothing but silence in it"
        return ClipReport(name, path.name, 0.0, float("-inf"), (*faults, nothing))
    if _is_clipped(path):
        faults.append("it is clipped: record it softer")
    silence_s = _longest_silence_s(sound)
    if silence_s > LONGEST_SILENCE_S:
        faults.append(f"there is a silence of {silence_s:.1f} s in it: cut it out, or in two")
    level_dbfs = db_from_gain(sounding_rms(sound))
    if level_dbfs < SOFTEST_DBFS:
        faults.append(f"it is too soft, {level_dbfs:.0f} dB: record it louder")
    return ClipReport(name, path.name, seconds_from_frames(len(sound)), level_dbfs, tuple(faults))


def _compared(clip: ClipReport, usual_dbfs: float) -> ClipReport:
    """The clip, with a fault more if it is much louder or softer than the others."""
    above_db = clip.level_dbfs - usual_dbfs
    if clip.faults or abs(above_db) <= FARTHEST_DB:
        return clip
    louder = "louder" if above_db > 0 else "softer"
    fault = f"it is {abs(above_db):.0f} dB {louder} than the usual clip: record it again"
    return ClipReport(clip.name, clip.file, clip.seconds, clip.level_dbfs, (fault,))


def _is_clipped(path: Path) -> bool:
    """Whether frames in a row stand at one peak near full scale, before any resampling."""
    frames = np.abs(np.frombuffer(read_sound_file(path).raw_data, np.int32).astype(np.float64))
    peak = frames.max()
    if peak < _CLIPPED_FROM * np.iinfo(np.int32).max:
        return False
    at_peak = np.convolve(frames >= peak * 0.9999, np.ones(_CLIPPED_FRAMES), "valid")
    return bool((at_peak >= _CLIPPED_FRAMES).any())


def _longest_silence_s(sound: np.ndarray[tuple[int], np.dtype[np.float32]]) -> float:
    sounding = np.flatnonzero(sounding_windows(sound))
    silent_windows = int(np.diff(sounding).max(initial=1)) - 1
    return silent_windows * WINDOW_FRAMES / RATE
