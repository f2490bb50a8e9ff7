"""Open Sound Control: facts and commands in, by UDP or TCP; what happens out, by UDP.

Only this machine reaches it unless the settings name another address. OSC knows no passwords.
"""

import asyncio
import socket
from ipaddress import IPv4Address, IPv6Address, ip_address
from typing import TypeAlias, cast

from broadcaster.errors import UsageError
from broadcaster.room.commands import RefusedError
from broadcaster.room.osc_addresses import Addresses
from broadcaster.room.osc_packet import PacketError, read_packet, written
from broadcaster.room.osc_stream import StreamError, packets
from broadcaster.room.part import Surroundings
from broadcaster.room.tidings import Tidings
from broadcaster.script.venue_settings import OscSettings
from broadcaster.story.events import OutEvent

SOURCE = "osc"
MOST_LINES = 32
"""Callers by TCP at a time."""

Address: TypeAlias = IPv4Address | IPv6Address


def open_part(settings: OscSettings, around: Surroundings) -> "OscPart":
    """The part of the section `osc`. Raises UsageError where a host is not known."""
    return OscPart(settings, around)


class OscPart:
    """One port that listens, if it has one, and those who are told."""

    def __init__(self, settings: OscSettings, around: Surroundings) -> None:
        self._settings = settings
        self._around = around
        self._intake = around.intake
        self._addresses = Addresses(around.intake.names.all, around.programme.segments)
        self._callers = frozenset(_read_address(each) for each in settings.callers)
        self._send_to = [_target(each) for each in settings.send_to]
        self._tidings = Tidings()
        self._out: dict[int, socket.socket] = {}
        self._lines = 0

    async def run(self) -> None:
        """Listen and tell until cancelled. Raises UsageError if the port cannot be had."""
        listening: asyncio.BaseTransport | asyncio.Server | None = None
        try:
            self._out = {family: _sender(family) for family, _ in self._send_to}
            listening = await self._listen()
            self._around.is_well("osc")
            await asyncio.Event().wait()
        finally:
            if listening:
                listening.close()
            for sender in self._out.values():
                sender.close()
            self._out = {}

    def tell(self, event: OutEvent) -> None:
        """Something happened on air."""
        tiding = self._tidings.of(event)
        if tiding:
            self._send(f"/event/{tiding.name}", tiding.values)

    def key(self, *, down: bool) -> None:
        """The key goes down, or up, now."""
        self._send("/key", (down,))

    def take(self, packet: bytes, caller: str) -> None:
        """A packet came: obey all that it asks for, or refuse it whole."""
        if not self._may_call(caller):
            self._intake.refuse(SOURCE, f"{caller} is none of the `callers` in the settings.")
            return
        try:
            wanted = [
                one for received in read_packet(packet) for one in self._addresses.wanted(received)
            ]
        except PacketError as error:
            self._intake.refuse(SOURCE, str(error))
        except RefusedError as error:
            self._intake.refuse(SOURCE, error.refusal.sentence)
        else:
            for one in wanted:
                self._intake.take(SOURCE, one)

    def _may_call(self, caller: str) -> bool:
        return not self._callers or _read_address(caller) in self._callers

    def _send(self, address: str, values: tuple[bool | int | str, ...]) -> None:
        if self._out:
            packet = written(address, values)
            for family, place in self._send_to:
                try:
                    self._out[family].sendto(packet, place)
                except OSError:  # nobody there, or no network now: the next packet may arrive
                    continue

    async def _listen(self) -> asyncio.BaseTransport | asyncio.Server | None:
        address, port = self._settings.address, self._settings.port
        if port is None:
            return None
        try:
            if self._settings.over == "tcp":
                return await asyncio.start_server(self._converse, address, port)
            loop = asyncio.get_running_loop()
            ear, _ = await loop.create_datagram_endpoint(lambda: _Ear(self), (address, port))
        except OSError as error:
            reason = error.strerror or str(error)
            raise UsageError(f"Cannot listen at {address}, port {port}: {reason}.") from error
        return ear

    async def _converse(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        """One caller by TCP, from coming to going."""
        caller = str(writer.get_extra_info("peername")[0])
        line: socket.socket = writer.get_extra_info("socket")
        line.setsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)  # who vanishes is noticed
        self._lines += 1
        try:
            if self._lines > MOST_LINES:
                self._intake.refuse(SOURCE, f"More than {MOST_LINES} callers; {caller} waits.")
                return
            async for packet in packets(reader):
                self.take(packet, caller)
        except StreamError as error:
            self._intake.refuse(SOURCE, str(error))
        except OSError:
            return  # the caller is gone
        finally:
            self._lines -= 1
            writer.close()


class _Ear(asyncio.DatagramProtocol):
    """What UDP brings."""

    def __init__(self, part: OscPart) -> None:
        self._part = part

    def datagram_received(self, data: bytes, addr: tuple[str, int]) -> None:
        """A packet."""
        self._part.take(data, addr[0])


def _read_address(written_so: str) -> Address:
    """An address of a machine; one of the old kind within one of the new is that old one."""
    address = ip_address(written_so.partition("%")[0])
    mapped = address.ipv4_mapped if isinstance(address, IPv6Address) else None
    return mapped or address


def _target(written_so: str) -> tuple[int, tuple[str, int]]:
    """Where packets are sent to. Raises UsageError."""
    host, _, port = written_so.rpartition(":")
    try:
        found = socket.getaddrinfo(host.strip("[]"), int(port), type=socket.SOCK_DGRAM)
    except OSError as error:
        raise UsageError(f"The host of {written_so!r} in `send to` is not known.") from error
    family, _, _, _, place = found[0]
    return family, cast("tuple[str, int]", place)


def _sender(family: int) -> socket.socket:
    sender = socket.socket(family, socket.SOCK_DGRAM)
    sender.setblocking(False)
    return sender
