"""A small show for the tests of rehearsals: everything in it is a pause, so nothing is spoken."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from broadcaster.air.items import Made, Outcome
from broadcaster.script.programme import Pause, Programme
from broadcaster.story.cue import Cue
from broadcaster.units import frames_from_seconds
from tests.air.make import on_air
from tests.story.make import pause, programme, segment


def clue(length: str, name: str) -> Any:
    return pause(length).model_copy(update={"clue": name})


def night_watch(**options: Any) -> Programme:
    """Dark, then light, then home; a second office that only the operator reaches."""
    return on_air(
        programme(
            {
                "dark": segment(
                    pause("3 s"),
                    clue("5 s", "the key"),
                    pause("2 s"),
                    exits=({"to": "light", "when": "lamp", "at once": "yes"},),
                    hints=(pause("1 s"), pause("1500 ms")),
                    automatic_hints=True,
                    hint_every="2 min",
                ),
                "light": segment(
                    pause("4 s"),
                    clue("6 s", "the gate"),
                    exits=(
                        {"to": "home", "when": 'gate = "open"'},
                        {"to": "dark", "when": "not lamp"},
                    ),
                ),
                "home": segment(pause("2 s"), exits=({"to": "end"},), repeat=False),
                "office": segment(pause("9 s"), exits=({"to": "end", "when": "crates > 3"},)),
            },
            facts={
                "lamp": "no",
                "gate": {"one of": ["closed", "ajar", "open"], "at first": "closed"},
                "crates": {"at first": 0, "from": 0, "to": 4},
            },
            milestones={
                "gate": {"when": 'gate = "open"', "by": "40 min", "usual": "14 min"},
                "lamp": {"when": "lamp", "by": "20 min", "hint after": "24 min", "spread": "1.8"},
            },
            **options,
        )
    )


class Pauses:
    """An ItemSource for shows in which everything is a pause."""

    def expect(self, cues: Sequence[Cue]) -> None:
        del cues

    def fetch(self, cue: Cue) -> Outcome:
        assert isinstance(cue.item, Pause)
        return Made(np.broadcast_to(np.float32(0.0), (frames_from_seconds(cue.item.pause),)))
