"""The desk starts its station before it loads what takes time."""

import subprocess
import sys

NETWORK = ("aiomqtt", "asyncio", "fastapi", "paho", "pythonosc", "serial", "uvicorn")
SLOW = ("numpy", "scipy", "pydantic", "yaml", "apscheduler", "textual", "rich", "miniaudio")


def loaded_by(statement, libraries=SLOW):
    """Which of the slow libraries a fresh Python has loaded after a statement."""
    told = f"{statement}; import sys; print(*(name for name in {libraries} if name in sys.modules))"
    run = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    return run.stdout.split()


def test_the_desk_loads_nothing_slow_before_its_station_starts():
    """What `air` imports before the station's process is there: no library but Python's own."""
    assert loaded_by("import broadcaster.cli, broadcaster.console.watch") == []


def test_the_station_is_launched_with_nothing_loaded():
    """Its launcher comes before everything, to switch the search for garbage off."""
    assert loaded_by("import broadcaster.air.launch") == []


def test_a_station_without_settings_loads_no_network(tmp_path, monkeypatch):
    """What the desk needs up to the broadcast, with nothing of the venue's: no library of room/."""
    for name in ("XDG_CONFIG_HOME", "APPDATA", "XDG_RUNTIME_DIR", "XDG_STATE_HOME"):
        monkeypatch.setenv(name, str(tmp_path))
    statement = (
        "from broadcaster.script.loading import load_programme\n"
        "from broadcaster.desk import airing, session\n"
        "import broadcaster.air.station\n"
        "programme = load_programme('low-water')\n"
        "assert session._settings(session.Wishes('s', 'o', False, None, 0, None, None), programme)"
        " is None"
    )
    assert (
        loaded_by(statement, (*NETWORK, "broadcaster.room", "broadcaster.script.venue_settings"))
        == []
    )
