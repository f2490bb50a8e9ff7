"""How texts, groups and spellings are read: cut into utterances, with the pauses between them."""

import re
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

import numpy as np

from broadcaster.script.phrases import respelled
from broadcaster.script.profiles import Readings, VoiceProfile
from broadcaster.units import Samples, frames_from_seconds, silence
from broadcaster.voice.bank import read_bank
from broadcaster.voice.engine import Announcer
from broadcaster.voice.figures import FiguresMode, groups_in, spelled
from broadcaster.voice.utterance import clean, is_speakable, utterance_of

NO_PHRASES: Mapping[str, str] = MappingProxyType({})

_MAY_END_SENTENCE = re.compile(r"""(?P<word>\w*)[.!?…]+["'”’)\]]*\s+(?=["'“‘(\[]*(?P<next>\w))""")
_ABBREVIATIONS = frozenset({"Capt", "Dr", "Lt", "Mr", "Mrs", "Ms", "No", "St"})

# espeak loses, without a word, what goes beyond some 1,000 phonemes between two marks. How many a
# character may become, by its Unicode category, was measured on texts that repeat one thing (777,
# BBC, a.b, emoji, Chinese in an English voice), 100 and 400 times; _BREATH leaves a margin.
_BREATH = 600
_PHONEMES = {"Ll": 1, "Lm": 1, "Mc": 1, "Mn": 1, "Lu": 3, "Nd": 7, "Lo": 12}
_PHONEMES_OF_A_SIGN = 30


def read_text(
    text: str,
    profile: VoiceProfile,
    rate: int | None,
    speaker: Announcer,
    phrases: Mapping[str, str] = NO_PHRASES,
) -> Samples:
    """A text, sentence by sentence: shape (frames,), ends with the profile's pause.

    rate: words a minute, None for the profile's own. phrases: see respelled(). Raises SpeechError,
    also for a text with nothing to say in it.
    """
    said = _said(respelled(text, phrases)) or [text]
    parts = _spoken(said, profile, rate, speaker, profile.sentence_gap)
    return np.concatenate([*parts, silence(frames_from_seconds(profile.pause))])


def read_groups(
    groups: str,
    profile: VoiceProfile,
    *,
    figures: FiguresMode | None,
    gap: float | None,
    group_gap: float | None,
    rate: int | None,
    speaker: Announcer,
    readings: Readings | None = None,
    phrases: Mapping[str, str] = NO_PHRASES,
) -> Samples:
    """Groups of figures, each figure an utterance: shape (frames,), ends with the profile's pause.

    Exactly `gap` seconds of silence between the figures of a group, `group_gap` between groups and
    between their readings. None stands for the profile's own. Letters are said by the language's
    alphabet. Before a second reading comes the profile's `say_again`, phrases respelled in it.
    Raises SpeechError, also for a character that cannot be read singly.
    """
    words = _singly(groups, profile, figures or profile.figures)
    figure_gap = profile.figure_gap if gap is None else gap
    after_group = silence(
        frames_from_seconds(profile.group_gap if group_gap is None else group_gap)
    )
    parts: list[Samples] = []
    for turn in _turns(len(words), readings or profile.readings):
        if parts:
            parts.append(after_group)
        if turn.again and profile.say_again:
            wording = _said(respelled(profile.say_again, phrases))
            parts += _spoken(wording, profile, rate, speaker, profile.sentence_gap)
            parts.append(silence(frames_from_seconds(profile.sentence_gap)))
        parts += _spoken(words[turn.group], profile, rate, speaker, figure_gap)
    return np.concatenate([*parts, silence(frames_from_seconds(profile.pause))])


def read_spelling(
    text: str, profile: VoiceProfile, gap: float | None, rate: int | None, speaker: Announcer
) -> Samples:
    """A text by the spelling alphabet: words are read, once, as read_groups() reads groups."""
    return read_groups(
        text,
        profile,
        figures=None,
        gap=gap,
        group_gap=None,
        rate=rate,
        speaker=speaker,
        readings="once",
    )


def figure_spans(
    groups: str,
    profile: VoiceProfile,
    *,
    gap: float | None,
    group_gap: float | None,
    frames_of: Callable[[str], int],
    readings: Readings | None = None,
    say_again_frames: int = 0,
) -> tuple[tuple[int, int], ...]:
    """The first frame, and the one after the last, of each figure that read_groups() reads.

    frames_of: how long a figure or letter is, said alone and without a pause. say_again_frames: the
    same of the profile's wording between two readings. No sound is made.
    """
    figure_gap = frames_from_seconds(profile.figure_gap if gap is None else gap)
    after_group = frames_from_seconds(profile.group_gap if group_gap is None else group_gap)
    wording = frames_from_seconds(profile.sentence_gap) + say_again_frames
    parted = groups_in(groups)
    spans: list[tuple[int, int]] = []
    for turn in _turns(len(parted), readings or profile.readings):
        at = spans[-1][1] + after_group if spans else 0
        if turn.again and profile.say_again:
            at += wording
        for figure in parted[turn.group]:
            spans.append((at, at + frames_of(figure)))
            at = spans[-1][1] + figure_gap
    return tuple(spans)


def sentences(text: str) -> list[str]:
    """A text cut after the ends of its sentences: . ! ? or an ellipsis, a space, no small letter.

    Not after an initial or a usual abbreviation (`J. Marsh`, `St. Osyth`); what is not cut here
    is left to the engine, which makes its own pause if it takes the place for an end. A sentence
    too long for one breath is cut after a comma or the like, or else between words.
    """
    cuts = [
        found.end()
        for found in _MAY_END_SENTENCE.finditer(text)
        if not found["next"].islower()
        and found["word"] not in _ABBREVIATIONS
        and not (len(found["word"]) == 1 and found["word"].isupper())
    ]
    whole = [text[start:end] for start, end in zip([0, *cuts], [*cuts, len(text)], strict=True)]
    return [breath for sentence in whole for breath in _breaths(sentence.split())]


def _breaths(words: list[str]) -> list[str]:
    """The words of a sentence in as few pieces as _BREATH allows."""
    breaths: list[str] = []
    begun, mark, used = 0, 0, 0
    for place, word in enumerate(words):
        used += _phonemes_at_most(word)
        if used > _BREATH and place > begun:
            cut = mark if mark > begun else place
            breaths.append(" ".join(words[begun:cut]))
            begun, used = cut, sum(map(_phonemes_at_most, words[cut : place + 1]))
        if word[-1] in ",;:—":
            mark = place + 1
    return [*breaths, " ".join(words[begun:])]


def _phonemes_at_most(word: str) -> int:
    said = word.rstrip(".,;:!?…")
    return sum(_PHONEMES.get(unicodedata.category(each), _PHONEMES_OF_A_SIGN) for each in said)


@dataclass(frozen=True, slots=True)
class _Turn:
    """One reading of one group, by its number."""

    group: int
    again: bool
    """Whether a second reading begins here."""


def _turns(groups: int, readings: Readings) -> list[_Turn]:
    match readings:
        case "once":
            return [_Turn(group, again=False) for group in range(groups)]
        case "each group twice":
            return [_Turn(group, again) for group in range(groups) for again in (False, True)]
        case "all twice":
            second = [_Turn(group, again=group == 0) for group in range(groups)]
            return [*_turns(groups, "once"), *second]


def _singly(text: str, profile: VoiceProfile, figures: FiguresMode) -> list[tuple[str, ...]]:
    """What is said for each figure and letter of each group; a bank is asked for the sign itself.

    Raises SpeechError for one that cannot be read singly.
    """
    words = spelled(text, figures, profile.language)
    if profile.engine != "bank" or not profile.bank:
        return list(words)
    bank = read_bank(Path(profile.bank))
    return [
        tuple(
            sign if bank.says_singly(sign) else word for sign, word in zip(group, said, strict=True)
        )
        for group, said in zip(groups_in(text), words, strict=True)
    ]


def _said(text: str) -> list[str]:
    """The sentences of a text in which there is something to say."""
    return [sentence for sentence in sentences(clean(text)) if is_speakable(sentence)]


def _spoken(
    words: Sequence[str], profile: VoiceProfile, rate: int | None, speaker: Announcer, gap: float
) -> list[Samples]:
    """Each an utterance, with gaps between them."""
    parts: list[Samples] = []
    for number, word in enumerate(words):
        if number:
            parts.append(silence(frames_from_seconds(gap)))
        parts.append(speaker.speak(utterance_of(word, profile, rate)))
    return parts
