"""How texts, groups and spellings are read: cut into utterances, with the pauses between them."""

import re
from collections.abc import Sequence

import numpy as np

from broadcaster.script.profiles import VoiceProfile
from broadcaster.units import Samples, frames_from_seconds, silence
from broadcaster.voice.engine import Announcer
from broadcaster.voice.figures import FiguresMode, spelled
from broadcaster.voice.utterance import clean, is_speakable, utterance_of

_MAY_END_SENTENCE = re.compile(r"""(?P<word>\w*)[.!?…]+["'”’)\]]*\s+(?=["'“‘(\[]*(?P<next>\w))""")
_ABBREVIATIONS = frozenset({"Capt", "Dr", "Lt", "Mr", "Mrs", "Ms", "No", "St"})


def read_text(text: str, profile: VoiceProfile, rate: int | None, speaker: Announcer) -> Samples:
    """A text, sentence by sentence: shape (frames,), ends with the profile's pause.

    rate: words a minute, None for the profile's own. Raises SpeechError, also for a text with
    nothing to say in it.
    """
    said = [sentence for sentence in sentences(clean(text)) if is_speakable(sentence)] or [text]
    return _read([said], profile, rate, speaker, gap=profile.sentence_gap, group_gap=0.0)


def read_groups(
    groups: str,
    profile: VoiceProfile,
    *,
    figures: FiguresMode | None,
    gap: float | None,
    group_gap: float | None,
    rate: int | None,
    speaker: Announcer,
) -> Samples:
    """Groups of figures, each figure an utterance: shape (frames,), ends with the profile's pause.

    Exactly `gap` seconds of silence between the figures of a group, `group_gap` between groups.
    None stands for the profile's own. Letters are said by the spelling alphabet. Raises
    SpeechError, also for a character that cannot be read singly.
    """
    return _read(
        spelled(groups, figures or profile.figures),
        profile,
        rate,
        speaker,
        gap=profile.figure_gap if gap is None else gap,
        group_gap=profile.group_gap if group_gap is None else group_gap,
    )


def read_spelling(
    text: str, profile: VoiceProfile, gap: float | None, rate: int | None, speaker: Announcer
) -> Samples:
    """A text by the spelling alphabet: words are read as read_groups() reads groups."""
    return read_groups(
        text, profile, figures=None, gap=gap, group_gap=None, rate=rate, speaker=speaker
    )


def sentences(text: str) -> list[str]:
    """A text cut after the ends of its sentences: . ! ? or an ellipsis, a space, no small letter.

    Not after an initial or a usual abbreviation (`J. Marsh`, `St. Osyth`); what is not cut here
    is left to the engine, which makes its own pause if it takes the place for an end.
    """
    cuts = [
        found.end()
        for found in _MAY_END_SENTENCE.finditer(text)
        if not found["next"].islower()
        and found["word"] not in _ABBREVIATIONS
        and not (len(found["word"]) == 1 and found["word"].isupper())
    ]
    return [
        text[start:end].strip() for start, end in zip([0, *cuts], [*cuts, len(text)], strict=True)
    ]


def _read(
    groups: Sequence[Sequence[str]],
    profile: VoiceProfile,
    rate: int | None,
    speaker: Announcer,
    *,
    gap: float,
    group_gap: float,
) -> Samples:
    """Each word an utterance, with gaps between them and the profile's pause at the end."""
    parts: list[Samples] = []
    for group in groups:
        if parts:
            parts.append(silence(frames_from_seconds(group_gap)))
        for number, word in enumerate(group):
            if number:
                parts.append(silence(frames_from_seconds(gap)))
            parts.append(speaker.speak(utterance_of(word, profile, rate)))
    parts.append(silence(frames_from_seconds(profile.pause)))
    return np.concatenate(parts)
