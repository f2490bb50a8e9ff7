"""A script that can go out as it is: no fault in it, its voices speak, its clips can be played."""

from broadcaster.errors import Fault, ScriptError
from broadcaster.script.loading import Examination, examine
from broadcaster.script.names import clipped, listed
from broadcaster.script.programme import Clip, Programme
from broadcaster.script.shelves import voice_files
from broadcaster.script.voice_profiles import voice_place


def faultless_programme(script: str) -> Programme:
    """The programme of a script that can go out as it is, clips and all.

    Raises UsageError for a file that cannot be opened, ScriptError with every fault in it.
    """
    examination = examine(script)
    faults = [*examination.faults, *speechless(examination), *unplayable(examination)]
    if faults or examination.programme is None:
        raise ScriptError(sorted(faults))
    return examination.programme


def speechless(examination: Examination) -> list[Fault]:
    """Voices that cannot speak at all, each at the line of its own file that is to be mended."""
    programme = examination.programme
    if programme is None:
        return []
    from broadcaster.voice.voice_faults import voice_faults

    files = voice_files(programme.folder)
    return [
        Fault(
            voice_place(files[fault.voice], fault.key, "engine"),
            f"The voice `{fault.voice}` cannot speak: {fault.reason}",
            "`broadcaster voices --engine` lists what it knows."
            if fault.engine == "espeak"
            else "Name another in this file.",
        )
        for fault in voice_faults(programme)
    ]


def unplayable(examination: Examination) -> list[Fault]:
    """Clips that cannot be played, and words for which a recorded voice has no clip."""
    return [*_unreadable_clips(examination), *_unrecorded_words(examination)]


def _unrecorded_words(examination: Examination) -> list[Fault]:
    """voice/ is loaded only for a script with a recorded voice."""
    programme = examination.programme
    if programme is None or all(voice.engine != "bank" for voice in programme.cast.values()):
        return []
    from broadcaster.voice.bank_faults import bank_faults

    return [
        Fault(
            examination.place_of(*fault.steps, fault.kind),
            f"The voice `{fault.voice}` has no clip of {listed(fault.lacking)}.",
            "Record what is missing, or write `fallback: espeak` in the file of the voice.",
        )
        for fault in bank_faults(programme)
    ]


def _unreadable_clips(examination: Examination) -> list[Fault]:
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
