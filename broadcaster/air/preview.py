"""An announcement as it would go out, to be heard beforehand: a process for each.

`python -m broadcaster.air.preview`, with a pickled Preview on its standard input; the desk does
that. What cannot be heard is told in a sentence on standard error.
"""

import pickle
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from broadcaster.errors import BroadcasterError, StationError

if TYPE_CHECKING:  # whoever asks for a preview need not load what makes one
    from broadcaster.air.items import Made
    from broadcaster.script.programme import Programme
    from broadcaster.story.cue import Cue
    from broadcaster.units import Samples

AROUND_S = 0.5
"""How much of the carrier is heard before and after. Chosen by ear."""


@dataclass(frozen=True, slots=True)
class Preview:
    """What is to be heard, and where."""

    programme: "Programme"
    text: str
    output: str
    """A device's name, or another output as the station has them."""
    cache_folder: Path | None


class _One:
    """An ItemSource of one announcement."""

    def __init__(self, made: "Made") -> None:
        self._made = made

    def expect(self, cues: "Sequence[Cue]") -> None:
        """It is there already."""

    def fetch(self, cue: "Cue") -> "Made | None":
        """The announcement."""
        del cue
        return self._made


def previewed(preview: Preview) -> "Samples":
    """The announcement in the station's voice and sound, shape (frames,), as it would go out.

    Raises StationError if it cannot be made.
    """
    from broadcaster.air.broadcast import Broadcast
    from broadcaster.air.items import Failure
    from broadcaster.air.preparing import maker
    from broadcaster.story.cue import Content, announced
    from broadcaster.story.events import Announce
    from broadcaster.units import frames_from_seconds
    from broadcaster.voice.cache import SpeechCache
    from broadcaster.voice.speaker import Speaker

    cache = SpeechCache(preview.cache_folder) if preview.cache_folder else None
    content = Content(announced(preview.text), preview.text, None)
    made = maker(preview.programme, Speaker(cache))(content)
    if isinstance(made, Failure):
        raise StationError(f"The announcement {made.sentence}.")
    around = frames_from_seconds(AROUND_S)
    length = len(made.samples) + 2 * around
    broadcast = Broadcast(preview.programme, _One(made), length=length)
    broadcast.receive(Announce(preview.text), around)
    return broadcast.render(length)


def play(samples: "Samples", output_name: str) -> None:
    """Play to the end. Raises UsageError for a name that no device has, StationError."""
    from broadcaster.air.outputs import open_output
    from broadcaster.air.paced_outputs import PERIOD_S
    from broadcaster.air.ring import Ring, pcm_from_samples
    from broadcaster.clock import SystemClock
    from broadcaster.units import RATE, seconds_from_frames, silence

    clock = SystemClock()
    output = open_output(output_name, clock)
    ring = Ring(len(samples))
    ring.write(pcm_from_samples(samples, output.side))
    output.start(ring, pcm_from_samples(silence(RATE)))
    deadline_s = clock.seconds() + seconds_from_frames(len(samples)) + 10 * PERIOD_S
    while ring.filled and clock.seconds() < deadline_s:
        clock.wait(PERIOD_S)
    clock.wait(2 * PERIOD_S)  # what the device holds is still to be heard
    output.close()
    if ring.filled:
        raise StationError(f"The output {output_name!r} fell silent.")


def main() -> int:
    """Make it, play it, and be gone; exit code."""
    preview: Preview = pickle.load(sys.stdin.buffer)
    from broadcaster.air.precedence import stay_behind

    stay_behind()
    try:
        play(previewed(preview), preview.output)
    except BroadcasterError as error:
        sys.stderr.write(f"{error}\n")
        return error.exit_code
    return 0


if __name__ == "__main__":
    # Pickled classes know this module by its name, not as __main__.
    from broadcaster.air.preview import main as run

    sys.exit(run())
