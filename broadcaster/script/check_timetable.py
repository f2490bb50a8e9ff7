"""Whether each entry of the timetable says once when it is due and what happens, and comes due."""

from collections.abc import Iterator
from typing import TypeVar

from broadcaster.errors import Fault
from broadcaster.script.durations import written_seconds
from broadcaster.script.forms import Form
from broadcaster.script.names import clipped, known_names, listed
from broadcaster.script.programme import TimetableEntry
from broadcaster.script.scene import Scene, Written

F = TypeVar("F", bound=Form)

_SAYING = ("when it is due", "what happens")
"""What an entry says with each of the keys of which it has exactly one."""


def timetable_faults(scene: Scene) -> Iterator[Fault]:
    """Entries without a time, with two, with nothing to do, or that never come due."""
    for entry in scene.timetable:
        for keys, what in zip(entry.form.exactly_one, _SAYING, strict=True):
            yield from one_of(entry, keys, what)
        yield from out_of_place(entry)
        if "play" in entry and not entry.form.play and entry.could_read("play"):
            yield entry.fault("play", "This entry has nothing to play.", "Add an item.")
        segment = entry.form.segment
        if segment is not None and segment not in scene.segment_names:
            known = known_names(segment, scene.segment_names)
            yield entry.fault("segment", f"There is no segment {clipped(segment)}.", known)
        yield from _too_late(entry, scene)


def one_of(entry: Written[F], keys: tuple[str, ...], what: str) -> Iterator[Fault]:
    """An entry that has none of these keys, of which it needs one, or several."""
    written = [key for key in entry.node.values if key in keys]
    if not written and all(entry.could_read(key) for key in keys):
        yield Fault(
            entry.place(), f"This entry does not say {what}.", f"Add one of {listed(keys)}."
        )
    for key in written[1:]:
        yield Fault(
            entry.node.keys[key].place,
            f"`{written[0]}` and `{key}` both say {what}.",
            "Take one of the two out, or make two entries.",
        )


def out_of_place(entry: Written[F]) -> Iterator[Fault]:
    """Keys of an entry that stand without the key to which they belong."""
    for key, owner in entry.form.belongs.items():
        if key in entry and owner not in entry and entry.could_read(owner):
            yield Fault(
                entry.node.keys[key].place,
                f"`{key}` belongs to `{owner}`, which is not here.",
                f"Add `{owner}`, or take `{key}` out.",
            )


def _too_late(entry: Written[TimetableEntry], scene: Scene) -> Iterator[Fault]:
    """Session times that lie beyond the session."""
    form, session_s = entry.form, scene.script.form.session
    first = {"at": form.at, "from": form.from_, "every": form.every}
    if form.from_ is not None:
        del first["every"]
    for key, first_s in first.items():
        if first_s is not None and first_s >= session_s and scene.script.could_read("session"):
            yield entry.fault(
                key,
                f"This never comes due: the session lasts {written_seconds(session_s)}.",
                "Make it earlier, or the session longer.",
            )
