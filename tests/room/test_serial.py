"""The serial line: a microcontroller's one print statement in, the key and what happens out."""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

pytest.importorskip("termios", reason="a pseudo-terminal stands in for the device")

import broadcaster
from broadcaster.clock import VirtualClock
from broadcaster.room import serial_port
from broadcaster.room.serial_line import SerialPart
from broadcaster.room.serial_lines import Lines
from broadcaster.room.serial_port import Identity, find_port, read_identity
from broadcaster.room.serial_words import as_bytes, event, read_line
from broadcaster.room.tidings import Tiding, Tidings
from broadcaster.script.venue_settings import FactSettings, SerialSettings
from broadcaster.story.events import (
    Announce,
    GiveHint,
    InEvent,
    Jump,
    JumpTiming,
    SegmentEntered,
    SessionStarted,
    SetFact,
    SetReadability,
    SetSignal,
    Trouble,
)
from tests.room.around import running, surroundings
from tests.room.make import Noted
from tests.room.microcontroller import Microcontroller


@contextmanager
def plugged_in(folder: Path, **options: Any) -> Iterator[tuple[Microcontroller, Noted, Any]]:
    """A device at the port of a part that runs, and the station behind it."""
    device = Microcontroller(folder / "ttyACM0")
    around, station = surroundings(None, gate=FactSettings(named="fen gate"))
    part = SerialPart(SerialSettings(port=str(device.port), **options), around)
    with running(part) as loop:
        yield device, station, SimpleNamespace(part=part, loop=loop)


def until(reached: Callable[[], object]) -> None:
    deadline = time.monotonic() + 5.0
    while not reached():
        assert time.monotonic() < deadline
        time.sleep(0.005)


# --- the words ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "happens"),
    [
        ("lamp 1", SetFact("lamp", True, "serial")),
        ("  lamp   on \r", SetFact("lamp", True, "serial")),
        ("crates 3", SetFact("crates", 3, "serial")),
        ("crates 3.00", SetFact("crates", 3, "serial")),
        ("fen gate ajar", SetFact("gate", "ajar", "serial")),
        ("!give hint", GiveHint()),
        ("!set fact lamp yes", SetFact("lamp", True, "serial, by hand")),
        ("!set fact fen gate ajar", SetFact("gate", "ajar", "serial, by hand")),
        ("gate ajar", SetFact("gate", "ajar", "serial")),
        ("! jump the gate", Jump("the gate")),
        ("!jump the gate now", Jump("the gate", JumpTiming.NOW)),
        ("!jump the gate after round", Jump("the gate", JumpTiming.AFTER_ROUND)),
        ("!set signal 2.5", SetSignal(2.5)),
        ("!set readability as the script says", SetReadability(None)),
        ("!announce Keepers, the tide turns.", Announce("Keepers, the tide turns.")),
        ("", None),
        ("# button bounced", None),
    ],
)
def test_a_line_is_a_fact_or_a_command(line: str, happens: InEvent | None) -> None:
    """A name and a value; `!` before a command; `#` before the device's own talk."""
    around, station = surroundings(VirtualClock(), gate=FactSettings(named="fen gate"))
    message = read_line(line, around.intake.names.all, around.programme.segments)
    if message is not None:
        assert around.intake.take("serial", message) is None
    assert station.sent == ([happens] if happens else [])


def test_a_line_reports_and_a_command_sets_by_hand() -> None:
    """The settings turn round what a sensor reports, and not what `!set fact` sets."""
    around, station = surroundings(VirtualClock(), lamp=FactSettings(named="reed 7", inverted=True))
    part = SerialPart(SerialSettings(port="/dev/ttyACM0"), around)
    for text in ("reed 7 0", "lamp 1", "!set fact reed 7 1", "!set fact lamp off"):
        part._take(text)
    assert [one.value for one in station.sent if isinstance(one, SetFact)] == [
        *(True, False),
        *(True, False),
    ]


def test_a_command_that_lacks_something_is_told_what() -> None:
    """And a segment whose name ends like a timing is meant first."""
    around, station = surroundings(VirtualClock())
    part = SerialPart(SerialSettings(port="/dev/ttyACM0"), around)
    part._take("!jump")
    assert station.refused == ["serial: The message lacks `segment`."]
    assert read_line("!jump do it now", (), ("do it now",)) == {
        "event": "jump",
        "segment": "do it now",
    }


def test_the_sketch_reports_again_when_a_session_begins() -> None:
    """A new session knows no fact; the manual's device asks for that very line."""
    page = Path(broadcaster.__file__).parent / "manual" / "serial.md"
    tiding = Tidings().of(SessionStarted(0))
    assert tiding is not None
    wanted = f'line == "{event(tiding)}") report();'
    assert wanted in page.read_text()


def test_what_goes_out_is_one_line_whatever_it_tells() -> None:
    """A line end within a name would be a second line."""
    told = event(Tiding("fact_changed", ("gate", "wide\nopen", True)))
    assert as_bytes(told) == b"event fact_changed gate wide open 1\n"


@given(
    st.lists(st.sampled_from(["lamp 1", "crates 2", "", "fen gate ajar", "é"]), max_size=8),
    st.data(),
)
def test_lines_are_the_same_however_the_bytes_are_cut(
    lines: list[str], data: st.DataObject
) -> None:
    """USB hands over what there is, not what was printed."""
    stream = "".join(f"{line}\r\n" for line in lines).encode()
    cuts = sorted(data.draw(st.lists(st.integers(0, len(stream)), max_size=6)))
    splitter, found = Lines(100), []
    for start, stop in zip([0, *cuts], [*cuts, len(stream)], strict=True):
        found += splitter.take(stream[start:stop])
    assert found == [f"{line}\r" for line in lines]


def test_a_line_without_an_end_takes_no_memory_and_is_told_once() -> None:
    """Noise of a device that starts: what is too long is skipped up to the next line."""
    splitter = Lines(10)
    found = [line for _ in range(1000) for line in splitter.take(b"x" * 7)]
    assert found == [None]
    assert splitter.take(b"x\nlamp 1\n" + b"y" * 11 + b"\n") == ["lamp 1", None]


# --- the line ----------------------------------------------------------------------------------


def test_facts_come_in_and_each_line_is_answered(tmp_path: Path) -> None:
    """`ok`, or `no` and why; the device is greeted, and told where the key is."""
    with plugged_in(tmp_path) as (device, station, _):
        device.listen_until(lambda lines: len(lines) == 2)
        device.say("lamp 1", "lmap 1", "crates 9", "# talk", "!give hint")
        device.listen_until(lambda lines: len(lines) == 6)
        lines = device.listen()
    assert lines[:3] == ["hello Test", "key 0", "ok"]
    assert lines[3].startswith("no There is no fact `lmap`. Did you mean")
    assert lines[4].startswith("no The fact `crates`")
    assert lines[5] == "ok"
    assert station.sent == [SetFact("lamp", True, "serial"), GiveHint()]
    assert len(station.refused) == 1  # the second is counted: one line in ten seconds


def test_the_key_and_what_happens_go_out(tmp_path: Path) -> None:
    """In the order in which they are told."""
    with plugged_in(tmp_path) as (device, _, inside):
        device.listen_until(lambda lines: len(lines) == 2)
        for act in (
            lambda: inside.part.key(down=True),
            lambda: inside.part.tell(SegmentEntered(0, "the gate", "exit")),
            lambda: inside.part.key(down=False),
        ):
            inside.loop.call_soon_threadsafe(act)
        device.listen_until(lambda lines: len(lines) == 5)
        assert device.listen()[2:] == ["key 1", "event segment_entered the gate", "key 0"]


def test_a_device_that_is_pulled_out_and_put_back(tmp_path: Path) -> None:
    """It is missed once, found again at another line, greeted again, and told where the key is."""
    with plugged_in(tmp_path) as (device, station, inside):
        device.listen_until(lambda lines: len(lines) == 2)
        device.say("crates 1")
        until(lambda: station.sent)
        device.pull_out()
        until(lambda: station.reports)
        inside.loop.call_soon_threadsafe(lambda: inside.part.key(down=True))
        time.sleep(0.7)  # looked for in vain, and nothing more is said of it
        device.heard.clear()
        device.plug_in()
        device.listen_until(lambda lines: len(lines) >= 2)
        device.say("crates 2")
        until(lambda: len(station.sent) == 2)
        assert device.listen()[:2] == ["hello Test", "key 1"]
    assert [fact.value for fact in station.sent if isinstance(fact, SetFact)] == [1, 2]
    lost, back = [each.sentence for each in station.reports if isinstance(each, Trouble)]
    assert lost == f"The serial line {device.port} is gone; it is looked for."
    assert back == f"The serial line {device.port} is back."


def test_a_line_that_does_not_open_is_told_once(tmp_path: Path) -> None:
    """And why; it is looked for all the same."""
    around, station = surroundings()
    port = tmp_path / "ttyACM0"
    with running(SerialPart(SerialSettings(port=str(port)), around)):
        until(lambda: station.reports)
        time.sleep(0.7)
    assert [each.sentence for each in station.reports if isinstance(each, Trouble)] == [
        f"The serial line {port} does not open (No such file or directory); it is looked for."
    ]


def test_a_device_that_does_not_listen_is_still_heard(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What it does not take is dropped; it is told where the key is once it listens again."""
    monkeypatch.setattr("broadcaster.room.serial_line.WRITE_S", 0.1)
    with plugged_in(tmp_path) as (device, station, inside):
        device.listen_until(lambda lines: len(lines) == 2)
        for _ in range(100):
            for _ in range(20):
                inside.loop.call_soon_threadsafe(
                    inside.part.tell, SegmentEntered(0, "the gate", "exit")
                )
            time.sleep(0.005)
        inside.loop.call_soon_threadsafe(lambda: inside.part.key(down=True))
        device.say("crates 3")
        until(lambda: station.sent)
        time.sleep(0.3)
        device.listen_until(lambda lines: "key 1" in lines)


def test_a_usb_device_is_known_by_its_identity(monkeypatch: pytest.MonkeyPatch) -> None:
    """Vendor and product, and a serial number where there are two of a kind; at any port."""
    ports = [
        SimpleNamespace(device="/dev/ttyS0", vid=None, pid=None, serial_number=None),
        SimpleNamespace(device="/dev/ttyACM3", vid=0x2341, pid=0x43, serial_number="A1"),
        SimpleNamespace(device="/dev/ttyACM1", vid=0x2341, pid=0x43, serial_number="B2"),
    ]
    monkeypatch.setattr(serial_port.list_ports, "comports", lambda: ports)
    assert find_port(read_identity("2341:0043")) == "/dev/ttyACM3"
    assert find_port(read_identity("2341:0043 B2")) == "/dev/ttyACM1"
    assert find_port(read_identity("2341:0043:B2")) == "/dev/ttyACM1"
    assert find_port(Identity(0x2341, 0x43, "C3")) is None
    assert find_port(read_identity("1a86:7523")) is None


# --- nonsense ----------------------------------------------------------------------------------

FITTING = {"lamp": (False, True), "crates": range(5), "gate": ("closed", "ajar")}
LINES = st.one_of(
    st.binary(max_size=80),
    st.binary(max_size=20).map(lambda rest: b"lamp " + rest),
    st.binary(max_size=20).map(lambda rest: b"!jump " + rest),
    st.sampled_from([b"!", b"!!", b"! ", b"#", b"lamp", b"!set fact", b"crates 99999999999"]),
)


@settings(max_examples=200, deadline=None)
@given(st.lists(LINES, max_size=6))
def test_nonsense_raises_nothing_and_is_shown_once(lines: list[bytes]) -> None:
    """Whatever bytes come: no error, one line at most while the clock stands, no strange event."""
    around, station = surroundings(VirtualClock())
    part = SerialPart(SerialSettings(port="/dev/ttyACM0"), around)
    splitter = Lines(4096)
    for text in splitter.take(b"\n".join((*lines, b""))):
        part._take(text)
    assert len(station.refused) <= 1
    for happens in station.sent:
        assert isinstance(happens, SetFact)
        assert happens.value in FITTING[happens.fact]
