"""The command, with a thread that holds its interpreter from the signal SIGUSR1 on."""

import json
import re
import signal
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
    signal.signal(signal.SIGUSR1, lambda *_: threading.Thread(target=hog, daemon=True).start())
    sys.exit(main(sys.argv[1:]))
