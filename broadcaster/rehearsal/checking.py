"""The check before the doors open: faults, proofs, and how long one waits for each clue."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from broadcaster.desk.faultless import speechless, unplayable
from broadcaster.desk.places import settings_file
from broadcaster.errors import Fault, ScriptError
from broadcaster.rehearsal.flashing import flash_advice
from broadcaster.rehearsal.lengths import Lengths
from broadcaster.rehearsal.never_sent import (
    never_sent,
    never_sent_advice,
    never_sent_faults,
)
from broadcaster.rehearsal.proof import Progress, prove
from broadcaster.rehearsal.proof_report import proof_advice, proof_faults
from broadcaster.rehearsal.tune_in_clues import ClueTimes, clue_times
from broadcaster.rehearsal.tune_in_report import has_bounds, tune_in_advice, tune_in_faults
from broadcaster.room.advice import settings_advice
from broadcaster.script.loading import Examination, examine
from broadcaster.script.names import counted
from broadcaster.script.programme import Programme
from broadcaster.script.venue_settings import read_settings

if TYPE_CHECKING:
    from broadcaster.rehearsal.clue_sound import ClueSound


@dataclass(frozen=True, slots=True)
class Report:
    """What a check found."""

    script: str
    programme: Programme | None
    faults: tuple[Fault, ...]
    advice: tuple[Fault, ...]
    clues: tuple[ClueTimes, ...] = ()
    """Those of segments that repeat, if they were asked for or the script sets a bound."""
    sound: "tuple[ClueSound, ...] | None" = None
    """Every clue as it is heard, if that was asked for."""

    def as_record(self) -> dict[str, Any]:
        """The report as plain values for JSON."""
        record: dict[str, Any] = {
            "faults": [_fault_record(fault) for fault in self.faults],
            "advice": [_fault_record(fault) for fault in self.advice],
            "segments": list(self.programme.segments) if self.programme else [],
            "clues": [_clue_record(clue) for clue in self.clues],
        }
        if self.sound is not None:
            record["sound"] = [_sound_record(clue) for clue in self.sound]
        return record

    def as_text(self) -> str:
        """The report as lines: faults, then advice, then a summary."""
        found = [str(fault) for fault in self.faults]
        found += [f"{fault} (advice)" for fault in self.advice]
        return "\n".join([*found, self._summary()])

    def _summary(self) -> str:
        if self.faults or self.programme is None:
            in_each = Counter(fault.place.file for fault in self.faults)
            return "; ".join(f"{file}: {counted(n, 'fault')}" for file, n in in_each.items()) + "."
        programme = self.programme
        items = [item for segment in programme.segments.values() for item in segment.play]
        clues = sum(item.clue is not None for item in items)
        return (
            f"{self.script}: no faults in {programme.programme!r}: "
            f"{counted(len(programme.segments), 'segment')}, "
            f"{counted(len(items), 'item')}, {counted(clues, 'clue')}."
        )


def check_script(
    script: str,
    lengths_of: Callable[[Programme], Lengths],
    *,
    clues: bool = False,
    sound_in: Path | None = None,
    settings: str | None = None,
    progress: Progress | None = None,
    listening: Callable[[int, int], None] | None = None,
) -> Report:
    """Read a script and everything it names, and prove what can be proved.

    `lengths_of`: what tells how long items are; asked only if `clues` are wanted or the script sets
    a bound for them, since what is not known yet must be made. `sound_in`: listen to every clue,
    and keep what was spoken and worked out for it in this folder. `settings`: the venue's, if not
    those that lie where desk.places.settings_file() looks. Raises UsageError for a file that cannot
    be opened.
    """
    examination = examine(script)
    programme = examination.programme
    if programme is None:
        return Report(script, None, examination.faults, examination.advice)
    silent_voices = speechless(examination)
    unmade = unplayable(examination)
    faults = [*examination.faults, *silent_voices, *unmade]
    proof = prove(programme, progress)
    faults += proof_faults(proof, examination)
    advice = [*examination.advice, *proof_advice(proof, examination)]
    never = tuple(never_sent(programme))
    faults += never_sent_faults(never, examination)
    advice += never_sent_advice(never, examination)
    try:
        advice += _venue_advice(settings_file(settings, script), programme, examination)
    except ScriptError as error:
        faults += error.faults
    times: tuple[ClueTimes, ...] = ()
    # With a voice that cannot speak, each of its items would be a fault of its own.
    if not silent_voices and (clues or has_bounds(programme)):
        lengths = lengths_of(programme)
        times = tuple(clue_times(programme, lengths.fetch))
        lengths.keep()
        faults += _new(tune_in_faults(times, examination), unmade)
        advice += tune_in_advice(times, examination)
    sound: tuple[ClueSound, ...] | None = None
    if sound_in is not None and not silent_voices:
        # What makes and weighs samples is loaded only for those who ask for it.
        from broadcaster.rehearsal.clue_sound import clue_sounds
        from broadcaster.rehearsal.clue_sound_report import clue_sound_advice, clue_sound_faults

        sound = tuple(clue_sounds(programme, sound_in, listening))
        faults += _new(clue_sound_faults(sound, examination), unmade)
        advice += clue_sound_advice(sound, examination)
    return Report(
        script, programme, tuple(sorted(set(faults))), tuple(sorted(set(advice))), times, sound
    )


def _new(found: Iterable[Fault], known: Iterable[Fault]) -> Iterator[Fault]:
    """Those at other places: why an item cannot be made is told with its cause already."""
    places = {fault.place for fault in known}
    return (fault for fault in found if fault.place not in places)


def _venue_advice(
    path: Path | None, programme: Programme, examination: Examination
) -> Iterator[Fault]:
    """What the venue's settings, if there are any, make of the script. Raises ScriptError."""
    if path is not None:
        settings = read_settings(path, programme)
        yield from settings_advice(path, settings)
        yield from flash_advice(settings, examination)


def _fault_record(fault: Fault) -> dict[str, Any]:
    return {
        "file": fault.place.file,
        "line": fault.place.line,
        "column": fault.place.column,
        "message": fault.message,
        "mend": fault.mend,
    }


def _clue_record(clue: ClueTimes) -> dict[str, Any]:
    return {
        "segment": clue.segment,
        "clue": clue.clue,
        **asdict(clue.times),
        "trouble": clue.trouble,
    }


def _sound_record(clue: "ClueSound") -> dict[str, Any]:
    rated = clue.rated
    return {
        "segment": clue.segment,
        "clue": clue.clue,
        "item": clue.kind,
        "text": clue.text,
        "readability": rated and round(rated.mean, 2),
        "worst": rated and round(rated.worst, 2),
        "over_bed_db": rated and round(rated.over_bed_db, 1),
        "wanted": clue.wanted,
        "roughness": clue.roughness,
        "strength": clue.strength,
        "strength_at_first": clue.strength_at_first,
        "readability_at_first": clue.rated_at_first and round(clue.rated_at_first.mean, 2),
        "trouble": clue.trouble,
    }
