"""Shades as a PNG (ISO/IEC 15948), from paper to ink: what lines and letters cannot draw."""

import struct
import zlib

import numpy as np
from numpy.typing import NDArray

from broadcaster.rehearsal.picture_svg import INK, PAPER

SHADES = 24
"""From 0, the paper's colour, to the ink's. More would look no finer and take more space."""


def png(shades: NDArray[np.uint8]) -> bytes:
    """A picture of shades, shape (rows, columns), the upper row first: a PNG with a palette."""
    rows, columns = shades.shape
    header = struct.pack(">IIBBBBB", columns, rows, 8, 3, 0, 0, 0)
    unfiltered = np.insert(shades, 0, 0, axis=1).tobytes()
    chunks = (
        (b"IHDR", header),
        (b"PLTE", _palette()),
        (b"IDAT", zlib.compress(unfiltered, 9)),
        (b"IEND", b""),
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(kind, data) for kind, data in chunks)


def _palette() -> bytes:
    paper, ink = (np.array(list(bytes.fromhex(colour[1:]))) for colour in (PAPER, INK))
    part = np.linspace(0.0, 1.0, SHADES)[:, None]
    colours: NDArray[np.uint8] = np.rint(paper + (ink - paper) * part).astype(np.uint8)
    return colours.tobytes()


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
