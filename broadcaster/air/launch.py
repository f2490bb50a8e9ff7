"""Starts a station: `python -m broadcaster.air.launch NAME`; the desk does that."""

import gc
import sys


def main() -> int:
    """Load the station, which takes most of the time until it is on air, and run it.

    What is loaded stays, so searching it for what could be freed would only cost a tenth of that
    time; the station itself lets the search begin again, behind what was loaded.
    """
    gc.disable()
    from broadcaster.air.station import run_station

    return run_station(sys.argv[1])


if __name__ == "__main__":
    sys.exit(main())
