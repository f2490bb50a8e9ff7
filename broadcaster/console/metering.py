"""The output's level as a meter shows it: the last peak, and the highest of a few seconds."""

from collections import deque

from broadcaster.console.parts import OutputView
from broadcaster.console.words import one_line
from broadcaster.story.events import OutputState
from broadcaster.units import seconds_from_frames

HOLD_S = 3.0
"""How long a peak is held. Common practice, no source."""


class Metering:
    """Follows the output's reports; times are seconds of the desk's clock."""

    def __init__(self, now_s: float) -> None:
        self._peaks: deque[tuple[float, float]] = deque()
        self.state: OutputState | None = None
        self.told_s = now_s

    def hear(self, state: OutputState, now_s: float) -> None:
        """Take a report."""
        self.state, self.told_s = state, now_s
        self._peaks.append((now_s, state.peak_dbfs))
        while now_s - self._peaks[0][0] > HOLD_S:
            self._peaks.popleft()

    def view(self, now_s: float) -> OutputView | None:
        """What is shown; None: nothing was told yet."""
        state = self.state
        if state is None:
            return None
        return OutputView(
            name=one_line(state.output),
            playing=state.playing,
            underruns=state.underruns,
            buffered_s=seconds_from_frames(state.buffered_frames),
            peak_dbfs=state.peak_dbfs,
            held_peak_dbfs=max(peak for _, peak in self._peaks),
            rms_dbfs=state.rms_dbfs,
            quiet_for_s=now_s - self.told_s,
        )
