"""All benchmarks, one after the other: `python -m tests.benchmarks`. A quarter of an hour.

Some of them, by their names: `python -m tests.benchmarks facts start`.

Figures of time and memory are of this machine, and of what else it does; the aims stand beside
them. What needs a sound server is left out, with a word, where there is none.
"""

import shutil
import sys

from tests.benchmarks import (
    announce,
    at_rest,
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
    "render": render.main,
    "start": start.main,
    "at_rest": at_rest.main,
    "announce": announce.main,
    "facts": facts.main,
    "facts_http": facts_http.main,
    "facts_mqtt": facts_mqtt.main,
    "facts_lines": facts_lines.main,
    "jump": jump.main,
}


def main() -> None:
    """Print every table, or those that were asked for."""
    for name in sys.argv[1:] or TABLES:
        if name == "jump" and not shutil.which("pulseaudio"):
            print("\nJumps: left out, for PulseAudio is not installed.")
            continue
        TABLES[name]()


if __name__ == "__main__":
    main()
