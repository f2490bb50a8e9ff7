"""A way through a broadcast, as a numbered story that a designer can read."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from broadcaster.rehearsal.proof_space import Step
from broadcaster.script.durations import written_seconds
from broadcaster.script.facts import FactState, plain
from broadcaster.script.programme import END
from broadcaster.units import seconds_from_frames


def told(steps: Iterable[Step], first: Mapping[str, FactState]) -> str:
    """The story of a way: `1. crates_open becomes 3. 2. ...`; `first`: the facts at its beginning.

    What changes nothing that anybody could see is left out.
    """
    sentences = [sentence for sentence in _sentences(steps, dict(first)) if sentence]
    return " ".join(f"{number}. {sentence}" for number, sentence in enumerate(sentences, start=1))


def _sentences(steps: Iterable[Step], facts: dict[str, FactState]) -> Iterator[str]:
    for number, step in enumerate(steps):
        changed = {name: value for name, value in step.facts.items() if facts[name] != value}
        facts |= changed
        for name, value in changed.items():
            yield f"`{name}` becomes {plain(value)}."
        if step.clock:
            yield _time(step)
        if step.deed == "hint":
            yield "A hint is given."
        if step.moves:
            yield _moved(step) if number else f"The session begins with `{step.moves[0].to}`."


def _time(step: Step) -> str:
    # A border may lie a frame beyond what the writer wrote.
    length = written_seconds(round(seconds_from_frames(step.frames), 3))
    match step.clock:
        case "session time":
            return f"The session has lasted {length}."
        case "segment time":
            return f"`{step.state.segment}` has been on air for {length}."
        case _:
            return f"Nothing in the room has changed for {length}."


def _moved(step: Step) -> str:
    to = step.moves[-1].to
    if to == END:
        return "The session ends."
    through = [move.to for move in step.moves[:-1]]
    over = f" (through {listed(through)})" if through else ""
    by = ", by the timetable" if step.deed == "timetable" else ""
    return f"`{to}` goes on air{over}{by}."


def listed(names: Sequence[str]) -> str:
    """Names as a sentence has them: `a`, `b` and `c`."""
    quoted = [f"`{name}`" for name in names]
    if len(quoted) < 2:
        return "".join(quoted)
    return f"{', '.join(quoted[:-1])} and {quoted[-1]}"
