"""How a figure is printed: what it is, what was measured, and what is aimed at, side by side."""

import os
from collections.abc import Sequence


def heading(title: str) -> None:
    """A title, and how busy the machine is with other things: figures of time suffer from it."""
    busy = f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores" if _has_load() else ""
    print(f"\n{title:<72}{busy}", flush=True)


def figure(what: str, measured: str, aim: str = "") -> None:
    """One line of the table."""
    print(f"  {what:<50}{measured:>26}  {aim}", flush=True)


def spread(values: Sequence[float], form: str = ".2f", unit: str = "s") -> str:
    """The middle of several measurements, with the least and the largest."""
    ordered = sorted(values)
    least, middle, most = (
        format(value, form) for value in (ordered[0], ordered[len(ordered) // 2], ordered[-1])
    )
    return f"{middle} {unit} ({least} to {most})"


def _has_load() -> bool:
    return hasattr(os, "getloadavg")
