"""OSC packets, as bytes (Open Sound Control 1.0): what is in them, and how ours are made."""

import struct
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from pythonosc.osc_message import OscMessage
from pythonosc.osc_message import ParseError as MessageError
from pythonosc.osc_message_builder import OscMessageBuilder
from pythonosc.parsing import osc_types

BUNDLE = b"#bundle\0"
_SIZE_BYTES, _TIME_BYTES = 4, 8
MOST_MESSAGES = 256
"""In one packet."""
TYPES = frozenset("ifhdsTF")
"""The kinds of values that a fact or a command can have."""


@dataclass(frozen=True, slots=True)
class Received:
    """One message of a packet."""

    address: str
    values: tuple[Any, ...]


class PacketError(Exception):
    """A packet that is none: the sentence says why."""


def read_packet(packet: bytes) -> list[Received]:
    """All messages of a packet, those of bundles too, in order. Raises PacketError.

    The times that bundles carry are not obeyed: what comes is for now.
    """
    return [_read_message(message) for message in _messages_in(packet)]


def written(address: str, values: Sequence[bool | int | str] = ()) -> bytes:
    """A message as a packet. A yes or no is 1 or 0, which every program reads."""
    builder = OscMessageBuilder(address)
    for value in values:
        if isinstance(value, str):
            builder.add_arg(value.replace("\0", ""), OscMessageBuilder.ARG_TYPE_STRING)
        else:
            builder.add_arg(int(value), OscMessageBuilder.ARG_TYPE_INT)
    return builder.build().dgram


def _messages_in(packet: bytes) -> list[bytes]:
    """Bundles may hold bundles, however deep: they are taken apart one by one."""
    found: list[bytes] = []
    waiting = [packet]
    while waiting:
        part = waiting.pop()
        if part.startswith(BUNDLE):
            waiting.extend(reversed(list(_elements(part))))
        else:
            found.append(part)
        if len(found) + len(waiting) > MOST_MESSAGES:
            raise PacketError(f"A packet holds more than {MOST_MESSAGES} messages.")
    return found


def _elements(bundle: bytes) -> Iterator[bytes]:
    place = len(BUNDLE) + _TIME_BYTES
    while place < len(bundle):
        start = place + _SIZE_BYTES
        size = int.from_bytes(bundle[place:start], "big")
        place = start + size
        if not size or place > len(bundle):
            raise PacketError("A bundle is cut short.")
        yield bundle[start:place]


def _read_message(message: bytes) -> Received:
    if not message.startswith(b"/"):
        raise PacketError("A packet is neither a message nor a bundle of OSC.")
    try:
        _, place = osc_types.get_string(message, 0)
        kinds = osc_types.get_string(message, place)[0] if place < len(message) else ","
        strange = next((kind for kind in kinds[1:] if kind not in TYPES), None)
        if strange is not None:
            raise PacketError(f"A message has a value of the type {strange!r}, which is not used.")
        read = OscMessage(message)
        return Received(read.address, tuple(read))
    except (MessageError, osc_types.ParseError, ValueError, struct.error) as error:
        raise PacketError("A message is cut short, or is none of OSC.") from error
