"""The session's clock, how long something has left, and where in an item the voice is."""

from collections import deque
from collections.abc import Sequence

from broadcaster.console.paging import word_at
from broadcaster.console.parts import AirView, CueView
from broadcaster.console.words import one_line
from broadcaster.story.events import Coming, ItemStarted, SessionClock
from broadcaster.units import seconds_from_frames

REMEMBERED = 32
"""How many starts and stops are kept; more than a station tells ahead."""


class SessionTime:
    """What the session's clock shows on any frame, from what was told of its starts and stops."""

    def __init__(self) -> None:
        self._told: deque[SessionClock] = deque(maxlen=REMEMBERED)

    def hear(self, clock: SessionClock) -> None:
        """It starts or stops; what is told again counts once."""
        if clock not in self._told:
            self._told.append(clock)

    def at(self, frame: int) -> float | None:
        """Seconds of session time on a frame; None before the first session and after a reset."""
        if not self._told:
            return None
        clock = next((one for one in reversed(self._told) if one.frame <= frame), self._told[0])
        if not clock.running and not clock.session_frames:
            return None
        since = max(0, frame - clock.frame) if clock.running else 0
        return seconds_from_frames(clock.session_frames + since)


def left_s(end_frame: int | None, heard: int) -> float | None:
    """Seconds until a frame is heard; None: it is not known which."""
    return None if end_frame is None else max(0.0, seconds_from_frames(end_frame - heard))


def air_view(item: ItemStarted, heard: int) -> AirView:
    """An item while it is heard."""
    text = one_line(item.text)
    return AirView(
        segment=item.segment,
        kind=item.item,
        text=text,
        clue=one_line(item.clue) if item.clue else None,
        part=item.part,
        time=item.time,
        times=item.times,
        round=item.round,
        start_frame=item.start_frame,
        length_s=seconds_from_frames(item.end_frame - item.start_frame),
        elapsed_s=seconds_from_frames(heard - item.start_frame),
        place=_place_of_voice(item, text, heard),
        readability=item.readability,
    )


def cue_views(coming: Coming) -> tuple[CueView, ...]:
    """What goes out next."""
    return tuple(CueView(segment, kind, one_line(text)) for segment, kind, text in coming.cues)


def _place_of_voice(item: ItemStarted, text: str, heard: int) -> int:
    """Where in the text (the item's, on one line) the word begins that is said on a frame.

    By the engine's own times where it told them, else reckoned by time.
    """
    since = heard - item.start_frame
    if item.words:
        return _place_of_word(item.words, text, since)
    length = item.end_frame - item.start_frame
    return word_at(text, min(1.0, since / length) if length > 0 else 1.0)


def _place_of_word(words: Sequence[tuple[int, str]], text: str, since: int) -> int:
    """Words are looked for in their order; one that is spoken otherwise than it is written takes
    the place of the one before it."""
    place = after = 0
    for frames, word in words:
        if frames > since:
            break
        found = text.find(word, after) if word else -1
        if found >= 0:
            place, after = found, found + len(word)
    return place
