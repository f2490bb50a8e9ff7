"""When a name is unknown: the one that was probably meant, or what there is."""

import difflib
import re
from collections.abc import Iterable, Sequence
from itertools import islice

_SHORT_LIST = 14
_LONGEST_SEARCH = 300  # names; beyond that comparing would take longer than a writer waits


def known_names(name: str, known: Iterable[str], most: int = _SHORT_LIST) -> str:
    """A sentence that helps with an unknown name: the nearest known one, else the list if short.

    A name that is one word of a known one is near to it. `most`: how long a list may be.
    """
    names = list(islice(known, _LONGEST_SEARCH))
    meant = nearest_name(name, names)
    if meant:
        return meant
    if not names:
        return "There are none."
    return f"Known: {listed(names)}." if len(names) <= most else ""


def nearest_name(name: str, names: Sequence[str]) -> str:
    """A sentence with the known name that is nearest to an unknown one; empty: none is near."""
    by_lower = {each.lower(): each for each in names}
    near = difflib.get_close_matches(name.lower()[:80], by_lower, n=1, cutoff=0.65)
    part = [each for each in names if name.lower() in re.split("[ _]", each.lower())]
    meant = part or [by_lower[each] for each in near]
    return f"Did you mean `{meant[0]}`?" if meant else ""


def listed(names: Iterable[str]) -> str:
    """Names as a sentence lists them: `a`, `b` and `c`."""
    quoted = [f"`{name}`" for name in names]
    if len(quoted) < 2:
        return "".join(quoted)
    return f"{', '.join(quoted[:-1])} and {quoted[-1]}"


def counted(count: int, noun: str) -> str:
    """`1 segment`, `2 segments`."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def clipped(text: str) -> str:
    """What was found, short enough for a sentence, on one line, in backticks."""
    line = " ".join(text.split())
    return f"`{line if len(line) <= 60 else line[:57] + '...'}`"
