"""All benchmarks, one after the other: `python -m tests.benchmarks`. Twenty minutes.

Figures of time and memory are of this machine, and of what else it does; the aims stand beside
them. What needs a sound server is left out, with a word, where there is none. With a name after it
only that one runs: `python -m tests.benchmarks readability`. Those that weigh voices and sounds
rather than speed, and take long, run by name alone: readability, copy, voices.
"""

import importlib
import shutil
import sys

from tests.benchmarks import announce, at_rest, console, effects, jump, render, start, stream


def main() -> None:
    """Print every table, or the one that is named."""
    if len(sys.argv) > 1:
        importlib.import_module(f"tests.benchmarks.{sys.argv.pop(1)}").main()
        return
    stream.main()
    effects.main()
    render.main()
    start.main()
    at_rest.main()
    console.main()
    announce.main()
    if shutil.which("pulseaudio"):
        jump.main()
    else:
        print("\nJumps: left out, for PulseAudio is not installed.")


if __name__ == "__main__":
    main()
