"""What line mode tells when it is asked: short sentences, each on a line of its own."""

from broadcaster.console.panels.pace import words_of
from broadcaster.console.sliders import Slider
from broadcaster.console.view import Phase, View
from broadcaster.console.words import item_words, jump_words, level_words
from broadcaster.story.cue import fact_said
from broadcaster.story.events import OPERATOR
from broadcaster.story.state import SCRIPT
from broadcaster.units import session_clock

LOG_LINES = 10
"""How many lines of the log are read at once."""


def now(view: View) -> list[str]:
    """One sentence each: the session, what is on air, what comes, what waits."""
    told = [f"The station is {view.phase.value}{', the session is held' if view.held else ''}."]
    if view.session_s is not None and view.phase is Phase.ON_AIR:
        left = max(0.0, view.session_length_s - view.session_s)
        told.append(f"Session {session_clock(view.session_s)}, {session_clock(left)} left.")
    if view.plain:
        told.append(f"PLAIN VOICE since {view.plain.at}: {view.plain.text}")
    if view.air:
        clue = f" It is the clue {view.air.clue!r}." if view.air.clue else ""
        said = item_words(view.air.kind, view.air.text)
        told.append(f"On air, {session_clock(view.air.left_s)} left: {said}{clue}")
    if view.segment:
        told.append(f"Segment {view.segment}, by {view.why}.")
    told += [f"Next: {item_words(cue.kind, cue.text)}" for cue in view.coming[:1]]
    if view.waiting:
        how = jump_words(view.waiting.timing, view.waiting.transition)
        told.append(f"A jump to {view.waiting.segment} waits, {how}.")
    told += [f"An announcement waits: {text}" for text in view.announcements]
    told += [f"STALLED: {one.name}." for one in view.stalled]
    if view.hint_due:
        told.append(f"Hint {view.hint_due.rung} of {view.hint_due.of} goes out next.")
    if view.hint:
        told.append(f"Hint {view.hint.rung} of {view.hint.of} is ready: {view.hint.text}")
    return told


def pace(view: View) -> list[str]:
    """How the team stands to each milestone."""
    told = [f"{one.name}: {words_of(one, view)}." for one in view.milestones]
    return told or ["The script has no milestones."]


def segments(view: View) -> list[str]:
    """Number, name, and what each is about."""
    return [
        f"{one.number} {one.name}{' (on air)' if one.on_air else ''}: {one.about}"
        for one in view.segments
    ]


def facts(view: View) -> list[str]:
    """What each is, and who said so when."""
    told = [
        f"{fact.name} is {fact_said(fact.value)}"
        + (f", by {fact.source} at {fact.at}." if fact.source else ", as in the script.")
        for fact in view.facts
    ]
    return told or ["The script has no facts."]


def log(view: View, words: str) -> list[str]:
    """The last lines, or the last of those with these words."""
    wanted = words.casefold()
    lines = [line for line in view.log if wanted in line.sentence.casefold()]
    return [f"{line.at} {line.sentence}" for line in lines[-LOG_LINES:]] or [
        "No line is like that."
    ]


def reception(view: View) -> list[str]:
    """How strong the signal is, how readable all is to be, and what is on air."""
    told = []
    for slider in Slider:
        stands, wanted = slider.stands(view.reception), slider.wanted(view.reception)
        amount = "as it sounds" if stands is None else f"{stands:g}"
        told.append(f"{slider}: {amount}, by {SCRIPT if wanted is None else OPERATOR}.")
    if view.air and view.air.readability is not None:
        told.append(f"Predicted for what is on air, at full signal: {view.air.readability:.1f}.")
    return told


def output(view: View) -> list[str]:
    """Where the sound goes, and whether it does."""
    output = view.output
    if output is None:
        return ["The output has given no word yet."]
    state = "plays" if output.playing else "has stopped"
    return [
        f"{output.name} {state}, peak {level_words(output.held_peak_dbfs)}, "
        f"{output.underruns} underruns, {output.buffered_s:.2f} s ready."
    ]
