"""Key clicks: a carrier that comes or goes too abruptly is heard as a click."""

import numpy as np

from broadcaster.period.bands import BandLimit
from broadcaster.period.conditions import BED_DB, Conditions
from broadcaster.units import Samples, frames_from_seconds, gain_from_db, silence

_CELL_S = 0.002
_WITHIN = 3
"""Cells within which a sound has to come or go: 6 ms. A key whose edges take longer does not click
(edges of 5 ms are common practice, no source)."""
_STEP = np.float32(8.0)
"""By how much it must come or go: 18 dB. Chosen so that speech seldom clicks."""
_FAINTEST = np.float32(0.003)
"""What stays under this (-50 dB) makes no click: noise."""
_CLICK_S = 0.004


class KeyClicks:
    """A short pulse wherever the level leaps, up or down; its peak stands to the sound's peak.

    The level is the peak of each cell of 2 ms; the click begins when the cell is over.
    """

    latency = 0

    def __init__(
        self, level_db: float, band_hz: tuple[float, float], rate: float, conditions: Conditions
    ) -> None:
        pulse = silence(frames_from_seconds(_CLICK_S, rate))
        pulse[0] = 1.0
        click = BandLimit(*band_hz, 12.0, rate).process(pulse, 0)
        click *= 0.5 + 0.5 * np.cos(np.linspace(0.0, np.pi, len(click), dtype=np.float32))
        self._click = click / np.abs(click).max()
        self._cell = frames_from_seconds(_CELL_S, rate)
        self._level = conditions.following(
            lambda rough, _: gain_from_db(level_db + BED_DB * (rough - 1.0))
        )
        self._held: Samples | None = None
        """The magnitudes of the cell that is not whole yet."""
        self._peaks = silence(_WITHIN + 1)
        """The peaks of the last whole cells: enough to know whether the last one clicked."""
        self._ringing = silence(len(self._click))
        """What of earlier clicks is still to come."""

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block under its clicks."""
        if self._held is None:
            self._held = silence(frame % self._cell)
        gone = len(self._held)
        magnitudes = np.concatenate([self._held, np.abs(block)])
        whole = len(magnitudes) - len(magnitudes) % self._cell
        self._held = magnitudes[whole:]
        clicks = self._ringing
        if whole:
            peaks = magnitudes[:whole].reshape(-1, self._cell).max(axis=1)
            peaks = np.concatenate([self._peaks, peaks])
            self._peaks = peaks[-_WITHIN - 1 :]
            clicks = self._with_new(clicks, peaks, frame, gone)
        if clicks is self._ringing and not clicks.any():
            return block
        clicks = np.concatenate([clicks, silence(len(block))])
        self._ringing = clicks[len(block) : len(block) + len(self._click)]
        block += clicks[: len(block)]
        return block

    def _with_new(self, clicks: Samples, peaks: Samples, frame: int, gone: int) -> Samples:
        """The clicks to come with those that begin in this block; the same if there are none."""
        now, before = peaks[_WITHIN:], peaks[:-_WITHIN]
        loud = np.maximum(now, before)
        quiet = np.minimum(now, before)
        leaps = (loud > _FAINTEST) & (quiet * _STEP < loud)
        begins = np.flatnonzero(leaps[1:] & ~leaps[:-1])
        if not len(begins):
            return clicks
        out = silence((len(peaks) - _WITHIN) * self._cell + len(self._click))
        out[: len(clicks)] = clicks
        for cell in begins.tolist():
            start = (cell + 1) * self._cell - gone
            gain = self._level.read(frame + start, 1) * loud[cell + 1]
            if now[cell + 1] < before[cell + 1]:
                gain = -gain
            out[start : start + len(self._click)] += self._click * gain
        return out
