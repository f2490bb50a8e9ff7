"""All benchmarks, one after the other: `python -m tests.benchmarks`. Twenty minutes.

Figures of time and memory are of this machine, and of what else it does; the aims stand beside
them. What needs a sound server is left out, with a word, where there is none. With a name after it
only that one runs: `python -m tests.benchmarks readability`. Those that weigh voices and sounds
rather than speed, and take long, run by name alone: readability, copy, voices; and so does many,
for sixteen stations fill the machine.
"""

import importlib
import shutil
import sys

from tests.benchmarks import (
    announce,
    at_rest,
    console,
    effects,
    facts,
    facts_http,
    facts_lines,
    facts_mqtt,
    jump,
    render,
    start,
    stream,
)

TABLES = {
    "stream": stream.main,
    "effects": effects.main,
    "render": render.main,
    "start": start.main,
    "at_rest": at_rest.main,
    "console": console.main,
    "announce": announce.main,
    "facts": facts.main,
    "facts_http": facts_http.main,
    "facts_mqtt": facts_mqtt.main,
    "facts_lines": facts_lines.main,
    "jump": jump.main,
}


def main() -> None:
    """Print every table, or the one that is named."""
    if len(sys.argv) > 1:
        importlib.import_module(f"tests.benchmarks.{sys.argv.pop(1)}").main()
        return
    for name, table in TABLES.items():
        if name == "jump" and not shutil.which("pulseaudio"):
            print("\nJumps: left out, for PulseAudio is not installed.")
        else:
            table()


if __name__ == "__main__":
    main()
