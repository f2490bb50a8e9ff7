"""What the settings open, as whoever starts a station is told it."""

from pathlib import Path

import pytest

from broadcaster.room.opened import opened_words
from broadcaster.script.venue_settings import SECTIONS, read_settings
from tests.room.make import two_segments


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("http: {port: 8092}", "http at http://localhost:8092/"),
        ("http: {address: 192.0.2.7, token file: t}", "http at http://192.0.2.7:8091/"),
        ("http: {address: 0.0.0.0, token file: t}", "http at port 8091 of every address of this"),
        ('http: {address: "::1", certificate file: c, key file: c}', "http at https://[::1]:8091/"),
        ("mqtt: {broker: desk.example}", "MQTT by the broker desk.example"),
        ("osc: {port: 9000}", "OSC at the UDP port 9000"),
        ("osc: {send to: ['192.0.2.9:9001']}", "OSC to 192.0.2.9:9001"),
        ("serial: {port: COM3}", "a serial line at COM3"),
        ('serial: {usb: "2341:0043"}', "a serial line at the USB device 2341:0043"),
        ("lamp: {over: [pins], pin: 17}", "a lamp over pins"),
        ("facts: {lamp: {inverted: yes}}", "they open nothing"),
    ],
)
def test_each_way_is_told(tmp_path: Path, text: str, told: str) -> None:
    """Behind the file's whole path."""
    path = tmp_path / "station.yaml"
    path.write_text(text)
    settings = read_settings(path, two_segments())
    sections = [name for name in SECTIONS if getattr(settings, name)]
    assert opened_words(settings, sections).startswith(f"Settings from {path}: {told}")
