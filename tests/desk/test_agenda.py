"""From an events file to events on frames."""

from broadcaster.desk.agenda import SOURCE, agenda_of
from broadcaster.story.events import (
    Announce,
    EndSession,
    GiveHint,
    Hold,
    Jump,
    JumpTiming,
    PlainVoice,
    Resume,
    SetFact,
    SetReadability,
    SetSignal,
    StartSession,
    StopPlainVoice,
)
from broadcaster.units import RATE
from tests.rehearsal.make import night_watch

EVENTS = """
- {at: 2 s, set: {lamp: yes, crates: 2}}
- {at: 3 s, jump: light}
- {at: 1500 ms, jump: home, timing: now, transition: fade}
- {at: 4 s, hint: next}
- {at: 5 s, say: "Mind {the} step."}
- {at: 5 s, signal: 2.5}
- {at: 5 s, readability: 4}
- {at: 5 s, signal: script}
- {at: 6 s, hold: yes}
- {at: 7 s, resume: yes}
- {at: 8 s, plain voice: Stand still.}
- {at: 9 s, stop plain voice: yes}
- {at: 1 min, end: yes}
"""


def test_every_kind_of_entry_becomes_its_event(tmp_path):
    """On the frame that its time is, after the session's start; braces in a text stay."""
    path = tmp_path / "team.yaml"
    path.write_text(EVENTS)
    assert agenda_of(str(path), night_watch()) == (
        (0, StartSession()),
        (2 * RATE, SetFact("lamp", True, SOURCE)),
        (2 * RATE, SetFact("crates", 2, SOURCE)),
        (3 * RATE, Jump("light", JumpTiming.AFTER_ITEM)),
        (72_000, Jump("home", JumpTiming.NOW, "fade")),
        (4 * RATE, GiveHint()),
        (5 * RATE, Announce("Mind {the} step.")),
        (5 * RATE, SetSignal(2.5)),
        (5 * RATE, SetReadability(4.0)),
        (5 * RATE, SetSignal(None)),
        (6 * RATE, Hold()),
        (7 * RATE, Resume()),
        (8 * RATE, PlainVoice("Stand still.", SOURCE)),
        (9 * RATE, StopPlainVoice(SOURCE)),
        (60 * RATE, EndSession()),
    )


def test_without_a_file_the_session_only_starts():
    """Nothing else is known beforehand."""
    assert agenda_of(None, night_watch()) == ((0, StartSession()),)
