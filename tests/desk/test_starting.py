"""The desk starts its station before it loads what takes time."""

import subprocess
import sys

SLOW = ("numpy", "scipy", "pydantic", "yaml", "apscheduler", "textual", "rich", "miniaudio")


def loaded_by(statement):
    """Which of the slow libraries a fresh Python has loaded after a statement."""
    told = f"{statement}; import sys; print(*(name for name in {SLOW} if name in sys.modules))"
    run = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    return run.stdout.split()


def test_the_desk_loads_nothing_slow_before_its_station_starts():
    """What `air` imports before the station's process is there: no library but Python's own."""
    assert loaded_by("import broadcaster.cli, broadcaster.console.watch") == []


def test_the_station_is_launched_with_nothing_loaded():
    """Its launcher comes before everything, to switch the search for garbage off."""
    assert loaded_by("import broadcaster.air.launch") == []
