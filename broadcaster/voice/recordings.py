"""The engine `bank`: recorded clips, trimmed, equally loud, and joined without a click."""

import hashlib
from pathlib import Path

import numpy as np
from pydub import AudioSegment  # sound_file.py has imported it without its warning

from broadcaster.errors import ClipError, ScriptError, SpeechError, UsageError
from broadcaster.script.names import listed
from broadcaster.units import RATE, Samples, frames_from_seconds, gain_from_db, silence
from broadcaster.voice.bank import Bank, read_bank
from broadcaster.voice.engine import DrySpeech
from broadcaster.voice.finish import at_station_rate, levelled
from broadcaster.voice.sound_file import read_sound_file
from broadcaster.voice.utterance import Utterance

SILENT_DB = -40.0
"""What is so far below a clip's loudest window counts as silence. Common practice, no source."""
WINDOW_FRAMES = RATE // 100
_MARGIN_WINDOWS = 2
"""How much stays of the silence before and after, for breath and echo to die away in."""
_EDGE_FRAMES = RATE // 200


class Recordings:
    """The engine `bank`; the name of its voice is the bank's folder."""

    needs_fresh_process = False

    def version(self, voice: str) -> str:
        """A digest of what lies in the folder: names, sizes and times of the last change."""
        digest = hashlib.sha256()
        try:
            for path in sorted(Path(voice).iterdir()):
                found = path.stat()
                digest.update(f"{path.name}/{found.st_size}/{found.st_mtime_ns}\n".encode())
        except OSError as error:
            raise SpeechError("", f"the bank {voice} cannot be read ({error.strerror}).") from error
        return f"bank {digest.hexdigest()[:16]}"

    def say(self, utterance: Utterance) -> DrySpeech:
        """The clips that say it, at RATE; 16 bits."""
        try:
            bank = read_bank(Path(utterance.engine_voice))
            samples = _joined(bank, utterance.text)
        except (ClipError, ScriptError, UsageError) as error:
            raise SpeechError(utterance.text, str(error)) from error
        return DrySpeech(np.round(samples * 32_767.0).astype(np.int16), RATE)


def samples_of_segment(segment: AudioSegment) -> Samples:
    """One channel of 32-bit frames as samples, shape (frames,), at RATE."""
    full_scale = -float(np.iinfo(np.int32).min)
    frames = np.frombuffer(segment.raw_data, dtype=np.int32).astype(np.float32) / full_scale
    return at_station_rate(frames.astype(np.float32), segment.frame_rate)


def sounding_windows(samples: Samples) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Whether each 10 ms of a sound is more than silence, shape (windows,); none if it is empty."""
    filled = np.zeros(-(-len(samples) // WINDOW_FRAMES) * WINDOW_FRAMES, np.float32)
    filled[: len(samples)] = samples
    powers = np.square(filled.reshape(-1, WINDOW_FRAMES)).mean(axis=1)
    floor = powers.max(initial=0.0) * gain_from_db(SILENT_DB) ** 2
    sounding: np.ndarray[tuple[int], np.dtype[np.bool_]] = powers > floor
    return sounding


def trimmed(samples: Samples) -> Samples:
    """The sound without the silence around it, but 20 ms; empty if there is nothing else."""
    windows = np.flatnonzero(sounding_windows(samples))
    if not windows.size:
        return samples[:0]
    first = max(0, windows[0] - _MARGIN_WINDOWS) * WINDOW_FRAMES
    return samples[first : (windows[-1] + 1 + _MARGIN_WINDOWS) * WINDOW_FRAMES]


def _joined(bank: Bank, text: str) -> Samples:
    pieces = bank.pieces(text)
    lacking = [piece.words for piece in pieces if piece.clip is None]
    if lacking:
        raise SpeechError(text, f"the bank {bank.folder.name} has no clip of {listed(lacking)}.")
    parts: list[Samples] = []
    for piece in pieces:
        if parts:
            gap_s = bank.sheet.comma_gap if piece.after_comma else bank.sheet.gap
            parts.append(silence(frames_from_seconds(gap_s)))
        if piece.clip:
            parts.append(_ready(piece.clip))
    return np.concatenate(parts) if parts else silence(0)


def _ready(path: Path) -> Samples:
    """A clip without silence around it, as loud as speech, with soft edges."""
    samples = trimmed(samples_of_segment(read_sound_file(path)))
    if not samples.size:
        raise ClipError(path, "there is nothing but silence in it")
    samples = levelled(samples)
    edge = min(_EDGE_FRAMES, len(samples) // 2)
    rising = np.linspace(0.0, 1.0, edge, endpoint=False, dtype=np.float32)
    samples[:edge] *= rising
    samples[len(samples) - edge :] *= rising[::-1]
    return samples
