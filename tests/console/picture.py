"""Draw the console at a lively moment: `python -m tests.console.picture PATH.svg`."""

import sys
from pathlib import Path

from broadcaster.console.picture import console_picture
from tests.console.scene import clock, lively, programme

if __name__ == "__main__":
    picture = console_picture(programme(), lively(), clock(), keys=("down", "down"))
    Path(sys.argv[1]).write_text(picture, encoding="utf-8")
