"""How often a lamp flashes in a second, and how it is kept from doing so too often.

More than three flashes within any one second can bring on a seizure in people with photosensitive
epilepsy (WCAG 2.2, 2.3.1). A flash is counted where the lamp goes on.
"""

from collections.abc import Sequence

from broadcaster.story.events import Marks
from broadcaster.units import RATE

SAFE_FLASHES = 3
"""In any one second (WCAG 2.2, 2.3.1)."""


def most_flashes(marks: Marks) -> int:
    """The most flashes of a message within any one second."""
    first = most = 0
    for number, (on, _) in enumerate(marks):
        while marks[first][0] <= on - RATE:
            first += 1
        most = max(most, number + 1 - first)
    return most


def slowed(marks: Marks, at_most: int, before: Sequence[int] = ()) -> Marks:
    """The same message with at most so many flashes in any second, in frames as it was.

    Marks that come too fast are one steady light, from the first of them to the end of the last.
    `before`: frames on which the lamp went on before this message, in order.
    """
    onsets = [*before, *(on for on, _ in marks)]
    light: list[tuple[int, int]] = []
    joined = 0  # marks before this one are in the last light already
    for number, (on, off) in enumerate(marks):
        if number and number < joined:
            light[-1] = (light[-1][0], off)
        else:
            light.append((on, off))
        last = len(before) + number + at_most  # of so many and one more
        if last < len(onsets) and onsets[last] - on < RATE:
            joined = number + at_most + 1
    return _spaced(light, at_most, before)


def _spaced(light: Sequence[tuple[int, int]], at_most: int, before: Sequence[int]) -> Marks:
    """The rest of the rule, where an earlier message has flashed already: the light waits."""
    onsets = list(before)
    kept: list[tuple[int, int]] = []
    for on, off in light:
        start = max(on, onsets[-at_most] + RATE) if len(onsets) >= at_most else on
        if start < off:
            onsets.append(start)
            kept.append((start, off))
    return tuple(kept)
