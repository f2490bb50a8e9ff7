"""The picture of the period sounds: the same sentence through each, as a sheet of spectrograms."""

from collections.abc import Callable, Mapping
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from broadcaster.period.reception import Reception
from broadcaster.rehearsal.picture_image import SHADES, png
from broadcaster.rehearsal.picture_svg import FAINT, HEADLINE, INK, Sheet, fitted
from broadcaster.script.programme import Say
from broadcaster.script.shelves import shipped_voices
from broadcaster.script.sounds import Sound
from broadcaster.sound.make import make_item
from broadcaster.transmitter.making_up import make_up_db
from broadcaster.transmitter.transmitter import Transmitter
from broadcaster.units import RATE, Samples, db_from_power, frames_from_seconds, silence
from broadcaster.voice.speaker import Speaker

SENTENCE = "Heron calling all keepers. Four, one, nine, seven, two."
VOICE = "keeper"

HIGHEST_HZ = 8_000
"""The top of each spectrogram."""
FAINTEST_DB, LOUDEST_DB = -100.0, -30.0
"""Paper and ink: the power of a line 25 Hz wide against a full-scale sine. Chosen by eye."""
_WINDOW = frames_from_seconds(0.04)
_HOP = frames_from_seconds(0.01)
_BEFORE_S, _AFTER_S = 0.5, 1.2
"""Of noise alone, around the sentence."""

_PANEL = (380.0, 150.0)
_COLUMNS = 3
_LEFT, _ABOVE = 52.0, 42.0
_PITCH = (_PANEL[0] + 72.0, _PANEL[1] + 92.0)
_MARGIN, _HEAD = 26.0, 84.0
_LABEL, _SMALL = 11.0, 9.0

Progress = Callable[[int, int], None]


def _untold(_done: int, _total: int) -> None:
    """Nobody wants to know."""


def spoken_sentence() -> Samples:
    """SENTENCE as VOICE speaks it, with the time before and behind it; shape (frames,)."""
    item = Say.model_validate({"say": SENTENCE})
    with Speaker(cache=None) as speaker:
        speech = make_item(item, SENTENCE, shipped_voices()[VOICE], Path(), speaker)
    edges = (silence(frames_from_seconds(seconds)) for seconds in (_BEFORE_S, _AFTER_S))
    before, after = edges
    return np.concatenate([before, speech, after])


def on_air(sound: Sound, programme: Samples) -> Samples:
    """A programme as it leaves the transmitter through a sound, in step with the programme."""
    reception, transmitter = Reception(sound, seed=1), Transmitter(make_up_db=make_up_db(sound))
    late = reception.latency + transmitter.latency
    stream = np.concatenate([programme, silence(late)])
    return transmitter.process(reception.process(stream, 0), 0)[late:]


def spectrogram_db(samples: Samples) -> NDArray[np.float64]:
    """Levels in dB against a full-scale sine, shape (lines, moments), the highest line first.

    Lines 25 Hz apart up to HIGHEST_HZ, moments 10 ms apart; Hann windows of 40 ms.
    """
    windows = np.lib.stride_tricks.sliding_window_view(samples, _WINDOW)[::_HOP]
    hann = np.hanning(_WINDOW)
    lines = np.fft.rfft(windows * hann, axis=1)[:, : HIGHEST_HZ * _WINDOW // RATE]
    power = np.square(np.abs(lines) / (hann.sum() / 2.0))
    return db_from_power(power.T[::-1])


def sounds_picture(
    sounds: Mapping[str, Sound], programme: Samples, progress: Progress = _untold
) -> Sheet:
    """A sheet with a spectrogram of a programme through each sound, its axes labelled.

    `programme`: dry, shape (frames,). `progress` hears how many sounds are done, and of how many.
    """
    rows = -(-len(sounds) // _COLUMNS)
    sheet = Sheet(_MARGIN + _COLUMNS * _PITCH[0], _HEAD + rows * _PITCH[1], "Period sounds")
    _head(sheet)
    for done, (name, sound) in enumerate(sounds.items()):
        progress(done, len(sounds))
        row, column = divmod(done, _COLUMNS)
        corner = (
            _MARGIN + column * _PITCH[0] + _LEFT,
            _HEAD + row * _PITCH[1] + _ABOVE,
        )
        sheet.text((corner[0], corner[1] - 22), name, size=16, bold=True, face=HEADLINE)
        about = fitted(sound.about, _PITCH[0] - _LEFT, _SMALL)
        sheet.text((corner[0], corner[1] - 8), about, size=_SMALL)
        levels = spectrogram_db(on_air(sound, programme))
        sheet.image(corner, _PANEL, png(_shade(levels)))
        _axes(sheet, corner, len(programme) / RATE)
    progress(len(sounds), len(sounds))
    return sheet


def _shade(levels_db: NDArray[np.float64]) -> NDArray[np.uint8]:
    part = (levels_db - FAINTEST_DB) / (LOUDEST_DB - FAINTEST_DB)
    shades: NDArray[np.uint8] = np.rint(np.clip(part, 0.0, 1.0) * (SHADES - 1)).astype(np.uint8)
    return shades


def _head(sheet: Sheet) -> None:
    sheet.text((_MARGIN, 40), "Period sounds", size=26, bold=True, face=HEADLINE)
    sheet.text((_MARGIN, 62), f"“{SENTENCE}” by the voice {VOICE}, as it goes out.", size=12)
    width, x = 160.0, sheet.width - 250.0
    ramp = np.tile(np.arange(SHADES, dtype=np.uint8), (8, 1))
    sheet.image((x, 34), (width, 12), png(ramp))
    sheet.rect((x, 34), (width, 12), stroke=FAINT)
    for place, level in ((x, FAINTEST_DB), (x + width, LOUDEST_DB)):
        sheet.text((place, 62), f"{level:.0f} dB", size=_LABEL, anchor="middle")


def _axes(sheet: Sheet, corner: tuple[float, float], length_s: float) -> None:
    """A frame, hertz at its left and seconds below it."""
    (x, y), (width, height) = corner, _PANEL
    sheet.rect(corner, _PANEL, stroke=INK)
    for hertz in range(0, HIGHEST_HZ + 1, 2000):
        level = y + height * (1.0 - hertz / HIGHEST_HZ)
        sheet.line([(x - 4, level), (x, level)])
        label = f"{hertz} Hz" if hertz == HIGHEST_HZ else str(hertz)
        sheet.text((x - 7, level + 4), label, size=_LABEL, anchor="end")
    for second in range(int(length_s) + 1):
        place = x + width * second / length_s
        sheet.line([(place, y + height), (place, y + height + 4)])
        label = f"{second} s" if second == int(length_s) else str(second)
        sheet.text((place, y + height + 16), label, size=_LABEL, anchor="middle")
