"""End-to-end tests run the real command, each in a home of its own."""

import os
import shutil
import signal
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.end_to_end.processes import stations_of
from tests.end_to_end.run import Home
from tests.end_to_end.sound_server import SoundServer


@pytest.fixture
def home() -> Iterator[Home]:
    """A home with its own cache, logs and meeting points. Short: a socket's path has a limit."""
    folder = Path(tempfile.mkdtemp(prefix="bc"))
    home = Home(folder)
    yield home
    for station in stations_of(home):  # a station outlives its desk, but not its test
        os.kill(station, signal.SIGKILL)
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(scope="session")
def sound_server() -> Iterator[SoundServer]:
    """A sound server of our own with a sink that plays to nobody."""
    with SoundServer() as server:
        yield server
