"""The broadcast: story, items, period and transmitter as one stream that is pulled in blocks.

Nothing here knows of real time: the station pulls it at the pace of its output, a rehearsal as
fast as it can. Any cutting into blocks gives the same samples.
"""

import heapq
from collections import deque
from dataclasses import dataclass
from typing import TypedDict

import numpy as np

from broadcaster.air.items import Failure, ItemSource
from broadcaster.period.reception import Reception
from broadcaster.script.programme import Programme
from broadcaster.story.cue import Carrier, Cue
from broadcaster.story.events import Coming, InEvent, ItemAired, ItemStarted, OutEvent, Trouble
from broadcaster.story.machine import Story
from broadcaster.story.state import Turn
from broadcaster.transmitter.transmitter import Transmitter
from broadcaster.units import Samples, frames_from_seconds, seconds_from_frames, silence

FADE_FRAMES = frames_from_seconds(0.03)
"""How long a cut item takes to fade. Chosen by ear."""
BURST_FRAMES = frames_from_seconds(0.25)
"""The static that covers a cut. Chosen by ear."""
COVER_S = 0.1
"""How long the carrier covers for an item that is late, before it is asked for again."""
LATE_LIMIT_FRAMES = frames_from_seconds(10.0)
"""An item later than this is given up."""
FAILED_S = 2.0
"""How long the carrier stands in for an item that cannot be made."""
FORESEEN = 4
"""How many cues are prepared ahead."""
GUESSED_FRAMES = frames_from_seconds(4.0)
"""The length of an item that is not made yet, for looking ahead."""


@dataclass(slots=True)
class _OnAir:
    """The item on air. Without samples it is the carrier; without an end it lasts until cut."""

    cue: Cue
    start: int
    end: int | None
    samples: Samples | None = None
    fade_from: int | None = None
    awaited: Cue | None = None
    """The late item for which the carrier covers."""
    awaited_since: int = 0


class Broadcast:
    """One programme going out, pulled by render()."""

    def __init__(
        self, programme: Programme, items: ItemSource, *, seed: int = 0, length: int | None = None
    ) -> None:
        """`length`: frames after which the broadcast is over; None: until finish()."""
        if programme.period is None:
            raise ValueError("the programme has no period sound; read it through the script room")
        self._story = Story(programme)
        self._state = self._story.stand_by()
        self._items = items
        self._reception = Reception(programme.period, seed)
        self._transmitter = Transmitter()
        self._latency = self._reception.latency + self._transmitter.latency
        self._length = length
        self._frame = 0
        self._composed = 0
        self._agenda: list[tuple[int, int, InEvent]] = []
        self._agenda_count = 0
        self._told: deque[OutEvent] = deque()
        self._on_air = _OnAir(Cue("", Carrier(carrier=0.0), "stand by"), 0, None)
        self._wake: int | None = None
        self._coming: tuple[Cue, ...] = ()

    # --- for whoever pulls -----------------------------------------------------------------

    @property
    def frame(self) -> int:
        """Frames rendered so far."""
        return self._frame

    @property
    def over(self) -> bool:
        """Whether every frame of a broadcast of known length is rendered."""
        return self._length is not None and self._frame >= self._length

    def receive(self, event: InEvent, frame: int | None = None) -> None:
        """Take an event in: on its frame, or (None, or a frame gone by) as soon as may be.

        Events on the same frame are obeyed in the order in which they were received.
        """
        moment = max(self._composed, frame or 0)
        heapq.heappush(self._agenda, (moment, self._agenda_count, event))
        self._agenda_count += 1

    def finish(self) -> None:
        """End the broadcast with what is composed by now."""
        if not self._past_end():
            self._length = self._composed
            self._close(self._composed)

    def take_events(self) -> list[OutEvent]:
        """What happened since last asked, in order."""
        told = list(self._told)
        self._told.clear()
        return told

    def render(self, frames: int) -> Samples:
        """The next frames; fewer (or none) where the broadcast ends."""
        if self._composed == 0:
            self._process(self._latency)
        if self._length is not None:
            frames = min(frames, max(0, self._length - self._frame))
        block = self._process(frames)
        self._frame += frames
        return block

    def _process(self, frames: int) -> Samples:
        first = self._composed
        dry = self._compose(frames)
        return self._transmitter.process(self._reception.process(dry, first), first)

    # --- composing the dry programme -------------------------------------------------------

    def _compose(self, frames: int) -> Samples:
        block = silence(frames)
        start = self._composed
        stop = start + frames
        while self._composed < stop and not self._past_end():
            now = self._composed
            self._obey(now)
            if self._on_air.end is not None and now >= self._on_air.end:
                self._cross_border(now)
            until = min(stop, self._next_moment())
            self._mix(block[now - start : until - start], now)
            self._composed = until
            if self._past_end():
                self._close(self._composed)
        self._composed = stop
        return block

    def _past_end(self) -> bool:
        return self._length is not None and self._composed >= self._length

    def _next_moment(self) -> int:
        moments = [self._on_air.end, self._wake, self._length]
        if self._agenda:
            moments.append(self._agenda[0][0])
        return min(moment for moment in (*moments, 1 << 62) if moment is not None)

    def _mix(self, block: Samples, now: int) -> None:
        on_air = self._on_air
        if on_air.samples is None or not len(block):
            return
        offset = now - on_air.start
        block += on_air.samples[offset : offset + len(block)]
        if on_air.fade_from is not None:
            gone = np.arange(now, now + len(block)) - on_air.fade_from
            block *= np.cos(gone * (np.pi / 2 / FADE_FRAMES)).astype(np.float32)

    # --- what the story decides --------------------------------------------------------------

    def _obey(self, now: int) -> None:
        while self._agenda and self._agenda[0][0] <= now:
            event = heapq.heappop(self._agenda)[2]
            self._take(self._story.receive(self._state, event, now), now)
        if self._wake is not None and now >= self._wake:
            self._take(self._story.tick(self._state, now), now)

    def _take(self, turn: Turn, now: int) -> None:
        self._state = turn.state
        self._told.extend(turn.events)
        if turn.cut:
            self._cut(now)
        self._look_ahead(now)

    def _cut(self, now: int) -> None:
        on_air = self._on_air
        on_air.awaited = None
        if on_air.samples is None:
            on_air.end = now
        elif on_air.end is not None and on_air.end - now > FADE_FRAMES:
            on_air.fade_from = now
            on_air.end = now + FADE_FRAMES
            self._reception.disturb(now, BURST_FRAMES)

    def _cross_border(self, now: int) -> None:
        """The item on air is over: what was awaited, or what the story wants next."""
        was = self._on_air
        self._close(now)
        if was.awaited:
            self._begin(was.awaited, now, was.awaited_since)
        else:
            turn = self._story.advance(self._state, now)
            self._state = turn.state
            self._told.extend(turn.events)
            if turn.cue:
                self._begin(turn.cue, now, now)
            else:
                self._air(_OnAir(Cue("", Carrier(carrier=0.0), "stand by"), now, None))
        self._look_ahead(now)

    def _begin(self, cue: Cue, now: int, since: int) -> None:
        if isinstance(cue.item, Carrier):
            self._air(_carrier(cue, now, cue.item.carrier))
            return
        made = self._items.fetch(cue)
        if made is None and now - since >= LATE_LIMIT_FRAMES:
            waited = seconds_from_frames(now - since)
            made = Failure(f"was not ready after {waited:.0f} s")
        if made is None:
            self._wait_for(cue, now, since)
        elif isinstance(made, Failure):
            self._tell_trouble(cue, now, made.sentence)
            self._air(_carrier(_stand_in(cue), now, FAILED_S))
        else:
            self._air(_OnAir(cue, now, now + len(made), made))

    def _wait_for(self, cue: Cue, now: int, since: int) -> None:
        if now == since:
            self._tell_trouble(cue, now, "is not ready yet")
        covering = _carrier(_stand_in(cue), now, COVER_S)
        covering.awaited, covering.awaited_since = cue, since
        self._air(covering)

    def _tell_trouble(self, cue: Cue, now: int, what: str) -> None:
        clue = f" (the clue {cue.item.clue!r})" if cue.item.clue else ""
        sentence = f"The {cue.item.kind} {cue.text!r}{clue} {what}; the carrier stands in."
        self._told.append(Trouble(now, sentence))

    def _air(self, on_air: _OnAir) -> None:
        self._on_air = on_air
        if on_air.end is not None:
            self._told.append(ItemStarted(on_air.start, on_air.end, **_described(on_air.cue)))

    def _close(self, now: int) -> None:
        """Write the as-run entry of the item on air."""
        on_air = self._on_air
        if now == on_air.start:
            return
        complete = on_air.fade_from is None and (on_air.end is None or on_air.end <= now)
        self._told.append(ItemAired(on_air.start, now, **_described(on_air.cue), complete=complete))

    # --- looking ahead -----------------------------------------------------------------------

    def _look_ahead(self, now: int) -> None:
        wait = self._story.frames_until_change(self._state, now)
        self._wake = now + wait if wait else None
        border = max(now, self._on_air.end or now)
        foreseen = self._story.foresee(self._state, border, FORESEEN, self._length_of)
        if self._on_air.awaited:
            foreseen = (self._on_air.awaited, *foreseen)
        self._items.expect((*foreseen, *self._story.entries(self._state, border)))
        if foreseen != self._coming:
            self._coming = foreseen
            cues = tuple((cue.segment, cue.item.kind, cue.text) for cue in foreseen)
            self._told.append(Coming(now, cues))

    def _length_of(self, cue: Cue) -> int:
        if isinstance(cue.item, Carrier):
            return frames_from_seconds(cue.item.carrier)
        return GUESSED_FRAMES


def _carrier(cue: Cue, now: int, seconds: float) -> _OnAir:
    return _OnAir(cue, now, now + max(1, frames_from_seconds(seconds)))


def _stand_in(cue: Cue) -> Cue:
    """The carrier in the place of an item that is late or cannot be made."""
    return Cue(cue.segment, Carrier(carrier=0.0), "carrier", round=cue.round)


class _Description(TypedDict):
    segment: str
    item: str
    text: str
    clue: str | None
    time: int
    times: int
    round: int


def _described(cue: Cue) -> _Description:
    """What as-run events tell of a cue."""
    return {
        "segment": cue.segment,
        "item": cue.item.kind,
        "text": cue.text,
        "clue": cue.item.clue,
        "time": cue.time,
        "times": cue.item.times,
        "round": cue.round,
    }
