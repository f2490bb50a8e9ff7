"""The check before the doors open: every fault in a script, its clips included."""

from dataclasses import dataclass
from typing import Any

from broadcaster.errors import Fault, ScriptError
from broadcaster.script.loading import Examination, examine
from broadcaster.script.names import clipped
from broadcaster.script.programme import Clip, Programme


@dataclass(frozen=True, slots=True)
class Report:
    """What a check found."""

    script: str
    programme: Programme | None
    faults: tuple[Fault, ...]
    advice: tuple[Fault, ...]

    def as_record(self) -> dict[str, Any]:
        """The report as plain values for JSON."""
        return {
            "faults": [_record(fault) for fault in self.faults],
            "advice": [_record(fault) for fault in self.advice],
            "segments": list(self.programme.segments) if self.programme else [],
        }

    def as_text(self) -> str:
        """The report as lines: faults, then advice, then a summary."""
        found = [str(fault) for fault in self.faults]
        found += [f"{fault} (advice)" for fault in self.advice]
        return "\n".join([*found, self._summary()])

    def _summary(self) -> str:
        if self.faults or self.programme is None:
            return f"{self.script}: {counted(len(self.faults), 'fault')}."
        programme = self.programme
        items = sum(len(segment.play) for segment in programme.segments.values())
        clues = sum(
            item.clue is not None
            for segment in programme.segments.values()
            for item in segment.play
        )
        return (
            f"{self.script}: no faults in {programme.programme!r}: "
            f"{counted(len(programme.segments), 'segment')}, "
            f"{counted(items, 'item')}, {counted(clues, 'clue')}."
        )


def counted(count: int, noun: str) -> str:
    """`1 segment`, `2 segments`."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def check_script(script: str) -> Report:
    """Read a script and everything it names. Raises UsageError for a file that cannot be opened."""
    examination = examine(script)
    faults = list(examination.faults)
    if examination.programme:
        faults += _unreadable_clips(examination)
    return Report(script, examination.programme, tuple(sorted(faults)), examination.advice)


def faultless_programme(script: str) -> Programme:
    """The programme of a script that can go out as it is, clips and all.

    Raises UsageError for a file that cannot be opened, ScriptError with every fault in it.
    """
    report = check_script(script)
    if report.faults or report.programme is None:
        raise ScriptError(report.faults)
    return report.programme


def _unreadable_clips(examination: Examination) -> list[Fault]:
    """Clips that are there but cannot be played; sound/ is loaded only for a script with clips."""
    programme = examination.programme
    if programme is None or not any(
        isinstance(item, Clip) for segment in programme.segments.values() for item in segment.play
    ):
        return []
    from broadcaster.sound.clip_file import clip_faults

    return [
        Fault(
            examination.place_of("segments", fault.segment, "play", fault.place, "clip"),
            f"The clip {clipped(fault.error.path.name)} cannot be played: {fault.error.reason}.",
            "Save it again as WAV, FLAC, Ogg Vorbis or MP3.",
        )
        for fault in clip_faults(programme)
    ]


def _record(fault: Fault) -> dict[str, Any]:
    return {
        "file": fault.place.file,
        "line": fault.place.line,
        "column": fault.place.column,
        "message": fault.message,
        "mend": fault.mend,
    }
