"""The moment at which a session begins: what an item says then, and how strong the signal is.

For rehearsals that look at an item by itself, outside any session.
"""

from broadcaster.script.condition_tree import CLOCKS, COUNTS, Expression
from broadcaster.script.facts import FactState
from broadcaster.script.programme import Item, Programme
from broadcaster.story.cue import Times, text_of
from broadcaster.story.judging import Line, View, holds, strength_of
from broadcaster.story.plan import NO_WALL
from broadcaster.units import frames_from_seconds


def opening_text(programme: Programme, item: Item) -> str:
    """What an item carries as a session begins."""
    times = Times(session_s=0.0, left_s=programme.session, clock=NO_WALL)
    return text_of(item, _facts(programme), times, programme.language_of(item))


def opening_strength(programme: Programme, signal: Expression) -> float:
    """How strong a signal is as a session begins, 0 to 5."""
    times = {name: Line(0) for name in CLOCKS}
    times["time left"] = Line(frames_from_seconds(programme.session))
    view = View(_facts(programme), times, dict.fromkeys(COUNTS, 0))
    met = {name for name, each in programme.milestones.items() if holds(each.when, view)}
    return strength_of(signal, View(view.facts, times, view.counts, met=met))


def _facts(programme: Programme) -> dict[str, FactState]:
    return {name: fact.at_first for name, fact in programme.facts.items()}
