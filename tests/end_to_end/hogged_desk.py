"""The command with a thread beside it that holds the interpreter: regular expressions, JSON."""

import json
import re
import sys
import threading

from broadcaster.cli import main


def hog() -> None:
    """Each of these holds the interpreter lock for 40 to 200 ms; back to back, for ever."""
    text = json.dumps([{"n": n} for n in range(100_000)])
    while True:
        re.match(r"(a+)+b", "a" * 22)
        json.loads(text)


if __name__ == "__main__":
    threading.Thread(target=hog, daemon=True).start()
    sys.exit(main(sys.argv[1:]))
