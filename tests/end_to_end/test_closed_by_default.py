"""Who can reach a station: nobody, unless the settings name a way in."""

import os
import socket
import time
from pathlib import Path

import pytest

from tests.end_to_end.processes import stations_of
from tests.end_to_end.run import DEMO, Home
from tests.end_to_end.sockets import network_sockets
from tests.end_to_end.test_what_dies import LIMIT_S, Listener
from tests.ports import free_port

pytestmark = pytest.mark.skipif(not Path("/proc/net/tcp").exists(), reason="needs Linux's /proc")


def on_air(home: Home, *arguments: object) -> Listener:
    listener = Listener(home, *arguments)
    listener.wait_for(lambda records: any(r["event"] == "output started" for r in records))
    return listener


def test_the_table_of_sockets_is_read_right() -> None:
    """A socket of our own is found where it listens, for both families."""
    for family, address in ((socket.AF_INET, "127.0.0.1"), (socket.AF_INET6, "::1")):
        with socket.socket(family) as ours:
            try:
                ours.bind((address, 0))
            except OSError:
                continue  # a machine without IPv6
            ours.listen()
            assert ("tcp", address, ours.getsockname()[1]) in network_sockets(os.getpid())


def test_without_settings_nothing_is_open(home: Home) -> None:
    """Neither the desk nor the station has any socket of the network."""
    listener = on_air(home)
    time.sleep(0.5)
    processes = [listener.process.pid, *stations_of(home)]
    assert len(processes) == 2
    assert [network_sockets(process) for process in processes] == [[], []]
    assert listener.stop() == 0


def test_what_is_named_is_open_to_this_machine_alone_and_closed_in_the_end(home: Home) -> None:
    """HTTP and OSC with nothing but a port: in the desk, on the loopback address."""
    http, osc = free_port(), free_port()
    settings = home.folder / "settings.yaml"
    settings.write_text(f"http: {{port: {http}}}\nosc: {{port: {osc}}}\n")
    listener = on_air(home, "--settings", settings)
    desk = listener.process.pid
    wanted = [("tcp", "127.0.0.1", http), ("udp", "127.0.0.1", osc)]
    deadline = time.monotonic() + LIMIT_S
    while network_sockets(desk) != wanted and time.monotonic() < deadline:
        time.sleep(0.05)
    assert network_sockets(desk) == wanted
    (station,) = stations_of(home)
    assert network_sockets(station) == []
    assert listener.stop() == 0


def test_settings_with_faults_keep_the_station_off_air(home: Home) -> None:
    """Every fault with its place, exit code 1, and no station is left."""
    settings = home.folder / "settings.yaml"
    settings.write_text("http: {token: abc}\nmqtt: {}\n")
    outcome = home.run("air", DEMO, "--output", "silent", "--settings", settings, "--json")
    assert outcome.code == 1
    assert f"{settings}:1:8: A token does not stand in this file." in outcome.errors
    assert f"{settings}:2:7: `mqtt` lacks `broker`." in outcome.errors
    assert stations_of(home) == []


def test_settings_are_found_beside_the_script_and_in_the_users_own_folder(home: Home) -> None:
    """One that was asked for, then one beside the script, then the user's own."""
    script = home.folder / "show" / "low-water.yaml"
    script.parent.mkdir()
    script.write_text(DEMO.read_text())
    own = home.folder / "xdg_config_home" / "broadcaster" / "station.yaml"
    own.parent.mkdir(parents=True)
    asked = home.folder / "asked.yaml"
    for path in (own, script.parent / "station.yaml", asked):
        path.write_text("wrong: {}\n")
        arguments = ("--settings", asked) if path == asked else ()
        outcome = home.run("air", script, "--output", "silent", *arguments)
        assert outcome.code == 1
        assert f"{path}:1:1: `wrong` is not known here." in outcome.errors
