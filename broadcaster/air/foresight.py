"""What playout sees coming: it has that made ahead, and tells of it what has changed."""

from collections.abc import Iterable
from dataclasses import replace
from itertools import islice

from broadcaster.air.items import ItemSource
from broadcaster.air.lengths import Lengths
from broadcaster.air.on_air import OnAir
from broadcaster.story.cue import Cue, announced
from broadcaster.story.events import Announce, Coming, HintReady, InEvent, OutEvent, Part, RoundEnds
from broadcaster.story.machine import Story
from broadcaster.story.state import State

FORESEEN = 4
"""How many cues are prepared ahead."""
MOST_IN_A_ROUND = 100
"""How many items of a round are looked through for its end."""


class Foresight:
    """Looks ahead from where the story stands; remembers what it told last."""

    def __init__(self, story: Story, items: ItemSource, lengths: Lengths) -> None:
        self._story = story
        self._items = items
        self._lengths = lengths
        self._coming: tuple[Cue, ...] = ()
        self._hint: HintReady | None = None
        self._round: RoundEnds | None = None

    def look(
        self, state: State, now: int, on_air: OnAir, announcements: Iterable[Cue]
    ) -> list[OutEvent]:
        """What is to be told of what comes. `announcements`: those that are known beforehand."""
        border = max(now, on_air.end or now)
        foreseen = self._story.foresee(state, border, FORESEEN, self._lengths.of)
        if on_air.awaited:
            foreseen = (on_air.awaited, *foreseen)
        entries = self._story.entries(state, border)
        hint, hint_cue = self._story.hint_ready(state, now)
        hints = (hint_cue,) if hint_cue else ()
        self._items.expect((*foreseen, *hints, *islice(announcements, FORESEEN), *entries))
        news = [self._news_of_hint(hint), self._news_of_round(state, now, border)]
        return [*self._news_of_cues(foreseen, now), *(event for event in news if event)]

    def _news_of_cues(self, foreseen: tuple[Cue, ...], now: int) -> list[OutEvent]:
        if foreseen == self._coming:
            return []
        self._coming = foreseen
        return [Coming(now, tuple((cue.segment, cue.item.kind, cue.text) for cue in foreseen))]

    def _news_of_hint(self, hint: HintReady) -> OutEvent | None:
        told = self._hint
        if told and replace(hint, frame=told.frame) == told:
            return None
        self._hint = hint
        return hint

    def _news_of_round(self, state: State, now: int, border: int) -> OutEvent | None:
        self._lengths.guessed = False
        end = self._story.round_end(state, border, self._lengths.of, MOST_IN_A_ROUND)
        ends, told = RoundEnds(now, end, not self._lengths.guessed), self._round
        if told and replace(ends, frame=told.frame) == told:
            return None
        self._round = ends
        return ends


def announcements_among(agenda: Iterable[InEvent]) -> Iterable[Cue]:
    """What is announced by events still to come, so that it can be made beforehand."""
    for event in agenda:
        if isinstance(event, Announce):
            yield Cue("", announced(event.text), event.text, part=Part.ANNOUNCEMENT)
