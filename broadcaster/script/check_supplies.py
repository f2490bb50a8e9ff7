"""Whether what the script calls for is there: clips, and settings that fit each other."""

from collections.abc import Iterator
from pathlib import Path, PurePosixPath, PureWindowsPath

from broadcaster.errors import Fault
from broadcaster.script.names import clipped, known_names
from broadcaster.script.phrases import stands_in
from broadcaster.script.programme import Clip, Groups, Item, Morse, Programme, Say, SpokenItem
from broadcaster.script.scene import Scene, Written
from broadcaster.script.values import written_hertz

_FM_BAND_HERTZ = (87.5e6, 108.0e6)  # Rec. ITU-R BS.450; ERC/REC 70-03; 47 CFR 15.239 from 88 MHz


def supply_faults(scene: Scene) -> Iterator[Fault]:
    """Clips that are not there or lie elsewhere, and options that contradict each other."""
    for part in scene.items():
        match part.form:
            case Clip():
                yield from _clip_faults(part.form, part, scene.folder)
            case Morse():
                yield from _morse_faults(part.form, part)


def _morse_faults(item: Morse, part: Written[Item]) -> Iterator[Fault]:
    if item.spacing is not None and item.spacing > item.speed:
        yield part.fault(
            "spacing",
            f"`spacing` is {item.spacing:g} wpm, faster than the characters at {item.speed:g} wpm.",
            "Spacing is the overall speed: make it slower, or take it out.",
        )


def _clip_faults(item: Clip, part: Written[Item], folder: Path) -> Iterator[Fault]:
    if item.to is not None and item.to <= item.from_:
        yield part.fault("to", "`to` is not after `from`.", "Both are times in the clip.")
    trouble = _clip_trouble(item.clip, folder)
    if trouble:
        message, mend = trouble
        yield part.fault("clip", f"{clipped(item.clip)} {message}", mend)


def _clip_trouble(path: str, folder: Path) -> tuple[str, str] | None:
    """What is wrong with a clip's path, and how to mend it."""
    if PurePosixPath(path).is_absolute() or PureWindowsPath(path).drive or "\\" in path:
        return (
            "is not a path from the script's folder.",
            "Put the clip beside the script and write its path with `/`: `clips/bell.wav`.",
        )
    clip = folder / path
    try:
        if not clip.resolve().is_relative_to(folder.resolve()):
            return "lies outside the script's folder.", "Put the clip beside the script."
        if clip.is_dir():
            return "is a folder.", "Name a file in it."
        if not clip.is_file():
            return "does not exist.", _clips_beside(clip)
    except (OSError, RuntimeError) as error:  # a name that is too long; a link to itself
        reason = error.strerror if isinstance(error, OSError) else error
        return f"cannot be looked for: {reason}.", "Give the clip a plain name."
    return None


def _clips_beside(clip: Path) -> str:
    """The clip that was probably meant."""
    if not clip.parent.is_dir():
        return f"There is no folder {clipped(clip.parent.name)}."
    return known_names(clip.name, sorted(path.name for path in clip.parent.iterdir()))


def supply_advice(scene: Scene) -> Iterator[Fault]:
    """A frequency to which a broadcast receiver does not tune."""
    station = scene.station
    if station is None:
        return
    lowest, highest = _FM_BAND_HERTZ
    if not lowest <= station.form.frequency <= highest:
        yield station.fault(
            "frequency",
            f"{written_hertz(station.form.frequency)} lies outside the FM broadcast band.",
            f"Local rules decide; the band is {written_hertz(lowest)} to {written_hertz(highest)}.",
        )


def phrase_advice(scene: Scene, programme: Programme) -> Iterator[Fault]:
    """Phrases that no text has in which they would be respelled, in a script without faults."""
    texts = [text for _, item in programme.items() for text in _spoken(programme, item)]
    texts.append(programme.plain_voice_text)
    for phrase in programme.phrases:
        if not stands_in(phrase, texts):
            yield Fault(
                scene.key_place("phrases", phrase),
                f"{clipped(phrase)} stands in no text that is spoken.",
                "Write it as the texts do, or take it out.",
            )


def _spoken(programme: Programme, item: Item) -> Iterator[str]:
    """What of an item the phrases are for: its words, names in them, and what is said between."""
    language = programme.cast[programme.station.voice].language
    if not isinstance(item, SpokenItem) or programme.language_of(item) != language:
        return
    if isinstance(item, Say):
        yield item.say.source
        for value in item.say.facts:
            yield from programme.facts[value.name].one_of
    if isinstance(item, Groups):
        yield programme.voice_of(item).say_again or ""
