"""A state of the machine with everything forgotten that no condition can tell."""

from dataclasses import replace

from broadcaster.rehearsal.proof_bare import Bare
from broadcaster.rehearsal.proof_values import Borders
from broadcaster.story.state import Phase, State

NOW = 1 << 45
"""The frame on which every question is put; how long something lasts is counted back from it."""


def plain(state: State, bare: Bare) -> State:
    """The state with everything forgotten that no condition can tell."""
    if state.phase is Phase.ENDED:
        return State(facts=(), phase=Phase.ENDED)
    if not state.segment:
        return state
    ground = bare.grounds[state.segment]
    asks = ground.borders
    session = _floor(NOW - state.session_frame, bare.session)
    segment, quiet = _within_segment(state, asks)
    # What may become anything at any time is forgotten.
    kept = bare.kept
    held = zip(bare.values, state.facts, strict=True)
    facts = tuple(value if name in kept else bare.values[name][0] for name, value in held)
    return State(
        facts=facts,
        phase=state.phase,
        segment=state.segment,
        spot=state.spot,
        rounds=_clipped(state.rounds, asks.rounds, ground.period),
        session_frame=NOW - session,
        segment_frame=NOW - segment,
        quiet_frame=NOW - quiet,
        due=tuple(replace(due, frame=NOW) for due in state.due),
        timetable_frame=session,
        met=state.met,
        stalled=state.stalled,
        rungs=state.rungs,
        hints=min(state.hints, bare.hints),
        spent=state.spent,
    )


def _within_segment(state: State, asks: Borders) -> tuple[int, int]:
    """The segment's time and the quiet time: the borders they stand at, or a frame beyond.

    The frame keeps which of the two is longer, where that matters.
    """
    segment, quiet = NOW - state.segment_frame, NOW - state.quiet_frame
    order = ((quiet > segment) - (quiet < segment)) or asks.equal_is
    segment, quiet = _floor(segment, asks.segment), _floor(quiet, asks.quiet)
    if not asks.compares:
        return segment, quiet
    if not asks.segment:
        quiet = max(quiet, order)
        return quiet - order, quiet
    if not asks.quiet:
        segment = max(segment, -order)
        return segment, segment + order
    if order < 0:
        return max(segment, quiet + 1), quiet
    return segment, max(quiet, segment + 1) if order else segment


def _floor(value: int, borders: tuple[int, ...]) -> int:
    return max((border for border in borders if border <= value), default=0)


def _clipped(rounds: int, border: int, period: int) -> int:
    if rounds < border:
        return rounds
    return border + (rounds - border) % period
