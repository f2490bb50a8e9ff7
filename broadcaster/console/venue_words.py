"""The stations of a venue, each in a few words: what it does, where, and whether it needs somebody.

What came from a broker may be anything; whatever is not as it should be is left out.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from broadcaster.console.words import one_line
from broadcaster.room.mqtt_venue import VenueLine, Word
from broadcaster.units import seconds_from_frames, session_clock

CLOSE_MHZ = 0.4
"""Nearer than this two stations disturb each other where both are strong: from here on one may be
20 dB stronger (Rec. ITU-R BS.412-9, Table 3, from memory)."""
SILENT_S = 5.0
"""A station tells how it stands each second; after so long without a word that is news."""


@dataclass(frozen=True, slots=True)
class Row:
    """One station."""

    name: str
    callsign: str
    programme: str
    megahertz: float | None
    segment: str
    clock: str
    """The session's; empty: there is none."""
    state: str
    alarm: bool
    """Whether somebody should look."""


def rows_of(line: VenueLine) -> list[Row]:
    """All stations, as far as the line knows."""
    return [row_of(word, line.known_s) for word in line.stations()]


def row_of(word: Word, now_s: float) -> Row:
    """A station's row at a moment."""
    record = word.record
    session = _text(record, "session")
    alarms = list(_alarms(word, now_s))
    frequency = record.get("frequency")
    return Row(
        name=one_line(word.name),
        callsign=_text(record, "callsign") or one_line(word.name),
        programme=_text(record, "programme"),
        megahertz=frequency / 1e6 if isinstance(frequency, int | float) else None,
        segment=_text(record, "segment"),
        clock=_clock(word, now_s) if session in ("on air", "held", "ended") else "",
        state="; ".join(alarms) or _state(record, session),
        alarm=bool(alarms),
    )


def too_close(rows: Sequence[Row]) -> list[Row]:
    """The stations that have another one too near on the dial."""
    return [row for row in rows if any(_disturbs(row, other) for other in rows)]


def _disturbs(row: Row, other: Row) -> bool:
    if row is other or row.megahertz is None or other.megahertz is None:
        return False
    return round(abs(row.megahertz - other.megahertz), 3) < CLOSE_MHZ


def too_close_words(rows: Sequence[Row]) -> str:
    """Which stations are too near to each other, in a sentence; empty: none are."""
    crowd = sorted(too_close(rows), key=lambda row: row.megahertz or 0.0)
    named = [f"{row.callsign} at {row.megahertz:g} MHz" for row in crowd]
    return f"Too close on the dial: {', '.join(named)}." if named else ""


def _state(record: Mapping[str, Any], session: str) -> str:
    if _text(record, "station") == "closed":
        return "off air"
    return {"on air": "on air", "held": "held", "ended": "stands by (ended)"}.get(
        session, "stands by"
    )


def _alarms(word: Word, now_s: float) -> Iterator[str]:
    """What somebody should look at, the gravest first."""
    record = word.record
    station = _text(record, "station")
    if station == "closed":
        return
    if station != "on air":
        yield "NO WORD: its desk is not heard"
        return
    if now_s - word.heard_s > SILENT_S:
        yield "SILENT: it tells nothing any more"
    if record.get("plain_voice"):
        yield "PLAIN VOICE"
    output = _mapping(record, "output")
    if output.get("playing") is False:
        yield "OUTPUT STOPPED"
    milestones = _mapping(record, "milestones")
    if _text(record, "session") in ("on air", "held"):
        for state in ("stalled", "overdue"):
            names = [one_line(str(name)) for name, is_ in milestones.items() if is_ == state]
            if names:
                yield f"{state}: {', '.join(names)}"
    underruns = output.get("underruns")
    if isinstance(underruns, int) and underruns > 0:
        yield f"{underruns} underruns"


def _clock(word: Word, now_s: float) -> str:
    """The session's clock now, reckoned from when it was told."""
    clock, output = _mapping(word.record, "clock"), _mapping(word.record, "output")
    frames, at, heard = clock.get("session_frames"), clock.get("frame"), output.get("heard_frame")
    if not isinstance(frames, int):
        return ""
    shown_s = seconds_from_frames(frames)
    if clock.get("running") and isinstance(at, int) and isinstance(heard, int):
        since_s = 0.0 if word.kept else min(SILENT_S, now_s - word.heard_s)
        shown_s += seconds_from_frames(max(0, heard - at)) + since_s
    return session_clock(shown_s)


def _text(record: Mapping[str, Any], key: str) -> str:
    value = record.get(key)
    return one_line(value) if isinstance(value, str) else ""


def _mapping(record: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    value = record.get(key)
    return value if isinstance(value, dict) else {}


def line_of(row: Row) -> str:
    """A station in a line, for a screen reader or a pipe."""
    parts = [f"{row.callsign} ({row.name})", row.programme, row.segment]
    if row.clock:
        parts.append(f"session {row.clock}")
    return ", ".join(part for part in (*parts, row.state) if part)
