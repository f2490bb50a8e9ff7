"""What a listener hears of an item: programme and noise, apart, at several moments of reception.

Where a fade stands while an item goes out is luck. So the item is heard in stretches, each at
another moment, and rated by all of them. The moments are always the same ones: the same item in the
same sound is always heard alike.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from broadcaster.listening.link import through_link
from broadcaster.period.reception import Reception
from broadcaster.script.sounds import Sound
from broadcaster.transmitter.transmitter import Transmitter
from broadcaster.units import Samples, frames_from_seconds, gain_from_db, silence

_APART_FRAMES = frames_from_seconds(61.0)
"""From one moment to the next: far enough for the slowest fade to stand elsewhere."""
_LEAD_FRAMES = frames_from_seconds(1.0)
"""What went out before the first stretch, so that every follower has settled."""
_WINDOW = frames_from_seconds(0.02)
_SOUNDING_DB = -30.0
"""Windows of an item so far below its loudest are pauses, in which there is nothing to copy."""
_EDGE_FRAMES = frames_from_seconds(0.002)
STRETCH_FRAMES = frames_from_seconds(1.0)
"""What is heard at one moment: STOI asks for 0.4 s of speech."""
_PARTS = 8
"""Of an item that is too long to be heard whole."""


@dataclass(frozen=True, slots=True)
class Way:
    """What lies between the studio and the listener."""

    sound: Sound
    seed: int
    make_up_db: float
    """The transmitter's, for this sound."""


@dataclass(frozen=True, slots=True)
class Heard:
    """A stretch of an item at the listener's ear; all of shape (frames,), in step."""

    dry: Samples
    """As it left the studio."""
    received: Samples
    """As it is heard: `programme` and `noise` together."""
    programme: Samples
    """What of it comes from the item."""
    noise: Samples
    """What of it would be there without it."""


def _sounding(item: Samples, longest: int) -> Samples:
    """An item without its pauses, its parts joined without a click: shape (frames,).

    Of a longer one than `longest`, parts that are spread evenly over it.
    """
    if not item.any():
        raise ValueError("what is silent cannot be heard")
    whole = np.concatenate([item, silence(-len(item) % _WINDOW)]).reshape(-1, _WINDOW)
    powers = np.square(whole).mean(axis=1)
    loud = powers > powers.max() * gain_from_db(_SOUNDING_DB) ** 2
    borders = np.flatnonzero(np.diff(loud, prepend=False, append=False)) * _WINDOW
    runs = [item[start:stop] for start, stop in borders.reshape(-1, 2)]
    joined = _joined(runs)
    if len(joined) <= longest:
        return joined
    starts = np.linspace(0, len(joined) - longest // _PARTS, _PARTS).astype(int)
    return _joined([joined[start : start + longest // _PARTS] for start in starts])


def _joined(parts: Sequence[Samples]) -> Samples:
    """One part after another, each with short edges."""
    edge = np.linspace(0.0, 1.0, _EDGE_FRAMES, dtype=np.float32)
    edged = [part.copy() for part in parts]
    for part in edged:
        length = min(_EDGE_FRAMES, len(part))
        part[:length] *= edge[:length]
        part[len(part) - length :] *= edge[:length][::-1]
    return np.concatenate(edged)


def shared_out(item: Samples, moments: int) -> list[Samples]:
    """What sounds of an item, cut into a short stretch for each moment.

    Of an item that is shorter, more is made by repeating it. Raises ValueError for a silent one.
    """
    frames = moments * STRETCH_FRAMES
    return np.array_split(np.resize(_sounding(item, frames), frames), moments)


class Listener:
    """Somebody who hears the same stretches of an item again and again, more or less roughly."""

    def __init__(self, stretches: Sequence[Samples], way: Way) -> None:
        self.stretches = stretches
        self._way = way

    def hear(self, roughness: float, strength: float) -> list[Heard]:
        """Every stretch at its moment.

        Programme and noise are told apart by sending the item once as it is and once with its sign
        changed: what changes sign with it is programme (B. Hagerman and A. Olofsson, "A method to
        measure the effect of noise reduction algorithms using simultaneous speech and noise", Acta
        Acustica 90, 2004; from memory). That holds behind fading and automatic gain, too.
        """
        upright = self._received(np.float32(1.0), roughness, strength)
        turned = self._received(np.float32(-1.0), roughness, strength)
        programme = (upright - turned) * np.float32(0.5)
        noise = (upright + turned) * np.float32(0.5)
        heard = []
        start = 0
        for dry in self.stretches:
            here = slice(start, start + len(dry))
            heard.append(Heard(dry, upright[here], programme[here], noise[here]))
            start += len(dry)
        return heard

    def _received(self, sign: np.float32, roughness: float, strength: float) -> Samples:
        """All stretches one after another, shape (frames,), in step with what was sent."""
        way = self._way
        reception = Reception(way.sound, way.seed, roughness=roughness, strength=strength)
        transmitter = Transmitter(make_up_db=way.make_up_db)
        latency = reception.latency + transmitter.latency
        lead = np.resize(self.stretches[-1], _LEAD_FRAMES)
        blocks = [lead, *self.stretches]
        blocks[-1] = np.concatenate([blocks[-1], silence(latency)])
        frame = 0
        parts = []
        for moment, block in enumerate(blocks):
            frame = max(frame, moment * _APART_FRAMES)
            parts.append(transmitter.process(reception.process(block * sign, frame), frame))
        on_air = np.concatenate(parts)[latency + _LEAD_FRAMES :]
        return through_link(on_air, way.seed)
