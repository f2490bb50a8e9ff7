"""Any item into its samples: a table from each kind of item to what makes it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from broadcaster.errors import StationError, UnreadableError
from broadcaster.script.alphabets import REST, note_hertz
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.programme import (
    Clip,
    Groups,
    IntervalSignal,
    Item,
    Morse,
    Pause,
    Pips,
    Say,
    Spell,
    Tone,
)
from broadcaster.script.protected import imitated, strips_of
from broadcaster.script.values import chord_hertz
from broadcaster.sound.clip import clip
from broadcaster.sound.keying import keying
from broadcaster.sound.level import at_level
from broadcaster.sound.morse import tone_of
from broadcaster.sound.pips import time_signal
from broadcaster.sound.tone import steady_tone
from broadcaster.sound.tune import INSTRUMENTS, tune
from broadcaster.story.cue import Carrier
from broadcaster.units import Samples, frames_from_seconds, seconds_from_frames, silence
from broadcaster.voice.engine import Announcer
from broadcaster.voice.reading import NO_PHRASES, read_groups, read_spelling, read_text
from broadcaster.voice.sound_file import LONGEST_S


@dataclass(frozen=True, slots=True)
class Copy:
    """What a maker may need beside the item."""

    text: str
    """What the item carries, with the facts' values in their places."""
    voice: VoiceProfile | None
    folder: Path
    """Where clips lie."""
    speaker: Announcer
    phrases: Mapping[str, str]
    """What the voice is given instead of words that it says wrongly."""

    @property
    def announcer(self) -> VoiceProfile:
        """The voice of an item that speaks."""
        if self.voice is None:
            raise StationError("an item that speaks was given no voice")
        return self.voice


def make_item(
    item: Item,
    text: str,
    voice: VoiceProfile | None,
    folder: Path,
    speaker: Announcer,
    phrases: Mapping[str, str] = NO_PHRASES,
) -> Samples:
    """One item, once, at its level; `times` is for the caller.

    text: what the item carries, with the facts' values filled in (cue.text_of). voice: who speaks;
    None for an item that does not. folder: where clips lie. phrases: see voice/phrases.py.

    Shape (frames,) with at least one frame, peak within +-1.0; a pure function of its arguments and
    the clip's file. Raises SpeechError, ClipError, and StationError for a text that cannot be sent,
    tones that must not, and Morse or a tune of more than LONGEST_S.
    """
    if signal := imitated(strips_of(item)):
        raise StationError(f"the {item.kind} {text!r} would imitate {signal}")
    try:
        samples = MAKERS[type(item)](item, Copy(text, voice, folder, speaker, phrases))
    except UnreadableError as error:
        raise StationError(f"the {item.kind} item {text!r} cannot go out: {error}") from error
    return at_level(samples if len(samples) else silence(1), item.level)


def _say(item: Say, copy: Copy) -> Samples:
    return read_text(copy.text, copy.announcer, item.rate, copy.speaker, copy.phrases)


def _groups(item: Groups, copy: Copy) -> Samples:
    return read_groups(
        copy.text,
        copy.announcer,
        figures=item.figures,
        gap=item.gap,
        group_gap=item.group_gap,
        rate=item.rate,
        speaker=copy.speaker,
        readings=item.readings,
        phrases=copy.phrases,
    )


def _spell(item: Spell, copy: Copy) -> Samples:
    return read_spelling(
        copy.text, copy.announcer, gap=item.gap, rate=item.rate, speaker=copy.speaker
    )


def _morse(item: Morse, copy: Copy) -> Samples:
    keyed = keying(copy.text, item.speed, item.spacing)
    _refuse_long(item, keyed.frames)
    return tone_of(keyed, item.tone)


def _interval_signal(item: IntervalSignal, copy: Copy) -> Samples:
    notes = copy.text.split()
    _refuse_long(item, frames_from_seconds(len(notes) * 60.0 / item.tempo))
    pitches_hz = [None if note == REST else note_hertz(note) for note in notes]
    return tune(pitches_hz, item.tempo, INSTRUMENTS[item.instrument])


def _refuse_long(item: Item, frames: int) -> None:
    """Refuse what would fill the memory that the station keeps ready items in."""
    seconds = seconds_from_frames(frames)
    if seconds > LONGEST_S:
        raise StationError(
            f"the {item.kind} would last {seconds / 60:.0f} min; "
            f"up to {LONGEST_S // 60} min are allowed"
        )


def _tone(item: Tone, copy: Copy) -> Samples:
    return steady_tone(chord_hertz(copy.text), item.for_)


def _pips(item: Pips, _copy: Copy) -> Samples:
    return time_signal(item.pips)


def _clip(item: Clip, copy: Copy) -> Samples:
    return clip(copy.folder / item.clip, item.from_, item.to)


def _pause(item: Pause, _copy: Copy) -> Samples:
    return silence(frames_from_seconds(item.pause))


def _carrier(item: Carrier, _copy: Copy) -> Samples:
    return silence(frames_from_seconds(item.carrier))


MAKERS: Mapping[type[Item], Callable[[Any, Copy], Samples]] = {
    Say: _say,
    Groups: _groups,
    Spell: _spell,
    Morse: _morse,
    IntervalSignal: _interval_signal,
    Tone: _tone,
    Pips: _pips,
    Clip: _clip,
    Pause: _pause,
    Carrier: _carrier,
}
"""What makes each kind of item."""
