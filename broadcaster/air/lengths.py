"""How long items are, for looking ahead: as they were when they last went out, else a guess."""

from collections import OrderedDict

from broadcaster.script.programme import (
    Clip,
    Groups,
    IntervalSignal,
    Item,
    Morse,
    Pause,
    Pips,
    Programme,
    Spell,
    SpokenItem,
    Tone,
)
from broadcaster.story.cue import Carrier, Content, Cue
from broadcaster.units import frames_from_seconds

REMEMBERED = 1000
"""Items whose length is remembered; texts that tell the time make new ones all day."""
_LETTERS_A_WORD = 6.0
"""Of English, the space too: the word PARIS of telegraphy and its space."""
_FIGURE_S = 0.45
"""A figure or code word, spoken. Measured on the shipped voices, roughly."""
_UNKNOWN_S = 4.0


class Lengths:
    """Lengths in frames, learned as items go out."""

    def __init__(self, programme: Programme) -> None:
        self._programme = programme
        self._learned: OrderedDict[Content, int] = OrderedDict()
        self.guessed = False
        """Whether a length that was asked for since this was last set to False is a guess."""

    def learn(self, cue: Cue, frames: int) -> None:
        """Remember how long an item is."""
        self._learned[cue.content] = frames
        if len(self._learned) > REMEMBERED:
            self._learned.popitem(last=False)

    def of(self, cue: Cue) -> int:
        """How long an item is; `guessed` tells if that is not sure."""
        learned = self._learned.get(cue.content)
        if learned is not None:
            return learned
        if isinstance(cue.item, Carrier):
            return frames_from_seconds(cue.item.carrier)
        self.guessed = True
        return frames_from_seconds(self._guess_s(cue.item, cue.text))

    def _guess_s(self, item: Item, text: str) -> float:
        match item:
            case Pause():
                return item.pause
            case Tone():
                return item.for_
            case Pips():
                return float(item.pips)
            case Morse():
                return len(text) * 60.0 / _LETTERS_A_WORD / (item.spacing or item.speed)
            case IntervalSignal():
                return len(text.split()) * 60.0 / item.tempo
            case Clip():
                return _UNKNOWN_S if item.to is None else item.to - item.from_
            case SpokenItem():
                return self._spoken_s(item, text)
            case _:
                return _UNKNOWN_S

    def _spoken_s(self, item: SpokenItem, text: str) -> float:
        voice = self._programme.cast.get(self._programme.voice_name_of(item))
        if voice is None:
            return _UNKNOWN_S
        if isinstance(item, Groups | Spell):
            gap = voice.figure_gap if item.gap is None else item.gap
            return len(text) * (_FIGURE_S + gap) + voice.pause
        return len(text) * 60.0 / _LETTERS_A_WORD / (item.rate or voice.rate) + voice.pause
