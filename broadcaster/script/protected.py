"""Tones that no game may send: signals that call real help, or warn of real danger.

Imitating them is forbidden whatever the power of the transmitter. They are found in what an item
would sound like, and in what the items of a running order would sound like one after another;
recorded clips are not looked into.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from broadcaster.script.alphabets import REST, note_hertz
from broadcaster.script.items import Choose, IntervalSignal, Item, Pause, SetFacts, Tone
from broadcaster.script.values import chord_hertz

# 47 CFR 11.31(a)(2): 853 and 960 Hz together; imitation forbidden by 11.45(a).
_ATTENTION = "the attention signal of the Emergency Alert System (853 and 960 Hz together)"
_ATTENTION_HZ = (853.0, 960.0)
_ATTENTION_WITHIN_HZ = 10.0

# 47 CFR 80.317: 2,200 and 1,300 Hz in turn, 250 ms each. The limits here are wider than those of
# the real signal (80.221: 1.5 %, 10 ms), since what nearly is one is taken for one.
_TELEPHONE_ALARM = "the radiotelephone alarm (2,200 and 1,300 Hz in turn, four a second)"
_TELEPHONE_HZ = (2200.0, 1300.0)
_TELEPHONE_WITHIN = 0.03
_TELEPHONE_S = (0.15, 0.35)
_TELEPHONE_TONES = 4

# 47 CFR 80.317: twelve dashes of 4 s, 1 s apart; three of them are taken for an alarm.
_TELEGRAPH_ALARM = "the radiotelegraph alarm (dashes of 4 s, 1 s apart)"
_DASH_S = (3.5, 4.5)
_DASH_GAP_S = (0.8, 1.2)
_DASHES = 3

_LONGEST_PATTERN = max(_TELEPHONE_TONES, 2 * _DASHES - 1)
_MOST_WAYS = 64


@dataclass(frozen=True, slots=True)
class Strip:
    """A stretch of sound: the tones in it (none: a pause) and how long it lasts."""

    tones_hz: tuple[float, ...]
    seconds: float


_OTHER = Strip((), math.inf)


def first_imitation(play: Sequence[Item], *, repeat: bool) -> tuple[int, str] | None:
    """The first item with which a running order would imitate a protected signal, and which signal.

    What may stay out is tried both ways, and every variant of a `choose`. Where there are more
    than _MOST_WAYS ways through the last few items, the rest of them are not tried.
    """
    ways: list[tuple[Strip, ...]] = [()]
    for _ in range(_LONGEST_PATTERN if repeat else 1):
        for place, item in enumerate(play):
            stays_out = ways if item.when or item.once or item.every else []
            for _ in range(min(item.times, _LONGEST_PATTERN)):
                ways = [(*way, *strips) for way in ways for strips in _variants_of(item)]
                signal = next(filter(None, map(imitated, ways)), None)
                if signal:
                    return place, signal
                ways = list(dict.fromkeys(map(_tail, ways)))[:_MOST_WAYS]
            ways = list(dict.fromkeys([*ways, *stays_out]))
    return None


def _variants_of(item: Item) -> list[list[Strip]]:
    return [strips_of(each) for each in (item.choose if isinstance(item, Choose) else (item,))]


def _tail(strips: tuple[Strip, ...]) -> tuple[Strip, ...]:
    """The last strips of which a pattern may still come."""
    last = strips[-_LONGEST_PATTERN:]
    ends = [place for place, strip in enumerate(last, 1) if strip == _OTHER]
    return last[ends[-1] :] if ends else last


def strips_of(item: Item) -> list[Strip]:
    """What an item sounds like, as far as protected signals are concerned."""
    match item:
        case Tone():
            return [Strip(chord_hertz(item.tone), item.for_)]
        case IntervalSignal():
            beat_s = 60.0 / item.tempo
            notes = item.interval_signal.split()
            return [Strip(() if note == REST else (note_hertz(note),), beat_s) for note in notes]
        case Pause():
            return [Strip((), item.pause)]
        case SetFacts():
            return []
        case _:
            return [_OTHER]


def imitated(strips: Sequence[Strip]) -> str | None:
    """The protected signal that a row of strips would imitate, if any."""
    if any(_is_attention(strip) for strip in strips):
        return _ATTENTION
    if any(_is_telephone_alarm(row) for row in _rows(strips, _TELEPHONE_TONES)):
        return _TELEPHONE_ALARM
    if any(_is_telegraph_alarm(row) for row in _rows(strips, 2 * _DASHES - 1)):
        return _TELEGRAPH_ALARM
    return None


def _rows(strips: Sequence[Strip], length: int) -> Iterator[tuple[Strip, ...]]:
    """Every so many strips in a row."""
    return zip(*(strips[start:] for start in range(length)), strict=False)


def _is_attention(strip: Strip) -> bool:
    return all(
        any(abs(tone_hz - wanted_hz) <= _ATTENTION_WITHIN_HZ for tone_hz in strip.tones_hz)
        for wanted_hz in _ATTENTION_HZ
    )


def _is_telephone_alarm(row: Sequence[Strip]) -> bool:
    if not all(len(strip.tones_hz) == 1 and _within(strip.seconds, _TELEPHONE_S) for strip in row):
        return False
    return any(
        all(
            math.isclose(strip.tones_hz[0], in_turn[place % 2], rel_tol=_TELEPHONE_WITHIN)
            for place, strip in enumerate(row)
        )
        for in_turn in (_TELEPHONE_HZ, _TELEPHONE_HZ[::-1])
    )


def _is_telegraph_alarm(row: Sequence[Strip]) -> bool:
    return all(
        len(strip.tones_hz) == 1 and _within(strip.seconds, _DASH_S) for strip in row[::2]
    ) and all(not strip.tones_hz and _within(strip.seconds, _DASH_GAP_S) for strip in row[1::2])


def _within(seconds: float, limits_s: tuple[float, float]) -> bool:
    return limits_s[0] <= seconds <= limits_s[1]
