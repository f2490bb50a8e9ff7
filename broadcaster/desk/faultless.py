"""A script that can go out as it is: no fault in it, and every clip can be played."""

from broadcaster.errors import Fault, ScriptError
from broadcaster.script.loading import Examination, examine
from broadcaster.script.names import clipped
from broadcaster.script.programme import Clip, Programme


def faultless_programme(script: str) -> Programme:
    """The programme of a script that can go out as it is, clips and all.

    Raises UsageError for a file that cannot be opened, ScriptError with every fault in it.
    """
    examination = examine(script)
    faults = [*examination.faults, *unreadable_clips(examination)]
    if faults or examination.programme is None:
        raise ScriptError(sorted(faults))
    return examination.programme


def unreadable_clips(examination: Examination) -> list[Fault]:
    """Clips that are there but cannot be played; sound/ is loaded only for a script with clips."""
    programme = examination.programme
    if programme is None or not any(isinstance(item, Clip) for _, item in programme.items()):
        return []
    from broadcaster.sound.clip_file import clip_faults

    return [
        Fault(
            examination.place_of(*fault.steps, "clip"),
            f"The clip {clipped(fault.error.path.name)} cannot be played: {fault.error.reason}.",
            "Save it again as WAV, FLAC, Ogg Vorbis or MP3.",
        )
        for fault in clip_faults(programme)
    ]
