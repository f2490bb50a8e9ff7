"""Whether milestones can be met by what a team does, and their times come."""

from collections.abc import Iterator

from broadcaster.errors import Fault
from broadcaster.script.condition_tree import Met, Node, Stalled, facts_in, nodes_of
from broadcaster.script.durations import written_seconds
from broadcaster.script.names import clipped
from broadcaster.script.programme import Milestone
from broadcaster.script.scene import Named, Scene


def milestone_faults(scene: Scene) -> Iterator[Fault]:
    """Milestones that no condition can name, that no fact can meet, or that ask for milestones."""
    for milestone in scene.milestones:
        if set(milestone.name) & set("()"):
            yield Fault(
                milestone.key,
                f"A milestone cannot be called {clipped(milestone.name)}.",
                "Leave the parentheses out: conditions need them, as in `stalled(lamp)`.",
            )
        yield from _condition_faults(milestone)


def _condition_faults(milestone: Named[Milestone]) -> Iterator[Fault]:
    root = milestone.written.form.when.root
    asked: Node | None = next(
        (node for node in nodes_of(root) if isinstance(node, Stalled | Met)), None
    )
    if asked:
        yield milestone.written.fault(
            "when", "A milestone cannot ask for milestones.", "Ask for facts.", asked.offset
        )
    elif not facts_in(root):
        yield milestone.written.fault(
            "when",
            f"`{milestone.name}` asks for no fact: nothing that a team does can meet it.",
            "Ask for a fact that the room tells, such as `lamp_lit`.",
        )


def milestone_advice(scene: Scene) -> Iterator[Fault]:
    """Times beyond the session or the wrong way round, and automatic hints that nothing calls."""
    session_s = scene.script.form.session
    for milestone in scene.milestones:
        for key, time_s in (
            ("by", milestone.written.form.by),
            ("hint after", milestone.written.form.hint_after),
        ):
            if time_s is not None and time_s >= session_s:
                yield milestone.written.fault(
                    key,
                    f"This time never comes: the session lasts {written_seconds(session_s)}.",
                    "Make it earlier, or the session longer.",
                )
        by_s, hint_after_s = milestone.written.form.by, milestone.written.form.hint_after
        if hint_after_s is not None and hint_after_s < by_s:
            yield milestone.written.fault(
                "hint after",
                f"The team stalls at {written_seconds(hint_after_s)}, before the target time of "
                f"{written_seconds(by_s)}.",
                "Let it come after `by`, or leave it out: then `by` counts.",
            )
    if not scene.milestones:
        for segment in scene.segments:
            if segment.written.form.automatic_hints:
                yield segment.written.fault(
                    "automatic hints",
                    "Automatic hints wait for a stalled milestone, and there is none.",
                    "Add `milestones`, or take `automatic hints` out.",
                )
