"""OSC: facts and commands in by UDP and TCP, what happens out; nonsense changes nothing."""

import asyncio
import socket
import struct
import time
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pythonosc import slip
from pythonosc.osc_bundle_builder import IMMEDIATELY, OscBundleBuilder
from pythonosc.osc_message_builder import OscMessageBuilder

from broadcaster.clock import VirtualClock
from broadcaster.errors import UsageError
from broadcaster.room.commands import RefusedError
from broadcaster.room.osc import MOST_LINES, OscPart
from broadcaster.room.osc_packet import BUNDLE, MOST_MESSAGES, PacketError, read_packet
from broadcaster.room.osc_pattern import LONGEST_PATTERN, matching
from broadcaster.script.venue_settings import FactSettings, OscSettings
from broadcaster.story.events import (
    Announce,
    GiveHint,
    InEvent,
    ItemAired,
    Jump,
    JumpTiming,
    OutputState,
    SegmentEntered,
    SetFact,
    SetReadability,
    SetSignal,
    Stalled,
)
from tests.ports import free_port
from tests.room.around import running, surroundings
from tests.room.make import Noted


def osc(address: str, *values: Any) -> bytes:
    """A packet as another program makes it."""
    builder = OscMessageBuilder(address)
    for value in values:
        builder.add_arg(value)
    return builder.build().dgram


def part(**section: Any) -> tuple[OscPart, Noted]:
    """A part that does not listen, on a clock that stands still."""
    around, station = surroundings(VirtualClock(), gate=FactSettings(named="/fen/gate/1"))
    return OscPart(OscSettings(**section), around), station


def heard(*packets: bytes, caller: str = "127.0.0.1", **section: Any) -> list[InEvent]:
    """What the station was told."""
    osc_part, station = part(**section)
    for packet in packets:
        osc_part.take(packet, caller)
    return station.sent


def refused(packet: bytes) -> list[str]:
    """What was shown of a packet that changed nothing."""
    osc_part, station = part()
    osc_part.take(packet, "127.0.0.1")
    assert station.sent == []
    return station.refused


# --- addresses ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("packet", "event"),
    [
        (osc("/fact/lamp", 1), SetFact("lamp", True, "osc")),
        (osc("/fact/lamp", True), SetFact("lamp", True, "osc")),
        (osc("/fact/lamp", 0.0), SetFact("lamp", False, "osc")),
        (osc("/fact/crates", 3), SetFact("crates", 3, "osc")),
        (osc("/fact/crates", 3.0), SetFact("crates", 3, "osc")),
        (osc("/fen/gate/1", "ajar"), SetFact("gate", "ajar", "osc")),
        (osc("/fact/gate", "ajar"), SetFact("gate", "ajar", "osc")),
        (osc("/set_fact", "lamp", "on"), SetFact("lamp", True, "osc, by hand")),
        (osc("/jump", "the gate"), Jump("the gate")),
        (osc("/jump", "the gate", "now"), Jump("the gate", JumpTiming.NOW)),
        (osc("/jump/the_gate"), Jump("the gate")),
        (osc("/jump/the_gate", 1.0), Jump("the gate")),
        (osc("/jump/the_gate", "now", "fade"), Jump("the gate", JumpTiming.NOW, "fade")),
        (osc("/set_signal", 0.0), SetSignal(0.0)),
        (osc("/set_readability", 3), SetReadability(3.0)),
        (osc("/set_signal", "as the script says"), SetSignal(None)),
        (osc("/give_hint"), GiveHint()),
        (osc("/give_hint", 1), GiveHint()),
        (osc("/announce", "Keepers, the tide turns."), Announce("Keepers, the tide turns.")),
    ],
)
def test_a_message_of_osc_is_an_event(packet: bytes, event: InEvent) -> None:
    """Each address, with the values that programs and panels send."""
    assert heard(packet) == [event]


def test_an_address_reports_and_a_command_sets_by_hand() -> None:
    """The settings turn round what a sensor reports, by either name, and not what a hand sets."""
    around, station = surroundings(VirtualClock(), lamp=FactSettings(named="reed 7", inverted=True))
    osc_part = OscPart(OscSettings(), around)
    for packet in (osc("/fact/reed_7", 0), osc("/fact/lamp", 0), osc("/set_fact", "lamp", 0)):
        osc_part.take(packet, "127.0.0.1")
    assert station.sent == [
        SetFact("lamp", True, "osc"),
        SetFact("lamp", True, "osc"),
        SetFact("lamp", False, "osc, by hand"),
    ]


def test_a_pattern_reports_each_fact_once() -> None:
    """Though it has an address of each of its names."""
    around, station = surroundings(VirtualClock(), lamp=FactSettings(named="lit"))
    OscPart(OscSettings(), around).take(osc("/fact/l*", 1), "127.0.0.1")
    assert station.sent == [SetFact("lamp", True, "osc")]


def test_a_button_that_is_let_go_commands_nothing() -> None:
    """Panels send 1.0 when a button is pressed and 0.0 when it is let go."""
    assert heard(osc("/give_hint", 1.0), osc("/give_hint", 0.0)) == [GiveHint()]


@pytest.mark.parametrize(
    ("packet", "sentence"),
    [
        (osc("/fact/lmap", 1), "osc: There is no address `/fact/lmap`. Did you mean `/fact/lamp`?"),
        (osc("/fact/lamp"), "osc: `/fact/lamp` wants one value."),
        (
            osc("/fact/crates", 9),
            "osc: The fact `crates`: `9` is outside its bounds. It goes from 0 to 4.",
        ),
        (osc("/fact/crates", float("nan")), "osc: The fact `crates` is a number; `nan` is none."),
        (osc("/jump/tower"), "osc: There is no address `/jump/tower`."),
        (
            osc("/set_signal", float("nan")),
            "osc: `strength` is neither a number from 0 to 5 nor null.",
        ),
        (osc("/give_hint", "now"), "osc: `now` does not belong to `give hint`."),
        (osc("/announce"), "osc: The message lacks `text`."),
        (osc("/fact/[lamp", 1), "osc: A pattern's '[' is not closed."),
        (
            osc("/fact/lamp", b"\1"),
            "osc: A message has a value of the type 'b', which is not used.",
        ),
        (b"hello", "osc: A packet is neither a message nor a bundle of OSC."),
        (b"/fact/lamp\0\0,i\0\0", "osc: A message is cut short, or is none of OSC."),
    ],
)
def test_what_is_not_understood_changes_nothing_and_is_shown(packet: bytes, sentence: str) -> None:
    """One sentence for each, and no event."""
    (shown,) = refused(packet)
    assert shown.startswith(sentence)


def test_a_bundle_is_obeyed_in_order_and_whole() -> None:
    """Bundles within bundles too; where one message is none, none is obeyed."""
    inner = OscBundleBuilder(IMMEDIATELY)
    inner.add_content(_message("/fact/crates", 2))
    outer = OscBundleBuilder(IMMEDIATELY)
    for content in (_message("/fact/lamp", 1), inner.build(), _message("/give_hint")):
        outer.add_content(content)
    assert heard(outer.build().dgram) == [
        SetFact("lamp", True, "osc"),
        SetFact("crates", 2, "osc"),
        GiveHint(),
    ]
    outer.add_content(_message("/nowhere"))
    assert len(refused(outer.build().dgram)) == 1


def _message(address: str, *values: Any) -> Any:
    builder = OscMessageBuilder(address)
    for value in values:
        builder.add_arg(value)
    return builder.build()


def test_bundles_nested_deep_do_no_harm() -> None:
    """A packet of bundles in bundles as deep as fits is read without recursion."""
    packet = osc("/fact/lamp", 1)
    while len(packet) < 60_000:
        packet = BUNDLE + bytes(8) + struct.pack(">i", len(packet)) + packet
    assert heard(packet) == [SetFact("lamp", True, "osc")]


def test_a_packet_of_too_many_messages_is_refused_whole() -> None:
    """What one packet can ask for has a bound."""
    element = osc("/fact/lamp", 1)
    one = struct.pack(">i", len(element)) + element
    assert len(read_packet(BUNDLE + bytes(8) + one * MOST_MESSAGES)) == MOST_MESSAGES
    with pytest.raises(PacketError, match="more than"):
        read_packet(BUNDLE + bytes(8) + one * (MOST_MESSAGES + 1))


# --- patterns ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pattern", "found"),
    [  # OSC 1.0, "OSC Message Dispatching and Pattern Matching"
        ("/fact/*", "lamp lamp2 crate"),
        ("/fact/lamp?", "lamp2"),
        ("/fact/la*2", "lamp2"),
        ("/fact/{lamp,crate}", "lamp crate"),
        ("/fact/[a-c]*", "crate"),
        ("/fact/[!a-c]*", "lamp lamp2"),
        ("/fact/[lc]*", "lamp lamp2 crate"),
        ("/*/lamp", "lamp"),
        ("/f??t/lamp", "lamp"),
        ("/*", ""),  # no part of an address is matched across its `/`
        ("/fact", ""),
        ("/fact/lamp.", ""),
    ],
)
def test_a_pattern_reaches_what_the_standard_says(pattern: str, found: str) -> None:
    """`*` several characters of one part, `?` one, `[a-c]` one of these, `{a,b}` either word."""
    addresses = [f"/fact/{name}" for name in ("lamp", "lamp2", "crate")]
    assert matching(pattern, addresses) == [f"/fact/{name}" for name in found.split()]


def test_a_pattern_sets_all_facts_that_it_fits() -> None:
    """`0` is a value of both."""
    assert heard(osc("/fact/{lamp,crates}", 0)) == [
        SetFact("lamp", False, "osc"),
        SetFact("crates", 0, "osc"),
    ]


def test_no_pattern_commands() -> None:
    """A stray `/*` gives no hint and ends no session."""
    assert refused(osc("/*"))
    assert refused(osc("/give_hin?"))


def test_a_pattern_made_to_take_for_ever_takes_no_time() -> None:
    """Stars without end: bounded by pattern times address."""
    began = time.process_time()
    assert matching("/fact/" + "*a" * 47, ["/fact/" + "a" * 150 + "b"] * 20) == []
    assert time.process_time() - began < 5.0  # as a regular expression: years
    with pytest.raises(RefusedError):
        matching("*" * (LONGEST_PATTERN + 1), ["/"])


# --- who may call, and by which way ------------------------------------------------------------


def until(reached: Callable[[], object]) -> None:
    deadline = time.monotonic() + 5.0
    while not reached():
        assert time.monotonic() < deadline
        time.sleep(0.005)


def test_only_the_callers_of_the_settings_are_heard() -> None:
    """Others are refused, and shown; an address of the old kind within the new is the same."""
    packet = osc("/give_hint")
    assert heard(packet, caller="::ffff:192.0.2.7", callers=("192.0.2.7",)) == [GiveHint()]
    assert heard(packet, caller="192.0.2.8", callers=("192.0.2.7",)) == []


def test_a_host_that_is_not_known_is_told() -> None:
    """In a sentence, when the part is opened."""
    with pytest.raises(UsageError, match=r"The host of 'nowhere.invalid:9000' in `send to` is not"):
        part(send_to=("nowhere.invalid:9000",))  # RFC 2606, 2


def test_without_a_port_nothing_listens_and_by_default_only_this_machine_reaches_it() -> None:
    """The defaults of the security table."""
    assert OscSettings().port is None
    assert OscSettings(port=9000).address == "127.0.0.1"


def test_by_udp_it_hears_and_is_closed_afterwards() -> None:
    """A datagram at the loopback address; the port is free again when the part is cancelled."""
    around, station = surroundings()
    port = free_port()
    with running(OscPart(OscSettings(port=port), around)), socket.socket(type=2) as sender:
        deadline = time.monotonic() + 5.0
        while not station.sent and time.monotonic() < deadline:
            sender.sendto(osc("/fact/lamp", 1), ("127.0.0.1", port))
            time.sleep(0.01)
    assert station.sent[0] == SetFact("lamp", True, "osc")
    with socket.socket(type=socket.SOCK_DGRAM) as again:
        again.bind(("127.0.0.1", port))


@pytest.mark.parametrize(
    "framed", [slip.encode, lambda packet: struct.pack(">i", len(packet)) + packet]
)
def test_by_tcp_it_hears_both_framings(framed: Callable[[bytes], bytes]) -> None:
    """With a size before each packet (OSC 1.0), and between END bytes (OSC 1.1); cut anyhow."""
    around, station = surroundings()
    port = free_port()
    with running(OscPart(OscSettings(port=port, over="tcp"), around)):
        until(lambda: _connects(port))
        with socket.create_connection(("127.0.0.1", port)) as caller:
            stream = framed(osc("/fact/lamp", 1)) + framed(osc("/fact/crates", 192))
            stream += framed(osc("/fact/crates", 2))
            for place in range(0, len(stream), 7):
                caller.sendall(stream[place : place + 7])
                time.sleep(0.001)
            until(lambda: len(station.sent) == 2)
    assert station.sent == [SetFact("lamp", True, "osc"), SetFact("crates", 2, "osc")]


def _connects(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def test_by_tcp_a_packet_too_large_and_too_many_callers_are_let_go() -> None:
    """Neither memory nor lines without end."""
    around, station = surroundings()
    port = free_port()
    with running(OscPart(OscSettings(port=port, over="tcp"), around)):
        until(lambda: _connects(port))
        with socket.create_connection(("127.0.0.1", port)) as caller:
            caller.sendall(struct.pack(">i", 1 << 24))
            caller.settimeout(5.0)
            assert caller.recv(1) == b""
        callers = [socket.create_connection(("127.0.0.1", port)) for _ in range(MOST_LINES + 1)]
        callers[-1].settimeout(5.0)
        assert callers[-1].recv(1) == b""
        for caller in callers:
            caller.close()
    assert station.sent == []


def test_a_port_that_another_has_is_told_in_a_sentence() -> None:
    """The room tells it once and tries again."""
    around, _ = surroundings()
    with socket.socket(type=socket.SOCK_DGRAM) as other:
        other.bind(("127.0.0.1", 0))
        with pytest.raises(UsageError, match="Cannot listen at"):
            asyncio.run(OscPart(OscSettings(port=other.getsockname()[1]), around).run())


# --- out ---------------------------------------------------------------------------------------


def test_what_happens_is_told_to_a_named_address() -> None:
    """A segment, a whole clue, a stalled team, an output lost and back, and the key of the lamp."""
    around, _ = surroundings()
    with socket.socket(type=socket.SOCK_DGRAM) as listener:
        listener.bind(("127.0.0.1", 0))
        listener.settimeout(5.0)
        osc_part = OscPart(OscSettings(send_to=(f"127.0.0.1:{listener.getsockname()[1]}",)), around)
        with running(osc_part) as loop:
            time.sleep(0.05)
            for event in (
                SegmentEntered(0, "the gate", "exit"),
                _aired("gate code", complete=False),
                _aired("gate code", complete=True),
                Stalled(0, "lamp"),
                *(_output(playing) for playing in (True, False, False, True)),
            ):
                loop.call_soon_threadsafe(osc_part.tell, event)
            loop.call_soon_threadsafe(lambda: osc_part.key(down=True))
            told = [read_packet(listener.recv(1000))[0] for _ in range(6)]
    assert [(each.address, each.values) for each in told] == [
        ("/event/segment_entered", ("the gate",)),
        ("/event/clue_aired", ("gate code",)),
        ("/event/stalled", ("lamp",)),
        ("/event/output_lost", ()),
        ("/event/output_back", ()),
        ("/key", (1,)),
    ]


def _aired(clue: str, *, complete: bool) -> ItemAired:
    return ItemAired(0, 1, "watch", "groups", "1", clue, 1, 1, 1, complete=complete)


def _output(playing: bool) -> OutputState:
    return OutputState(0, 0, "Device", playing, 0, 0, 0.0, 0.0)


# --- nonsense ----------------------------------------------------------------------------------

PACKETS = st.one_of(
    st.binary(max_size=200),
    st.binary(max_size=100).map(lambda rest: b"/fact/lamp\0\0" + rest),
    st.binary(max_size=100).map(lambda rest: BUNDLE + rest),
    st.builds(
        lambda address, values: osc("/" + address, *values),
        st.text(max_size=30).filter(lambda text: "\0" not in text and text.isascii()),
        st.lists(st.one_of(st.booleans(), st.floats(width=32), st.text("ab/*", max_size=5))),
    ),
    st.tuples(st.binary(max_size=60), st.integers(0, 40)).map(
        lambda pair: osc("/fact/lamp", 1)[: pair[1]] + pair[0]
    ),
)
FITTING = {"lamp": (False, True), "crates": range(5), "gate": ("closed", "ajar")}


@settings(max_examples=200, deadline=None)
@given(st.lists(PACKETS, max_size=5))
def test_nonsense_raises_nothing_and_is_shown_once(packets: list[bytes]) -> None:
    """However it is cut: no error, one line while the clock stands, and no strange event."""
    osc_part, station = part()
    for packet in packets:
        osc_part.take(packet, "127.0.0.1")
    assert len(station.refused) <= 1
    for event in station.sent:
        assert isinstance(event, SetFact)
        assert event.value in FITTING[event.fact]
