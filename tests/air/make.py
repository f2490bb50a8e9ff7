"""Programmes and items for the tests of air/: no speech, no device."""

import zlib
from collections.abc import Sequence

import numpy as np

from broadcaster.air.items import Failure, Made, Outcome
from broadcaster.script.programme import Item, Programme
from broadcaster.script.sounds import Band, Fading, Hiss, Saturation, Sound
from broadcaster.story.cue import Cue
from broadcaster.units import RATE, Samples
from tests.story import make as story

CLEAN = Sound(about="nothing at all")
SHORTWAVE = Sound(
    about="a little of everything",
    processors=(
        Saturation(saturation=6.0),
        Band(band=(300.0, 2400.0)),
        Fading(fading=12.0, rate=0.5),
        Hiss(hiss=-46.0),
    ),
)


def on_air(programme: Programme, sound: Sound = CLEAN) -> Programme:
    """The programme with a period sound, as the reader would give it."""
    return programme.model_copy(update={"period": sound})


def watch_and_gate(**facts: bool | int) -> Programme:
    """Two segments, a fact that leads from one to the other, an end."""
    return story.programme(
        {
            "watch": story.segment(
                story.say("one"),
                story.say("two", clue="two"),
                exits=({"to": "gate", "when": "lamp", "at once": "yes"},),
            ),
            "gate": story.segment(story.say("gate"), exits=({"to": "end", "when": "crates > 2"},)),
        },
        facts={"lamp": False, "crates": 0, **facts},
    )


def tone_for(item: Item, text: str) -> Samples:
    """A tone whose pitch and length (0.2 to 0.6 s) follow from the text."""
    number = zlib.crc32(f"{item.kind} {text}".encode())
    frames = RATE // 5 + number % (2 * RATE // 5)
    pitch_hz = 300 + number % 700
    tone = 0.4 * np.sin(2 * np.pi * pitch_hz * np.arange(frames) / RATE)
    return tone.astype(np.float32)


class TableItems:
    """An ItemSource for tests: tones, made at once; some fail, some are late a few times."""

    def __init__(
        self,
        failing: Sequence[str] = (),
        late: dict[str, int] | None = None,
        solved: dict[str, tuple[float, float]] | None = None,
    ) -> None:
        self.failing = failing
        self.late = late or {}
        self.solved = solved or {}
        """Roughness and readability of what was worked out."""
        self.expected: list[Sequence[Cue]] = []

    def expect(self, cues: Sequence[Cue]) -> None:
        self.expected.append(cues)

    def fetch(self, cue: Cue) -> Outcome | None:
        if cue.text in self.failing:
            return Failure("cannot be spoken")
        if self.late.get(cue.text, 0):
            self.late[cue.text] -= 1
            return None
        return Made(tone_for(cue.item, cue.text), *self.solved.get(cue.text, ()))


def busy_session() -> Programme:
    """The whole language in six seconds: milestones, hints, a timetable, choose, set, every."""
    return story.programme(
        {
            "watch": story.segment(
                story.choose(story.say("red"), story.say("blue"), story.say("green")),
                story.remember(warned=True),
                story.say("at {session time}", clue="time", every="2 rounds"),
                story.say("once", once="yes"),
                exits=({"to": "gate", "when": "met(lamp)", "at once": "yes"},),
                hints=(story.say("gentle"), story.say("plain")),
                automatic_hints=True,
                hint_every="700 ms",
            ),
            "gate": story.segment(story.say("gate {crates} of four"), story.say("shut")),
        },
        facts={"lamp": False, "warned": False, "crates": {"at first": 0, "from": 0, "to": 4}},
        milestones={"lamp": {"when": "lamp", "by": "900 ms", "hint after": "1200 ms"}},
        timetable=(
            story.entry(story.say("quarter"), story.say("hour"), at="1500 ms"),
            story.entry(story.pips(2), story.say("nine"), daily="21:00"),
            story.entry(story.say("every"), every="2 s", late="100 ms"),
        ),
    )


def samples_of(frames: int) -> Samples:
    """Silence that takes no memory, shape (frames,): for playout that is only counted."""
    return np.broadcast_to(np.float32(0.0), (frames,))


class CountedItems:
    """An ItemSource for playout that is only counted: a length for each text, a second if none."""

    def __init__(self, seconds: dict[str, float] | None = None) -> None:
        self._seconds = seconds or {}

    def expect(self, cues: Sequence[Cue]) -> None:
        pass

    def fetch(self, cue: Cue) -> Outcome | None:
        return Made(samples_of(round(self._seconds.get(cue.text, 1.0) * RATE)))
