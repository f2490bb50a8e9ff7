"""A script becomes a programme: its form, its meaning and all it names are checked in one pass."""

from collections.abc import Iterator
from collections.abc import Mapping as AnyMapping
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from broadcaster.errors import Fault, Place, ScriptError
from broadcaster.script.building import MOST_FAULTS, build
from broadcaster.script.casting import cast_voices, period_sound
from broadcaster.script.cautions import text_cautions
from broadcaster.script.check_conditions import condition_advice, condition_faults
from broadcaster.script.check_facts import fact_advice, fact_faults
from broadcaster.script.check_flow import flow_advice, flow_faults
from broadcaster.script.check_items import item_faults
from broadcaster.script.check_milestones import milestone_advice, milestone_faults
from broadcaster.script.check_reception import reception_advice, reception_faults
from broadcaster.script.check_supplies import phrase_advice, supply_advice, supply_faults
from broadcaster.script.check_timetable import timetable_faults
from broadcaster.script.comments import comment_advice
from broadcaster.script.including import read_script
from broadcaster.script.programme import Programme
from broadcaster.script.protected import first_imitation
from broadcaster.script.scene import Scene
from broadcaster.script.shelves import find_script, name_to_tell
from broadcaster.script.tree import Mapping, Node, Sequence

# Where one of these is missing or faulty, the rest of the script is checked with it.
_STAND_INS: AnyMapping[str, object] = {
    "programme": "untitled",
    "station": {"callsign": "untitled", "frequency": "100 MHz", "voice": "unknown"},
    "opening": "unknown",
    "segments": {},
}


@dataclass(frozen=True, slots=True)
class Examination:
    """What came of reading a script."""

    programme: Programme | None
    """The programme; None if there are faults."""
    faults: tuple[Fault, ...]
    """What must be mended, in the order of places."""
    advice: tuple[Fault, ...]
    """What may be meant as it is."""
    tree: Node | None = None
    """What was read, with the place of each key and value."""

    def place_of(self, *steps: str | int) -> Place:
        """Where a part of the programme is written, by the keys and indexes that lead to it.

        Raises KeyError or IndexError for what was not written.
        """
        node = self.tree
        for step in steps:
            if isinstance(node, Mapping):
                node = node.values[str(step)]
            elif isinstance(node, Sequence) and isinstance(step, int):
                node = node.items[step]
            else:
                raise KeyError(step)
        if node is None:
            raise KeyError(*steps)
        return node.place

    def key_place_of(self, *steps: str) -> Place:
        """Where the key is written behind which a part of the programme stands.

        Raises KeyError for what was not written.
        """
        node = self.tree
        for step in steps[:-1]:
            node = node.values[step] if isinstance(node, Mapping) else None
        if not isinstance(node, Mapping):
            raise KeyError(*steps)
        return node.keys[steps[-1]].place


def load_programme(script: str | Path) -> Programme:
    """The programme of a script, given its path or the name of one that ships.

    Raises UsageError for a file that cannot be opened, ScriptError with every fault in it.
    """
    examination = examine(script)
    if examination.programme is None:
        raise ScriptError(examination.faults)
    return examination.programme


def examine(script: str | Path) -> Examination:
    """Read a script and everything it names, and say all there is to say about it.

    Raises UsageError for a file that cannot be opened.
    """
    path = find_script(script)
    try:
        tree, faults, complete = read_script(path, name_to_tell(script, path))
    except ScriptError as error:
        return Examination(None, error.faults, ())
    advice = [*comment_advice(tree)]
    built = build(tree, Programme, stand_ins=_STAND_INS)
    faults += built.faults
    if built.form is None or not isinstance(tree, Mapping):
        return Examination(None, tuple(sorted(faults)), tuple(sorted(advice)), tree)
    scene = Scene(built.form, tree, path.parent)
    cast, voice_faults = cast_voices(scene)
    sound, sound_faults = period_sound(scene)
    meaning = _meaning(scene) if complete else ()
    faults += [*islice(meaning, MOST_FAULTS), *voice_faults, *sound_faults]
    advice += [*text_cautions(scene), *supply_advice(scene)]
    if faults:
        return Examination(None, tuple(sorted(faults)), tuple(sorted(advice)), tree)
    for more in (flow_advice, fact_advice, condition_advice, milestone_advice, reception_advice):
        advice += more(scene)
    supplies = {"cast": cast, "period": sound, "folder": path.parent}
    programme = built.form.model_copy(update=supplies)
    advice += phrase_advice(scene, programme)
    return Examination(programme, (), tuple(sorted(advice)), tree)


_CHECKS = (
    flow_faults,
    item_faults,
    fact_faults,
    condition_faults,
    milestone_faults,
    timetable_faults,
    reception_faults,
    supply_faults,
)


def _meaning(scene: Scene) -> Iterator[Fault]:
    for check in _CHECKS:
        yield from check(scene)
    yield from _protected(scene)


def _protected(scene: Scene) -> Iterator[Fault]:
    orders = [(segment.items, segment.written.form.repeat) for segment in scene.segments]
    orders += [(segment.hints, False) for segment in scene.segments]
    orders += [(entry.parts("play", entry.form.play), False) for entry in scene.timetable]
    for parts, repeat in orders:
        found = first_imitation([part.form for part in parts], repeat=repeat)
        if found:
            place, signal = found
            yield parts[place].fault(
                parts[place].form.kind,
                f"Here the tones would imitate {signal}.",
                "It calls real help or warns of real danger: choose other tones.",
            )
