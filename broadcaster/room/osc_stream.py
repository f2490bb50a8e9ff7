"""OSC packets on a TCP line: each after its size (OSC 1.0), or between END bytes (OSC 1.1).

Which of the two a caller speaks is told by its first byte.
"""

import asyncio
from collections.abc import AsyncIterator

from pythonosc import slip

LARGEST_PACKET = 65_507
"""Bytes: as much as a packet of UDP over IPv4 can carry (RFC 768, RFC 791)."""
_SIZE_BYTES = 4


class StreamError(Exception):
    """What comes is neither of the two; the sentence says why."""


async def packets(reader: asyncio.StreamReader) -> AsyncIterator[bytes]:
    """Packets as they come, until the caller is gone. Raises StreamError."""
    first = await reader.read(1)
    framed = _between_ends(reader) if first == slip.END else _sized(reader, first)
    try:
        async for packet in framed:
            yield packet
    except asyncio.IncompleteReadError:
        return  # gone in the middle of a packet
    except (slip.ProtocolError, asyncio.LimitOverrunError) as error:
        raise StreamError("What came by TCP is no packet of OSC.") from error


async def _sized(reader: asyncio.StreamReader, first: bytes) -> AsyncIterator[bytes]:
    while True:
        size = int.from_bytes(first + await reader.readexactly(_SIZE_BYTES - len(first)), "big")
        if size > LARGEST_PACKET:
            raise StreamError(f"A packet by TCP has more than {LARGEST_PACKET} bytes.")
        yield await reader.readexactly(size)
        first = b""


async def _between_ends(reader: asyncio.StreamReader) -> AsyncIterator[bytes]:
    while True:
        packet = (await reader.readuntil(slip.END))[:-1]
        if packet:
            yield slip.decode(packet)
